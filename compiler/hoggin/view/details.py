"""The details of one machine, stream, feed or product, as a part of the page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from hoggin.report import (
    conveyors,
    dust,
    energy,
    equipment,
    mass_balance,
    setting,
    slurry,
    storage,
    tramp,
)
from hoggin.report.chart.gradings import LEAST, MOST
from hoggin.report.fields import labelled, number, result, shown, words
from hoggin.report.fields import table as table_of
from hoggin.report.tables import Column, Section, Table
from hoggin.report.water import water_streams
from hoggin.report.wording import (
    ABSENT,
    DEFERENCE,
    all_checks,
    clean,
    outlet_of,
    sieve,
    verdict_word,
)
from hoggin.schema.results import (
    FeedResult,
    MachineResult,
    ProductResult,
    Results,
    StreamResult,
    WaterStreamResult,
)
from hoggin.view.items import machine_of, water_key
from hoggin.view.parts import part
from hoggin.view.plot import Grading, Limits, plot
from hoggin.view.reading import Places

MOST_CURVES = 6  # on one plot; the table holds them all
OF_MACHINES = ("tag", "kind", "source", "class", "duty", "settings", "verdict")
NAMED_ALREADY = (*OF_MACHINES, "no.", "from", "to", "product", "feed", "title", "specifications")


@dataclass(frozen=True, slots=True)
class Way:
    """A neighbour along the streams: the key to go to it by, its words, and how it lies."""

    lies: str
    key: str
    text: str


@dataclass(frozen=True, slots=True)
class Details:
    """`facts` are pairs of label and text; `graded` the gradings by column of their table."""

    kind: str
    name: str
    about: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    settings: tuple[tuple[str, str], ...] = ()
    checks: tuple[tuple[str, str], ...] | None = None  # verdict and finding; None for no machine
    sections: tuple[Section, ...] = ()
    ways: tuple[Way, ...] = ()
    graded: tuple[Grading, ...] = ()
    limits: tuple[Limits, ...] = ()
    cautions: tuple[str, ...] = ()


def details(
    results: Results, key: str, places: Places, changed: tuple[str, ...] = ()
) -> str | None:
    """The part of the page on one item; None if the plant has no such key. `changed` is what the
    last save changed of it."""
    found = _found(results, key)
    if found is None:
        return None
    return part(
        "details.html.j2",
        results,
        it=found,
        changed=changed,
        places=places.get(key, ()),
        plot=plot(found.graded[:MOST_CURVES], found.limits),
        table=_grading_table(results, found.graded),
        deference=DEFERENCE,
    )


def _found(results: Results, key: str) -> Details | None:
    made = {
        **{f.tag: partial(_feed, results, f) for f in results.feeds},
        **{p.tag: partial(_product, results, p) for p in results.products},
        **{s.name: partial(_stream, results, s) for s in results.streams},
        **{water_key(w): partial(_water, results, w) for w in results.water_streams},
        **{m.tag: partial(_machine, results, m) for m in results.machines},
    }
    return made[key]() if key in made else None


def _machine(results: Results, machine: MachineResult) -> Details:
    dusty = tuple(source for source in results.dust if source.source == machine.tag)
    alone = results.model_copy(update={"machines": (machine,), "dust": dusty})
    decks = _turned(equipment.decks(alone), machine.tag)
    # Quantity, drawn and installed power are among the facts of the machine already.
    told = ("quantity", "drawn", "connected")
    drive = _pairs(_without(energy.power(alone), *told)) if machine.drive is not None else ()
    is_priced = machine.wear is not None and machine.wear.cost is not None
    sections = [
        Section("Decks", (), decks),
        *_listed("Setting from touching", setting.settings(alone)),
        *_listed("Liner wear", energy.wear(alone) if machine.wear else None),
        *_listed("Liner cost", energy.liner_costs(alone) if is_priced else None),
        *_listed("Storage", storage.storage(alone)),
        *_listed("Conveyor", conveyors.belts(alone)),
        *_listed("Slurry", slurry.slurries(alone)),
        *_listed("Classifier", slurry.classifiers(alone)),
        *_listed("Thickener", slurry.thickeners(alone)),
        *_listed("Tramp metal", tramp.tramp(alone)),
        *_listed("Dust, at its moisture and controlled", dust.by_source(alone)),
    ]
    return Details(
        kind=clean(machine.kind),
        name=clean(machine.shown_tag),
        about=tuple(
            clean(text)
            for text in (machine.title, machine.class_name, machine.about)
            if clean(text)
        ),
        facts=(*_pairs(equipment.machines(alone)), *drive),
        settings=tuple((clean(s.name.replace("_", " ")), clean(s.text)) for s in machine.settings),
        checks=tuple(_checks(machine)),
        sections=tuple(s for s in sections if s.points or (s.table and s.table.rows)),
        ways=tuple(_ways(results, machine.tag)),
        graded=tuple(_gradings(results, machine.tag)),
        cautions=tuple(map(clean, machine.cautions)),
    )


def _checks(machine: MachineResult) -> Iterator[tuple[str, str]]:
    """Verdict and finding of every limit, a deck's led by the deck's name."""
    for owner, check in all_checks(machine):
        deck = owner.removeprefix(machine.tag).removeprefix(".")
        code = f" ({check.code})" if check.code else ""
        yield verdict_word(check), clean(f"{deck + ': ' if deck else ''}{check.text}{code}")


def _stream(results: Results, stream: StreamResult) -> Details:
    table = mass_balance.streams(results)  # of all: its rows are numbered
    row = table.rows[results.streams.index(stream)]
    facts = _pairs(replace(table, rows=(row,)))
    if results.water is not None:
        water = result(StreamResult, "water_m3_h").column
        facts += ((water.full_heading, water.text(stream.water_m3_h)),)
    return Details(
        kind="stream",
        name=clean(stream.name),
        about=("Dry solids; moisture is water over dry solids.",),
        facts=facts,
        ways=(
            Way("comes from", stream.source, clean(outlet_of(stream))),
            Way("runs to", stream.target, clean(stream.target)),
        ),
        graded=(Grading(clean(stream.name), _points(results, stream.passing)),)
        if stream.rate_t_h > mass_balance.EMPTY_T_H
        else (),
    )


def _water(results: Results, water: WaterStreamResult) -> Details:
    alone = results.model_copy(update={"water_streams": (water,)})
    tags = {thing.tag for thing in (*results.feeds, *results.machines, *results.products)}
    ends = (
        ("comes from", water.source, water.source),
        ("runs to", machine_of(water), water.target),
    )
    return Details(
        kind="stream",
        name=f"{water.number}: {clean(water.source)} -> {clean(water.target)}",
        about=("Water alone.",),
        facts=_pairs(water_streams(alone)),
        ways=tuple(Way(lies, key, clean(text)) for lies, key, text in ends if key in tags),
    )


def _product(results: Results, product: ProductResult) -> Details:
    alone = results.model_copy(update={"products": (product,)})
    specifications = mass_balance.specifications(alone)
    points = mass_balance.specification_points(alone)
    told = ("specification",) if len(product.bands) == 1 else ()
    sections = (
        Section("Specifications", (), _turned(_without(specifications, "product"))),
        Section("Sieve by sieve", (), _without(points, "product", *told)),
    )
    made = product.rate_t_h > mass_balance.EMPTY_T_H
    curve = (*product.curve, *_points(results, product.passing))
    return Details(
        kind="product",
        name=clean(product.shown_tag),
        about=(clean(product.title),) if product.title != product.tag else (),
        facts=_pairs(mass_balance.products(alone)),
        sections=tuple(s for s in sections if s.table and s.table.rows),
        ways=tuple(_ways(results, product.tag)),
        graded=(Grading(clean(product.tag), tuple(sorted(set(curve)))),) if made else (),
        limits=tuple(
            Limits(clean(b.name), tuple(zip(b.sizes_mm, b.low, b.high, strict=True)))
            for b in product.bands
        ),
    )


def _feed(results: Results, feed: FeedResult) -> Details:
    table = mass_balance.feeds(results.model_copy(update={"feeds": (feed,)}))
    kept = [n for n, c in enumerate(table.columns) if not c.heading.startswith("passing ")]
    return Details(
        kind="feed",
        name=clean(feed.shown_tag),
        about=(),
        facts=_pairs(table.keep(kept)),
        ways=tuple(_ways(results, feed.tag)),
        graded=(Grading(clean(feed.tag), _points(results, feed.passing)),),
    )


def _ways(results: Results, tag: str) -> Iterator[Way]:
    for stream in results.streams:
        if stream.target == tag:
            yield _way("in", stream, outlet_of(stream))
    for water in results.water_streams:
        if machine_of(water) == tag:
            yield _water_way("in", water, water.source)
        elif water.source == tag:
            yield _water_way("out", water, f"to {water.target}")
    for stream in results.streams:
        if stream.source == tag:
            outlet = f"{stream.outlet} " if outlet_of(stream) != tag else ""
            yield _way("out", stream, f"{outlet}to {stream.target}")


def _way(lies: str, stream: StreamResult, said: str) -> Way:
    p80 = "" if stream.p80_mm is None else f", {labelled(stream, 'p80_mm')}"
    return Way(
        lies, stream.name, f"{stream.number} {clean(said)}: {shown(stream, 'rate_t_h')}{p80}"
    )


def _water_way(lies: str, water: WaterStreamResult, said: str) -> Way:
    text = f"{water.number} {clean(said)}: {shown(water, 'water_m3_h', kind='rate')}"
    return Way(lies, water_key(water), text)


def _gradings(results: Results, tag: str) -> Iterator[Grading]:
    """What enters a machine and what leaves it, without empty streams."""
    carrying = [s for s in results.streams if s.rate_t_h > mass_balance.EMPTY_T_H]
    for stream in carrying:
        if stream.target == tag:
            yield Grading(f"in: {clean(outlet_of(stream))}", _points(results, stream.passing))
    for stream in carrying:
        if stream.source == tag:
            outlet = stream.outlet if stream.outlet not in ("", "product") else stream.target
            yield Grading(f"out: {clean(outlet)}", _points(results, stream.passing))


def _points(results: Results, passing: Sequence[float]) -> tuple[tuple[float, float], ...]:
    return tuple(zip(results.sieves_mm, passing, strict=True))


def _grading_table(results: Results, graded: Sequence[Grading]) -> Table | None:
    """Sieves down, gradings across, from the finest sieve that all gradings pass completely to the
    coarsest that none passes."""
    if not graded:
        return None
    known = [dict(grading.points) for grading in graded]
    sizes = results.sieves_mm
    telling = [n for n, mm in enumerate(sizes) if any(LEAST < c[mm] < MOST for c in known)]
    first, last = (telling[0], telling[-1]) if telling else (0, len(sizes) - 1)
    names = [f"{n} {grading.name}" for n, grading in enumerate(graded, start=1)]
    fields = (
        words("sieve mm", sieve),
        *(
            number(name if len(graded) > 1 else "passing", "%", "percent", curve.__getitem__)
            for name, curve in zip(names, known, strict=True)
        ),
    )
    return table_of("Grading", fields, sizes[max(0, first - 1) : last + 2])


def _pairs(table: Table) -> tuple[tuple[str, str], ...]:
    """The first row as label and text, without what is absent or is shown already."""
    if not table.rows:
        return ()
    cells = zip(table.columns, table.rows[0], strict=True)
    said = (
        (clean(column.full_heading), column.text(value))
        for column, value in cells
        if column.numeric or column.heading not in NAMED_ALREADY
    )
    return tuple((label, text) for label, text in said if text not in ("", ABSENT))


def _without(table: Table, *headings: str) -> Table:
    return table.keep([n for n, c in enumerate(table.columns) if c.heading not in headings])


def _turned(table: Table, owner: str = "") -> Table:
    """The table transposed, for a table of few rows and many columns in a narrow place. The owner's
    tag is removed from the names of the rows."""
    names = (table.columns[0].text(row[0]) for row in table.rows)
    heads = tuple(Column(name.removeprefix(f"{clean(owner)}.")) for name in names)
    rows = tuple(
        (clean(column.full_heading), *(column.text(row[n]) for row in table.rows))
        for n, column in enumerate(table.columns)
        if n > 0
    )
    return Table(table.title, (Column(table.columns[0].heading), *heads), rows if heads else ())


def _listed(heading: str, table: Table | None) -> Iterable[Section]:
    """A table of which only the first row is about the item, as points."""
    said = _pairs(table) if table is not None else ()
    points = tuple(f"{label}: {text}" for label, text in said)
    return [Section(heading, points=points)] if points else []
