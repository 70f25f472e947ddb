"""The streams of a sheet as a table: what a reader of the drawing asks of a numbered line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hoggin.report.fields import Field, known, number, result, table, words
from hoggin.report.mass_balance import EMPTY_T_H
from hoggin.report.tables import Table, Value
from hoggin.report.water import of_rock
from hoggin.report.wording import outlet_of, sieve, void_text
from hoggin.schema.results import Results, StreamResult

TITLE = "Streams"
NOTE = "Dry solids. Passing in % by mass. The numbers are those on the lines."
SIEVES = 3
TELLING = (0.05, 0.95)  # a sieve tells streams apart that pass a share between these

_Numbered = tuple[str, StreamResult]


def stream_table(results: Results, numbers: Sequence[_Numbered]) -> Table:
    """The streams with their numbers, in this order; gradings on three sieves that are the same
    for every sheet of the plant."""
    fields = (
        words("No.", lambda pair: pair[0], 6),
        words("from", lambda pair: outlet_of(pair[1]), 28),
        words("to", lambda pair: pair[1].target, 28),
        _of_stream("rate_t_h", "rate"),
        *_wet(results),
        _of_stream("p80_mm", "P80"),
        *(_passing(results, place) for place in telling_sieves(results)),
        _of_stream("moisture", "moisture"),
        *_void(results),
    )
    return table(TITLE, fields, numbers)


def telling_sieves(results: Results) -> tuple[int, ...]:
    """The places of three reporting sieves, spread over those that tell the streams apart."""
    carried = [s.passing for s in results.streams if s.rate_t_h > EMPTY_T_H]
    low, high = TELLING
    telling = [
        place
        for place in range(len(results.sieves_mm))
        if any(low < passing[place] < high for passing in carried)
    ] or list(range(len(results.sieves_mm)))
    if len(telling) <= SIEVES:
        return tuple(telling)
    return tuple(telling[len(telling) * (2 * n + 1) // (2 * SIEVES)] for n in range(SIEVES))


def _wet(results: Results) -> list[Field]:
    """Columns for plants that add water."""
    if results.water is None or results.water.added_m3_h <= 0:
        return []
    fields = [_of_stream("water_m3_h", "water"), _of_stream("solids", "solids")]
    return known(fields, [("", stream) for stream in results.streams])


def _of_stream(name: str, heading: str) -> Field:
    """A result of a stream; an empty one has a rate and nothing else."""
    field = result(StreamResult, name, heading)
    if name == "moisture":
        field = replace(field, get=lambda stream: of_rock(stream.moisture))

    def get(pair: _Numbered) -> Value:
        shown = name == "rate_t_h" or pair[1].rate_t_h > EMPTY_T_H
        return field.get(pair[1]) if shown else None

    return Field(field.column, get)


def _passing(results: Results, place: int) -> Field:
    def get(pair: _Numbered) -> Value:
        return pair[1].passing[place] if pair[1].rate_t_h > EMPTY_T_H else None

    return number(f"< {sieve(results.sieves_mm[place])} mm", "%", "percent", get)


def _void(results: Results) -> tuple[Field, ...]:
    if not results.overloaded:
        return ()
    return (words("void", lambda pair: void_text(pair[1]), 20),)
