"""The mass balance: every stream, product, loop and requirement, as tables."""

from __future__ import annotations

import math
from dataclasses import replace

from hoggin.report import rock, shape
from hoggin.report.feed_notes import iterated_on
from hoggin.report.fields import (
    Field,
    known,
    number,
    result,
    results_of,
    second,
    table,
    verdict,
    words,
)
from hoggin.report.tables import Document, Section, Table, Value
from hoggin.report.water import NOTE, of_rock, water, water_streams
from hoggin.report.wording import (
    DEFERENCE,
    PREDICTION,
    bands_text,
    judgement,
    outlet_of,
    overload_notes,
    sieve,
    subtitle,
    void_text,
)
from hoggin.schema.measures import MEASURES
from hoggin.schema.results import (
    BandVerdict,
    FeedResult,
    LoopResult,
    ProductResult,
    Results,
    StreamResult,
)

EMPTY_T_H = 1e-9  # a stream below this carries nothing, and has no grading
ALL_PASSING = 0.9995  # reads as 100.0 %


def document(results: Results, *, brief: bool = False) -> Document:
    """The mass balance: the whole of it, every stream on every reporting sieve, unless `brief`:
    then gradings are on the sieves that tell streams apart."""
    every = tuple(range(len(results.sieves_mm)))
    carried = [s.passing for s in results.streams if not _empty(s)]
    made = [p.passing for p in results.products if p.rate_t_h > EMPTY_T_H]
    sieves = _telling_sieves(carried, every) if brief else every
    product_sieves = _telling_sieves(made, every) if brief else every
    notes = ["Per cent passing; the headings are sieves in mm."]
    if sieves[0] > 0:
        coarsest = sieve(results.sieves_mm[sieves[0]])
        notes.append(f"Every stream passes the sieves coarser than {coarsest} mm completely.")
    sections = [
        Section("Totals", (*overload_notes(results), *_closure_notes(results)), totals(results)),
        Section("Streams", ("Dry solids; moisture is water over dry solids.",), streams(results)),
        Section("Stream gradings", tuple(notes), gradings(results, sieves)),
        Section("Water streams", (), water_streams(results)),
        Section("Water", (NOTE,), water(results)),
        Section("Products", (), products(results)),
        Section("Product gradings", (), product_gradings(results, product_sieves)),
        *shape.sections(results),
        Section("Specifications", (), specifications(results)),
        Section("Specifications sieve by sieve", (), specification_points(results)),
        Section("Closed circuits", (), loops(results)),
        Section("Requirements", (), requirements(results)),
        Section("Feeds", (), feeds(results)),
        *rock.sections(results),
    ]
    left_out = {"Specifications sieve by sieve", "Feeds", "Rock"} if brief else set()
    kept = [s for s in sections if s.heading not in left_out and s.has_rows]
    reading = Section("Notes", (PREDICTION, DEFERENCE), points=results.assumptions)
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
    return (
        closure_note(results),
        error_note(results),
        f"The machines draw {results.power_kw:.0f} kW, {results.energy_kwh_t:.2f} kWh per tonne "
        f"of plant feed. {results.installed_power_kw:.0f} kW of motors are connected, and take "
        f"{results.demand_kw:.0f} kW from the supply.",
    )


def closure_note(results: Results) -> str:
    """How exactly the balance closes."""
    closure = results.closure
    took = f", after {closure.iterations} iterations on {iterated_on(results)}"
    return (
        f"Every size class closes within {closure.worst:.0e} of plant feed"
        f"{took if closure.iterations else ''}."
    )


def error_note(results: Results) -> str:
    """How exact the flows are."""
    return (
        f"The width of the size classes leaves {flow_error(results)}. The error of the models "
        "comes on top."
    )


def flow_error(results: Results) -> str:
    """How exact the flows are, as far as that depends on the size classes."""
    error = results.closure.flow_error
    if error is None:
        return "an error of the flows that can't be estimated"
    return f"an estimated error of the flows of {100.0 * error:.2g} %"


