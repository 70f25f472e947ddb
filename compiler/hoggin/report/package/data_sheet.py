"""A data sheet for each machine: what is asked of it and, if it is to be bought, blanks for the
bidder."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pydantic import BaseModel

from hoggin.report import screens
from hoggin.report.fields import Field, number, result, table, verdict, words
from hoggin.report.package.lists import described, size_names, stated
from hoggin.report.tables import Section, Table
from hoggin.report.wording import clean, outlet_of, sieve, verdict_word
from hoggin.schema.declared import results_of
from hoggin.schema.figures import COUNT, NUMBER, PERCENT, RATE
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Material
from hoggin.schema.results import Check, MachineResult, Results, StreamResult

MOST_SIEVES = 12
TELLS = (0.002, 0.998)  # fractions passing between which a sieve tells something
_PREDICTED = (
    "Gradings and figures are predictions of the balance for this duty. State in your offer what "
    "you guarantee, with which feed and test, and every deviation."
)
_Line = tuple[str, str, str]  # what it is, what is asked, its unit
Grading = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class DataSheet:
    """`title` is over its sections."""

    title: str
    sections: tuple[Section, ...]


def data_sheets(results: Results) -> tuple[DataSheet, ...]:
    """One for each machine of a class, in the order of the flow."""
    listed = (machine for machine in results.machines if KINDS[machine.kind].has_class)
    return tuple(_data_sheet(machine, results) for machine in listed)


def _data_sheet(machine: MachineResult, results: Results) -> DataSheet:
    title = f"{machine.shown_tag} {described(machine)}"
    sections: tuple[Section, ...] = (
        Section("Service", (), _stated(_service(machine, results))),
        Section("Rock", (), _stated(_rock(machine, results))),
        Section("Duty", (), _stated(_duty(machine))),
        Section("Size and settings", (), _stated(_settings(machine, results))),
        Section("Feed and product gradings", (), gradings(machine, results)),
        Section("Limits of the application", (), limits(machine)),
    )
    if not machine.existing:
        sections += (
            Section("Guarantees asked", (_PREDICTED,), _offered(_guarantees(machine))),
            Section("To be filled in by the bidder", (), blanks(machine)),
        )
    return DataSheet(title, tuple(one for one in sections if one.has_rows))


_STATED: tuple[Field, ...] = (
    words("", lambda line: line[0], 34),
    words("", lambda line: f"{line[1]} {line[2]}".strip(), 44),
)
_OFFERED: tuple[Field, ...] = (
    words("item", lambda line: line[0], 36),
    words("asked", lambda line: line[1], 16),
    words("unit", lambda line: line[2], 8),
    words("offered", lambda _: BLANK, 60),
)
BLANK = "." * 60  # a line to write on


def _stated(lines: Iterator[_Line]) -> Table:
    return table("Data", _STATED, list(lines))


def _offered(lines: Iterator[_Line]) -> Table:
    """Rows with a blank beside each for what is offered."""
    return table("Offer", _OFFERED, list(lines))


def _service(machine: MachineResult, results: Results) -> Iterator[_Line]:
    yield "plant", clean(results.title), ""
    yield "name in routes", machine.tag, ""
    yield "class", clean(machine.class_name), ""
    yield "quantity", COUNT.text(machine.count), ""
    yield "supply", "existing" if machine.existing else "new", ""
    for trait, text in sorted(machine.traits.items()):
        yield clean(trait.replace("_", " ")), clean(text.replace("_", " ")), ""
    for note in machine.notes:
        yield "note", clean(note), ""


def _rock(machine: MachineResult, results: Results) -> Iterator[_Line]:
    """Of what it is fed: of a blend what the balance found, else of the plant's one rock."""
    materials = tuple(results.plant.materials.values()) if results.plant else ()
    blend = machine.rock
    if blend is None and len(materials) != 1:
        yield from ((clean(one.name), "see the design basis", "") for one in materials)
        return
    of: Material | None = materials[0] if blend is None else None
    source = of or blend
    if of is not None:
        yield "rock", clean(of.name), ""
    for label, name, unit in (
        ("work index (Bond)", "work_index_kwh_t", "kWh/t"),
        ("abrasion index (Bond)", "abrasion_index", ""),
        ("density of the solid", "solid_density_t_m3", "t/m3"),
        ("density, broken and loose", "bulk_density_t_m3", "t/m3"),
        ("compressive strength", "compressive_strength_mpa", "MPa"),
    ):
        value = getattr(source, name, None)
        if value is not None:
            yield label, NUMBER.text(value), unit
    if machine.moisture_of_feed is not None:
        yield "moisture, over dry solids", PERCENT.text(machine.moisture_of_feed), "%"
    if machine.clay_of_feed:
        yield "clay, over dry solids", PERCENT.text(machine.clay_of_feed), "%"


def _duty(machine: MachineResult) -> Iterator[_Line]:
    yield "feed, each machine", RATE.text(machine.feed_t_h / machine.count), "t/h dry"
    if machine.count > 1:
        yield "feed, all machines", RATE.text(machine.feed_t_h), "t/h dry"
    yield from _result(machine, "top_size_mm", "top size of feed, 98 % passing")
    yield from _result(machine, "f80_mm", "F80 of feed")
    yield from _result(machine, "p80_mm", "P80 of product")
    yield from _result(machine, "reduction_ratio", "reduction ratio, F80 over P80")
    if machine.recirculating_load > 0.0:
        yield from _result(machine, "recirculating_load")
    parts = (machine.slurry, machine.rinse, machine.classifier, machine.thickener, machine.belt)
    for part in filter(None, parts):
        for one in results_of(type(part)):
            yield from _result(part, one.field)


