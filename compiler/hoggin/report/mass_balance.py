"""The mass balance: every stream, product, loop and requirement, as tables."""

from __future__ import annotations

import math

from hoggin.report import shape, text
from hoggin.report.feed_notes import iterated_on
from hoggin.report.fields import Field, known, number, result, table, words
from hoggin.report.tables import Column, Document, Section, Table, Value
from hoggin.report.water import NOTE, water
from hoggin.report.wording import DEFERENCE, PREDICTION, bands_text, outlet_of, sieve, subtitle
from hoggin.schema.results import (
    FeedResult,
    LoopResult,
    ProductResult,
    Results,
    StreamResult,
)

EMPTY_T_H = 1e-9  # a stream below this carries nothing, and has no grading
ALL_PASSING = 0.9995  # reads as 100.0 %


def terminal(results: Results, width: int = 140) -> str:
    """The mass balance for a terminal, gradings only on the sieves that tell streams apart."""
    return text.terminal(_document(results, brief=True), width)


def document(results: Results) -> Document:
    """The whole mass balance, every stream on every reporting sieve."""
    return _document(results, brief=False)


def _document(results: Results, *, brief: bool) -> Document:
    every = tuple(range(len(results.sieves_mm)))
    carried = [s.passing for s in results.streams if not _empty(s)]
    made = [p.passing for p in results.products if p.rate_t_h > EMPTY_T_H]
    sieves = _telling_sieves(carried, every) if brief else every
    product_sieves = _telling_sieves(made, every) if brief else every
    notes = ["Per cent passing; the headings are sieves in mm."]
    if sieves[0] > 0:
        coarsest = sieve(results.sieves_mm[sieves[0]])
        notes.append(f"All streams pass the sieves coarser than {coarsest} mm.")
    sections = [
        Section("Totals", _closure_notes(results), totals(results)),
        Section("Streams", ("Dry solids; moisture is water over dry solids.",), streams(results)),
        Section("Stream gradings", tuple(notes), gradings(results, sieves)),
        Section("Water", (NOTE,), water(results)),
        Section("Products", (), products(results)),
        Section("Product gradings", (), product_gradings(results, product_sieves)),
        *shape.sections(results),
        Section("Specifications", (), specifications(results)),
        Section("Specifications sieve by sieve", (), specification_points(results)),
        Section("Closed circuits", (), loops(results)),
        Section("Requirements", (), requirements(results)),
        Section("Feeds", (), feeds(results)),
    ]
    left_out = {"Specifications sieve by sieve", "Feeds"} if brief else set()
    kept = [s for s in sections if s.heading not in left_out and s.table and s.table.rows]
    reading = Section("Reading these figures", (PREDICTION, DEFERENCE), points=results.assumptions)
    return Document(f"Mass balance: {results.title}", subtitle(results), (*kept, reading))


def _telling_sieves(gradings: list[tuple[float, ...]], places: tuple[int, ...]) -> tuple[int, ...]:
    """Places of the reporting sieves from the finest that all gradings pass, downwards."""
    for place in places:
        if any(passing[place] < ALL_PASSING for passing in gradings):
            return places[max(0, place - 1) :]
    return places


def _empty(stream: StreamResult) -> bool:
    return stream.rate_t_h <= EMPTY_T_H


def _closure_notes(results: Results) -> tuple[str, ...]:
    closure = results.closure
    belts = any(machine.belt for machine in results.machines)
    driven = "Crushers and conveyors" if belts else "Crushers"
    return (
        f"Every size class closes within {closure.worst:.0e} of plant feed, "
        f"after {closure.iterations} iterations on {iterated_on(results)}.",
        f"{driven} draw {results.power_kw:.0f} kW, {results.energy_kwh_t:.2f} kWh per tonne of "
        "plant feed.",
    )


def totals(results: Results) -> Table:
    """What enters, what leaves, and the difference."""
    fed = math.fsum(feed.rate_t_h for feed in results.feeds)
    made = math.fsum(product.rate_t_h for product in results.products)

    def line(name: str, t_h: float) -> tuple[Value, ...]:
        return name, t_h, t_h / fed if fed else None

    columns = (Column("total"), Column("rate", "t/h", "rate"), Column("of feed", "%", "percent"))
    rows = (line("feed in", fed), line("products out", made), line("difference", made - fed))
    return Table("Totals", columns, rows)


_STREAM = (
    number("no.", "", "count", lambda pair: pair[0]),
    words("from", lambda pair: outlet_of(pair[1]), 28),
    words("to", lambda pair: pair[1].target, 28),
)
_SHAPE = ("flakiness", "flat_elongated")


def streams(results: Results) -> Table:
    """Every stream without its grading."""
    carried = ("rate_t_h", "share_of_feed", "p80_mm", "p50_mm", "moisture")
    fields = [
        *_STREAM,
        *(_of_stream(name) for name in carried),
        *known([_of_stream(name) for name in _SHAPE], list(enumerate(results.streams))),
        words("recirculating", lambda pair: "yes" if pair[1].recirculating else ""),
    ]
    return table("Streams", fields, enumerate(results.streams, start=1))


def _of_stream(name: str) -> Field:
    """A column of numbered streams; an empty one has a rate and nothing else."""
    field = result(StreamResult, name)
    empty_too = name in ("rate_t_h", "share_of_feed")

    def get(pair: tuple[int, StreamResult]) -> Value:
        return field.get(pair[1]) if empty_too or not _empty(pair[1]) else None

    return Field(field.column, get)