def totals(results: Results) -> Table:
    """What enters, what leaves, and the difference; by the year too, where its hours are known."""
    fed = math.fsum(feed.rate_t_h for feed in results.feeds)
    made = math.fsum(product.rate_t_h for product in results.products)
    run = results.running_h

    fields = (
        words("total", lambda line: line[0]),
        number("rate", "t/h", "rate", lambda line: line[1]),
        number("of feed", "%", "percent", lambda line: line[1] / fed if fed else None),
        *((number("a year", "t/y", "count", lambda line: line[1] * run),) if run else ()),
    )
    lines = (("feed in", fed), ("products out", made), ("difference", made - fed))
    return table("Totals", fields, lines)


NUMBER = number("no.", "", "count", lambda stream: int(stream.number))
_STREAM = (
    NUMBER,
    words("from", outlet_of, 28),
    words("to", lambda stream: stream.target, 28),
)
_Graded = FeedResult | ProductResult | StreamResult


def streams(results: Results) -> Table:
    """Every stream without its grading."""
    return table("Streams", _stream_fields(results), results.streams)


def _stream_fields(results: Results) -> tuple[Field, ...]:
    carried = ("rate_t_h", "share_of_feed", "p80_mm", "p50_mm", "moisture")
    return (
        *_STREAM,
        *(_of_stream(name) for name in carried),
        *_of_slurry(results),
        *known([_of_stream(name) for name in MEASURES], results.streams),
        words("recirculating", lambda stream: "yes" if stream.recirculating else ""),
        *_void_words(results),
    )


def _of_slurry(results: Results) -> list[Field]:
    """What is known of streams where water is added; no columns where none is slurry."""
    slurry = [
        result(StreamResult, "slurry_m3_h"),
        result(StreamResult, "pulp_density_t_m3"),
    ]
    if not known(slurry, results.streams):
        return []
    return [_of_stream("solids"), *slurry]


def _void_words(results: Results) -> tuple[Field, ...]:
    """A column that marks what is void, in a plant with an overloaded machine."""
    if not results.overloaded:
        return ()
    return (words("void", void_text, 20),)


def _of_stream(name: str) -> Field:
    """A column of streams; an empty one has a rate and nothing else."""
    field = result(StreamResult, name)
    if name == "moisture":
        field = replace(field, get=lambda stream: of_rock(stream.moisture))
    empty_too = name in ("rate_t_h", "share_of_feed")

    def get(stream: StreamResult) -> Value:
        return field.get(stream) if empty_too or not _empty(stream) else None

    return Field(field.column, get)


def gradings(results: Results, places: tuple[int, ...]) -> Table:
    """Per cent passing of every stream on the sieves at `places`."""
    fields = (
        NUMBER,
        words("stream", lambda stream: stream.name, 32),
        *(_passing(results, i, "") for i in places),
    )
    return table("Gradings", fields, results.streams, keys=2)


def stream_ledger(results: Results) -> Table:
    """Streams and gradings side by side: the one table of the CSV file."""
    fields = (*_stream_fields(results), *_passings(results))
    return table("Streams", fields, results.streams)


def _passings(results: Results) -> list[Field]:
    """Per cent passing of a thing on every sieve."""
    return [_passing(results, i, "%") for i in range(len(results.sieves_mm))]


def _passing(results: Results, place: int, unit: str) -> Field:
    """Per cent passing of a thing that has a rate, on one sieve."""
    size = sieve(results.sieves_mm[place])

    def get(thing: _Graded) -> float | None:
        return thing.passing[place] if thing.rate_t_h > EMPTY_T_H else None

    return number(f"passing {size} mm" if unit else size, unit, "percent", get)


_PRODUCT = (
    words("product", lambda product: product.tag),
    words("title", lambda product: product.title, 28),
    *results_of(ProductResult, "rate_t_h", "share_of_feed"),
)
_ITEM_TAG = words("tag", lambda thing: thing.item_tag or None, 20)
_QUALITY = results_of(ProductResult, "per_year_t_y", "p80_mm", "fineness_modulus", *MEASURES)