def _result(thing: BaseModel, path: str, label: str = "") -> Iterator[_Line]:
    """A result as a line, under the schema's label or another; nothing where there is none."""
    field = result(type(thing), path, label)
    value = field.get(thing)
    if value is not None:
        yield field.column.heading, field.column.text(value), field.column.unit


def _settings(machine: MachineResult, results: Results) -> Iterator[_Line]:
    fixed = size_names(machine, results)
    for one in machine.settings:
        what = one.name.replace("_", " ") + ("" if one.name in fixed else ", as set")
        yield clean(what), clean(one.text), ""
    for deck in machine.decks:
        area = NUMBER.text(deck.area_m2 / machine.count)
        yield f"deck {deck.name}", f"{sieve(deck.aperture_mm)} mm {screens.shape(deck)}", ""
        yield f"area of deck {deck.name}", area, "m2"
    found = stated(machine, results)
    opening = found.facts.get("feed_opening_mm") if found else None
    if opening is not None:
        yield "feed opening", NUMBER.text(opening), "mm"
    if machine.drive is not None and machine.drive.motor_kw is not None:
        yield "motor", f"{machine.drive.motor_kw:g}", "kW"


# -- gradings -----------------------------------------------------------------------------------


def gradings(machine: MachineResult, results: Results) -> Table:
    """Per cent passing of its feed and of what leaves by each outlet, on the sieves that tell."""
    curves = dict(_curves(machine, results.streams))
    places = telling(tuple(curves.values()), len(results.sieves_mm))
    fields = (
        number("sieve", "mm", "stated", lambda place: results.sieves_mm[place]),
        *(_passing(name, curve) for name, curve in curves.items()),
    )
    return table("Gradings", fields, places if curves else ())


def _passing(name: str, curve: Grading) -> Field:
    return number(name, "% passing", "percent", curve.__getitem__)


def _curves(
    machine: MachineResult, streams: Sequence[StreamResult]
) -> Iterator[tuple[str, Grading]]:
    entering = [stream for stream in streams if stream.target == machine.tag]
    if found := together(entering):
        yield "feed", found
    leaving: dict[str, list[StreamResult]] = {}
    for stream in streams:
        if stream.source == machine.tag:
            leaving.setdefault(outlet_of(stream).removeprefix(machine.tag).lstrip("."), []).append(
                stream
            )
    for outlet, parts in leaving.items():
        if found := together(parts):
            yield outlet or "product", found


def together(streams: Sequence[StreamResult]) -> Grading | None:
    """The grading of streams that meet; None where nothing flows."""
    total = math.fsum(stream.rate_t_h for stream in streams)
    if total <= 0.0:
        return None
    columns = zip(*(stream.passing for stream in streams), strict=True)
    rates = [stream.rate_t_h for stream in streams]
    return tuple(
        math.fsum(rate * p for rate, p in zip(rates, column, strict=True)) / total
        for column in columns
    )


def telling(curves: Sequence[Grading], sieves: int) -> tuple[int, ...]:
    """Places of the sieves from the coarsest down to the finest on which any curve tells
    something; no more than fit, evenly."""
    low, high = TELLS
    found = [n for n in range(sieves) if any(low < curve[n] < high for curve in curves)]
    if not found:
        return ()
    run = list(range(max(0, found[0] - 1), found[-1] + 1))
    step = -(-len(run) // MOST_SIEVES)
    return tuple(run[::step])


# -- what is asked and what is offered ------------------------------------------------------------

_LIMITS: tuple[Field, ...] = (
    words("limit", lambda pair: pair[0], 28),
    words("finding", lambda pair: pair[1].text, 66),
    verdict(lambda pair: verdict_word(pair[1]), 12),
)


def limits(machine: MachineResult) -> Table:
    """What the machine was held against, each limit once."""
    decks = [(f"{d.name}: {check.name}", check) for d in machine.decks for check in d.checks]
    own: list[tuple[str, Check]] = [(check.name, check) for check in machine.checks]
    return table("Limits", _LIMITS, (*own, *decks))


def _guarantees(machine: MachineResult) -> Iterator[_Line]:
    """What a bidder is asked to guarantee for this duty."""
    yield (
        "throughput of this feed, not less than",
        RATE.text(machine.feed_t_h / machine.count),
        "t/h dry",
    )
    if KINDS[machine.kind].breaks:
        yield from _result(machine, "p80_mm", "product P80, not coarser than")
        yield "product passing, by the grading above", "", "%"
    for deck in machine.decks:
        what = f"undersize passed by deck {deck.name}, not less than"
        yield from _result(deck, "undersize_efficiency", what)
    yield from _result(machine, "power_kw", "power drawn, not more than")
    yield from _result(machine, "wear.life_h", "life of liners with this rock, about")
    yield "sound pressure at 1 m, loaded", "", "dB(A)"
    yield "dust at its openings, with suppression", "", "mg/m3"


_BLANKS = (
    ("type and size offered", ""),
    ("mass without motor", "t"),
    ("heaviest part to lift", "t"),
    ("length, width, height", "m"),
    ("motor: power, speed, efficiency class", "kW"),
    ("dynamic loads on the foundation", "kN"),
    ("guards, lock-out points, tramp release", ""),
    ("delivery, from order", "weeks"),
    ("deviations from this sheet", ""),
)
_OF_CRUSHERS = (("range of setting", "mm"), ("liners, mass of a set", "t"), ("life of liners", "h"))


def blanks(machine: MachineResult) -> Table:
    """What the bidder says of the machine that is offered."""
    more = _OF_CRUSHERS if KINDS[machine.kind].breaks else ()
    lines = [(what, "", unit) for what, unit in (*_BLANKS, *more)]
    item, _, unit, offered = _OFFERED
    return table("Offer", (item, unit, offered), lines)