def gradings(results: Results, places: tuple[int, ...]) -> Table:
    """Per cent passing of every stream on the sieves at `places`."""
    rows = tuple(
        (number, stream.name, *(None if _empty(stream) else stream.passing[i] for i in places))
        for number, stream in enumerate(results.streams, start=1)
    )
    sieves = (Column(sieve(results.sieves_mm[i]), kind="percent") for i in places)
    columns = (Column("no.", kind="count"), Column("stream", width=32), *sieves)
    return Table("Gradings", columns, rows, keys=2)


def stream_ledger(results: Results) -> Table:
    """Streams and gradings side by side: the one table of the CSV file."""
    places = tuple(range(len(results.sieves_mm)))
    summary, grading = streams(results), gradings(results, places)
    passing = _passing_columns(results)
    rows = tuple((*s, *g[2:]) for s, g in zip(summary.rows, grading.rows, strict=True))
    return Table("Streams", (*summary.columns, *passing), rows)


def _passing_columns(results: Results) -> tuple[Column, ...]:
    return tuple(Column(f"passing {sieve(mm)} mm", "%", "percent") for mm in results.sieves_mm)


_PRODUCT = (
    words("product", lambda product: product.tag),
    words("title", lambda product: product.title, 28),
    *(result(ProductResult, n) for n in ("rate_t_h", "share_of_feed")),
)
_QUALITY = [
    result(ProductResult, name) for name in ("per_year_t_y", "p80_mm", "fineness_modulus", *_SHAPE)
]


def products(results: Results) -> Table:
    """Each product's rate and quality."""
    fields = (
        *_PRODUCT,
        *known(_QUALITY, results.products),
        words("specifications", bands_text, 40),
    )
    return table("Products", fields, results.products)


def product_gradings(results: Results, places: tuple[int, ...]) -> Table:
    """Sieves down, products across: the way a grading is read."""
    columns = (
        Column("sieve mm", kind="text"),
        *(Column(p.tag, "%", "percent") for p in results.products),
    )
    rows = tuple(
        (
            sieve(results.sieves_mm[i]),
            *(p.passing[i] if p.rate_t_h > EMPTY_T_H else None for p in results.products),
        )
        for i in places
    )
    return Table("Product gradings", columns, rows if results.products else ())


def specifications(results: Results) -> Table:
    """Each product against each of its bands, with the sieve that decides."""
    columns = (
        Column("product"),
        Column("specification", width=32),
        Column("verdict"),
        Column("worst sieve", "mm", "size"),
        Column("margin there", "% points", "percent"),
        Column("source", width=40),
    )
    rows = tuple(
        (
            product.tag,
            band.name,
            "met" if band.met else "NOT MET",
            band.worst_size_mm,
            band.worst_margin,
            band.source,
        )
        for product in results.products
        for band in product.bands
    )
    return Table("Specifications", columns, rows, keys=2)


def specification_points(results: Results) -> Table:
    """Every sieve of every band, with the product's passing between the limits."""
    columns = (
        Column("product"),
        Column("specification", width=32),
        Column("sieve", "mm", "size"),
        Column("at least", "%", "percent"),
        Column("passing", "%", "percent"),
        Column("at most", "%", "percent"),
        Column("verdict"),
    )
    rows = tuple(
        (
            product.tag,
            band.name,
            mm,
            low,
            passing,
            high,
            "inside" if low <= passing <= high else "OUTSIDE",
        )
        for product in results.products
        for band in product.bands
        for mm, low, passing, high in zip(
            band.sizes_mm, band.low, band.passing, band.high, strict=True
        )
    )
    return Table("Specification sieves", columns, rows, keys=2)


def loops(results: Results) -> Table:
    """What recirculates in each closed circuit."""
    fields = (
        words("machines in the circuit", lambda loop: ", ".join(loop.machines), 50),
        *(
            result(LoopResult, name)
            for name in ("fresh_feed_t_h", "recirculating_t_h", "recirculating_load")
        ),
    )
    return table("Closed circuits", fields, results.loops)


def requirements(results: Results) -> Table:
    """Each requirement of the source file, its verdict and its margin."""
    columns = (
        Column("requirement", width=40),
        Column("verdict"),
        Column("result", width=32),
        Column("wanted", width=28),
        Column("margin"),
        Column("where"),
    )
    rows = tuple(
        (
            requirement.text,
            "met" if requirement.met else "NOT MET",
            requirement.value_text,
            requirement.limit_text,
            requirement.margin_text,
            f"{requirement.file}:{requirement.line}",
        )
        for requirement in results.requirements
    )
    return Table("Requirements", columns, rows)


def feeds(results: Results) -> Table:
    """What enters the plant, with its grading."""
    fields = (
        words("feed", lambda feed: feed.tag),
        words("material", lambda feed: feed.material),
        *(result(FeedResult, name) for name in ("rate_t_h", "p80_mm", "moisture")),
        *known([result(FeedResult, name) for name in _SHAPE], results.feeds),
    )
    plain = table("Feeds", fields, results.feeds)
    rows = ((*row, *feed.passing) for row, feed in zip(plain.rows, results.feeds, strict=True))
    return Table("Feeds", (*plain.columns, *_passing_columns(results)), tuple(rows))
