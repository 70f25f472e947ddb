"""The tables of a comparison drawing: what was changed and what follows of it, and the streams that
differ. Its numbers are those of the comparison."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from hoggin.report.comparison import both_values, what_of
from hoggin.report.drawing.arrangement import Listed
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.figure import numbers_of
from hoggin.report.drawing.sheet import Lists
from hoggin.report.fields import Field, number, table, words
from hoggin.report.revised.union import Told, Union
from hoggin.report.wording import ABSENT
from hoggin.revise.compare.comparison import Comparison, Consequence
from hoggin.schema.results import Results

CHANGES, STREAMS = "Changes", "Streams that differ"
TELLING = ("rate", "load", "power")  # results of a machine, a product or the plant on a drawing
OF_STREAMS = ("rate", "P80")
PLANT = "plant"


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the table of changes. `of` is the key of the thing on the drawing, "" for none."""

    of: str
    thing: str
    what: str
    before: str | None
    after: str | None


def lists_of(union: Union, comparison: Comparison, is_first: Callable[[Diagram], bool]) -> Lists:
    """The tables of what is on each diagram; that of the first has also what is on none."""
    rows = (*_changes(union), *_followed(union, comparison))
    stream_fields, streams = _streams(union, comparison)
    weighty = f"by a weight of {comparison.threshold:g} or more"

    def narrow(_: Results, diagram: Diagram) -> Listed:
        here = _keys_on(diagram)
        shown = [row for row in rows if (row.of in here if row.of else is_first(diagram))]
        fields = (
            words("of", lambda row: row.thing, 30),
            words("what", lambda row: row.what, 22),
            words("before", lambda row: row.before, 24),
            words("after", lambda row: row.after, 24),
        )
        note = f"What is stated, then results that differ {weighty}."
        return Listed(table(CHANGES, fields, shown), tuple(row.of for row in shown), note)

    def wide(_: Results, diagram: Diagram) -> Listed:
        here = _keys_on(diagram)
        shown = [one for one in streams if f"stream {one.number}" in here]
        return Listed(
            table(STREAMS, stream_fields, shown),
            tuple(f"stream {one.number}" for one in shown),
            f"In rate or P80, {weighty}; no. as on the lines.",
        )

    return Lists(wide, narrow)


def _keys_on(diagram: Diagram) -> set[str]:
    """The keys of everything on a diagram."""
    numbers = (number for route in diagram.routes for number in numbers_of(route.flag))
    found = {f"machine {placed.name}" for placed in diagram.placed}
    return found | {f"stream {number}" for number in numbers}


# --- what was changed, and what follows of it


def _changes(union: Union) -> tuple[Row, ...]:
    """A row for each change, by the first thing that it is about."""
    called = _called(union.results)
    return tuple(_change(told, called) for told in union.changes)


def _change(told: Told, called: Mapping[str, str]) -> Row:
    change = told.change
    thing = ", ".join(called[key] for key in told.of) or change.subject
    of = told.of[0] if told.of else ""
    return Row(of, thing, what_of(change), change.before, change.after)


def _called(results: Results) -> dict[str, str]:
    """What the drawing calls a thing, by its key: a tag, or a stream's number."""
    things = (*results.feeds, *results.machines, *results.products)
    called = {f"machine {thing.tag}": thing.shown_tag for thing in things}
    return called | {f"stream {one.number}": f"stream {one.number}" for one in results.streams}


def _followed(union: Union, comparison: Comparison) -> tuple[Row, ...]:
    """The telling results of machines, products and the plant that differ."""
    called = _called(union.results)
    return tuple(
        Row(key, called.get(key, subject), what, *_with_unit(one))
        for one in _weighty(comparison)
        for subject, what in _places(one)
        for key in [union.subjects.get(subject, "")]
        if what in TELLING and (key.startswith("machine") or subject == PLANT)
    )


def _weighty(comparison: Comparison) -> Iterator[Consequence]:
    """Without the rates of products, which a comparison lists though they hardly differ."""
    return (one for one in comparison.consequences if one.weight >= comparison.threshold)


def _places(one: Consequence) -> Iterator[tuple[str, str]]:
    """The subject of a result and what it is, wherever the same two values are."""
    yield one.subject, one.what
    for place in one.also:
        subject, _, what = place.rpartition(": ")
        yield subject, what


def _with_unit(one: Consequence) -> tuple[str, str]:
    was, now = (
        f"{text} {one.unit}".strip() if text != ABSENT else text for text in both_values(one)
    )
    return was, now


# --- streams


@dataclass(frozen=True, slots=True)
class Stream:
    """A stream that differs: both values of each of its results, as text."""

    number: str
    values: Mapping[str, tuple[str, str]]


def _streams(union: Union, comparison: Comparison) -> tuple[tuple[Field, ...], tuple[Stream, ...]]:
    """The columns of the streams that differ, and those streams in the order of the drawing."""
    values: dict[str, dict[str, tuple[str, str]]] = {}
    units: dict[str, str] = {}
    for one in _weighty(comparison):
        for subject, what in _places(one):
            key = union.subjects.get(subject, "")
            if what in OF_STREAMS and key.startswith("stream"):
                values.setdefault(key, {})[what] = both_values(one)
                units[what] = one.unit
    fields = [words("no.", lambda stream: stream.number, 8)]
    for what in OF_STREAMS:
        if what in units:
            fields += [_value(what, units[what], side) for side in (0, 1)]
    found = ((one.number, values.get(f"stream {one.number}")) for one in union.results.streams)
    return tuple(fields), tuple(Stream(number, known) for number, known in found if known)


def _value(what: str, unit: str, side: int) -> Field:
    """A result before, or after."""

    def get(stream: Stream) -> str | None:
        both = stream.values.get(what)
        return None if both is None else both[side]

    return number(f"{what} {('before', 'after')[side]}", unit, "number", get)
