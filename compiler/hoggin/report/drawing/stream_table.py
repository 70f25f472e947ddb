"""The streams of a sheet as a table: what a reader of the drawing asks of a numbered line."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace

from hoggin.report.fields import Field, number, result, table, words
from hoggin.report.mass_balance import EMPTY_T_H
from hoggin.report.tables import Table, Value
from hoggin.report.water import of_rock
from hoggin.report.wording import sieve
from hoggin.schema.results import Results, StreamResult, WaterStreamResult

TITLE = "Streams"
NOTE = "Rates of dry solids; passing in % by mass; no. as on the lines; W: water alone."
SIEVES = 3
TELLING = (0.05, 0.95)  # a sieve tells streams apart if some pass a share between these

Stream = StreamResult | WaterStreamResult


def streams_of(results: Results, numbers: Collection[str]) -> tuple[Stream, ...]:
    """The streams of these numbers in the order of the numbers, rock before water alone."""
    return tuple(stream for stream in all_streams(results) if stream.number in numbers)


def all_streams(results: Results) -> tuple[Stream, ...]:
    """Every numbered stream of the plant."""
    return (*results.streams, *results.water_streams)


def stream_table(results: Results, streams: Collection[Stream]) -> Table:
    """A row for each stream. Sieves and columns are the same on every sheet of the plant."""
    called = {
        thing.tag: thing.shown_tag
        for thing in (*results.feeds, *results.machines, *results.products)
    }
    volume = _volume()
    wet = any(volume.get(stream) is not None for stream in all_streams(results))
    fields = (
        words("no.", lambda stream: stream.number, 6),
        words("from", lambda stream: _from(stream, called), 28),
        words("to", lambda stream: _called(stream.target, called), 28),
        _of_rock("rate_t_h", "rate"),
        *_asked(results),
        *(_wet() if wet else ()),
        _of_rock("p80_mm", "P80"),
        *(_passing(results, place) for place in telling_sieves(results)),
        _of_rock("moisture", "moisture"),
        *_void(results),
    )
    return table(TITLE, fields, streams)


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


def _from(stream: Stream, called: dict[str, str]) -> str:
    """The tag it comes from, and its outlet where there is more than one."""
    outlet = stream.outlet if isinstance(stream, StreamResult) else ""
    source = _called(stream.source, called)
    return source if outlet in ("", "product") else f"{source}.{outlet}"


def _called(name: str, called: dict[str, str]) -> str:
    """What the documents call a thing; a deck by its machine's tag: `20-SC-101.top`."""
    if name in called:
        return called[name]
    machine, point, deck = name.rpartition(".")
    return f"{called[machine]}{point}{deck}" if machine in called else name


def _of_rock(name: str, heading: str) -> Field:
    """A result of a stream of rock; an empty one has a rate and nothing else."""
    field = result(StreamResult, name, heading)
    if name == "moisture":  # of a slurry, its share of solids says more
        field = replace(field, get=_moisture)
    return Field(field.column, _with_rock(field.get, empty_too=name == "rate_t_h"))


def _moisture(stream: StreamResult) -> Value:
    if stream.moisture is None or stream.slurry_m3_h is not None:
        return None
    return of_rock(stream.moisture)


def _with_rock(
    get: Callable[[StreamResult], Value], *, empty_too: bool = False
) -> Callable[[Stream], Value]:
    """Reads a stream of rock; water alone has no value."""

    def read(stream: Stream) -> Value:
        if isinstance(stream, WaterStreamResult):
            return None
        return get(stream) if empty_too or stream.rate_t_h > EMPTY_T_H else None

    return read


def _wet() -> tuple[Field, ...]:
    """What is asked of slurry."""
    return (_volume(), _of_rock("solids", "solids"), _of_rock("pulp_density_t_m3", "density"))


def _volume() -> Field:
    """Volume per hour: of solids and water together, or of water alone."""
    column = result(StreamResult, "slurry_m3_h", "volume").column

    def read(stream: Stream) -> Value:
        if isinstance(stream, WaterStreamResult):
            return stream.water_m3_h
        return stream.slurry_m3_h

    return Field(column, read)


def _passing(results: Results, place: int) -> Field:
    heading = f"< {sieve(results.sieves_mm[place])} mm"
    return number(heading, "%", "percent", _with_rock(lambda stream: stream.passing[place]))


def _asked(results: Results) -> tuple[Field, ...]:
    """The tonnage of a stream's outlet, where the plant states any."""
    asked = {
        (machine.tag, outlet): rate
        for machine in (results.plant.machines if results.plant is not None else ())
        for outlet, rate in machine.asked_t_h.items()
    }
    if not asked:
        return ()
    read = _with_rock(lambda stream: asked.get((stream.source, stream.outlet)), empty_too=True)
    return (number("asked", "t/h", "rate", read),)


def _void(results: Results) -> tuple[Field, ...]:
    """A mark where an overloaded machine is upstream; the equipment list says which."""
    if not results.overloaded:
        return ()
    marked = _with_rock(lambda stream: "VOID" if stream.void_by else "", empty_too=True)
    return (words("numbers", marked, 8),)