def products(results: Results) -> Table:
    """Each product's rate and quality."""
    fields = (
        *known((_ITEM_TAG,), results.products),
        *_PRODUCT,
        *known(_QUALITY, results.products),
        *_void_words(results),
        verdict(bands_text, 40, "specifications"),
    )
    return table("Products", fields, results.products)


def product_gradings(results: Results, places: tuple[int, ...]) -> Table:
    """Sieves down, products across: the way a grading is read."""

    def of(product: ProductResult) -> Field:
        made = product.rate_t_h > EMPTY_T_H
        return number(product.tag, "%", "percent", lambda i: product.passing[i] if made else None)

    fields = (
        number("sieve", "mm", "stated", lambda i: results.sieves_mm[i]),
        *map(of, results.products),
    )
    return table("Product gradings", fields, places if results.products else ())


def specifications(results: Results) -> Table:
    """Each product against each of its bands, with the sieve that decides."""
    fields = (
        *_BAND,
        verdict(lambda pair: judgement(pair[1])),
        second(result(BandVerdict, "worst_size_mm", "worst sieve")),
        second(result(BandVerdict, "worst_margin", "margin there", unit="points")),
        words("source", lambda pair: pair[1].source, 40),
    )
    return table("Specifications", fields, _banded(results), keys=2)


_BAND = (
    words("product", lambda pair: pair[0].tag),
    words("specification", lambda pair: pair[1].name, 32),
)


def _banded(results: Results) -> list[tuple[ProductResult, BandVerdict]]:
    return [(product, band) for product in results.products for band in product.bands]


def specification_points(results: Results) -> Table:
    """Every sieve of every band, with the product's passing between the limits."""
    fields = (
        *_BAND,
        number("sieve", "mm", "stated", lambda at: at[1].sizes_mm[at[2]]),
        number("at least", "%", "percent", lambda at: at[1].low[at[2]]),
        number("passing", "%", "percent", lambda at: at[1].passing[at[2]]),
        number("at most", "%", "percent", lambda at: at[1].high[at[2]]),
        verdict(lambda at: _inside(at[1], at[2])),
    )
    points = (
        (product, band, place)
        for product, band in _banded(results)
        for place in range(len(band.sizes_mm))
    )
    return table("Specification sieves", fields, points, keys=2)


def _inside(band: BandVerdict, place: int) -> str:
    inside = band.low[place] <= band.passing[place] <= band.high[place]
    return "inside" if inside else "OUTSIDE"


def loops(results: Results) -> Table:
    """What recirculates in each closed circuit, and how near it is to running away."""
    fields = (
        words("machines in the circuit", lambda loop: ", ".join(loop.machines), 50),
        *results_of(LoopResult, "fresh_feed_t_h", "recirculating_t_h", "recirculating_load"),
        *known(results_of(LoopResult, "runs_away_at"), results.loops),
    )
    return table("Closed circuits", fields, results.loops)


def requirements(results: Results) -> Table:
    """Each requirement of the source file, its verdict and its margin."""
    fields = (
        words("requirement", lambda one: one.text, 40),
        verdict(judgement),
        words("result", lambda one: one.value_text, 32),
        words("wanted", lambda one: one.limit_text, 28),
        words("margin", lambda one: one.margin_text),
        *((words("reason", lambda one: one.reason, 40),) if results.overloaded else ()),
        words("where", lambda one: f"{one.file}:{one.line}"),
    )
    return table("Requirements", fields, results.requirements)


def feeds(results: Results) -> Table:
    """What enters the plant, with its grading."""
    fields = (
        *known((_ITEM_TAG,), results.feeds),
        words("feed", lambda feed: feed.tag),
        *known((words("title", lambda feed: feed.title or None, 28),), results.feeds),
        words("material", lambda feed: feed.material),
        *results_of(FeedResult, "rate_t_h", "p80_mm", "moisture", "clay"),
        *known(results_of(FeedResult, "per_year_t_y", *MEASURES), results.feeds),
    )
    return table("Feeds", (*fields, *_passings(results)), results.feeds)
