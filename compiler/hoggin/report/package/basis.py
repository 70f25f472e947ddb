"""The design basis: what the plant was designed for, by which standards and methods."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from hoggin.models import catalog
from hoggin.report import rock
from hoggin.report.fields import TAG, known, number, results_of, shown, table, words
from hoggin.report.tables import Section, Table, where_rows
from hoggin.report.wording import clean
from hoggin.schema.figures import COUNT, PERCENT, STATED
from hoggin.schema.measures import MEASURES
from hoggin.schema.plant import ClassRecord
from hoggin.schema.results import FeedResult, Results

_METHODS_NOTE = (
    "Hoggin's documentation (hoggin docs methods) has each method with its equation and range, and "
    "when not to rely on it. The coefficients, each with its source, are in the appendix."
)


def sections(results: Results) -> tuple[Section, ...]:
    """In the order in which a reader checks them."""
    return (
        Section("Duty", (), duty(results)),
        *where_rows("Feed grading, as stated", (), grading(results)),
        *(one for one in rock.sections(results) if one.has_rows),
        Section("Feeds", (), feeds(results)),
        Section("Standards", ("As far as each bears on this plant.",), standards(results)),
        *where_rows("Methods", (_METHODS_NOTE,), methods(results)),
        Section("Assumptions", points=results.assumptions),
    )


_LINE = (words("", lambda line: line[0], 34), words("", lambda line: line[1], 60))


def duty(results: Results) -> Table:
    """What the plant is asked to run at, and for how long."""
    return table("Duty", _LINE, list(_duty(results)))


def _duty(results: Results) -> Iterator[tuple[str, str]]:
    plant = results.plant
    yield "plant feed", f"{shown(results, 'feed_t_h')} of dry solids"
    if plant is not None and plant.hours_per_year is not None:
        yield "hours manned", f"{STATED.text(plant.hours_per_year)} h a year"
        yield "availability", f"{PERCENT.text(plant.availability)} % of these hours"
    if results.running_h is not None:
        yield "running at these rates", f"{COUNT.text(results.running_h)} h a year"
        yield "fed in a year", shown(results, "per_year_t_y")
    if plant is not None and plant.shifts:
        days = f", {plant.days_per_week} days a week" if plant.days_per_week else ""
        yield "shifts", ", ".join(map(clean, (shift.name for shift in plant.shifts))) + days
    if plant is not None and plant.case:
        yield "case", clean(plant.case)


_FEED = (
    TAG,
    words("title", lambda feed: feed.title or None, 28),
    words("rock", lambda feed: feed.material, 16),
    *results_of(FeedResult, "rate_t_h", "per_year_t_y", "p80_mm", "p50_mm", "moisture", "clay"),
    *results_of(FeedResult, *MEASURES),
)


def feeds(results: Results) -> Table:
    """What enters the plant; its grading has a table of its own."""
    return table("Feeds", known(_FEED, results.feeds), results.feeds)


def grading(results: Results) -> Table:
    """The points of each feed's grading as the plant states them, coarse to fine."""
    stated = results.plant.feeds if results.plant is not None else ()
    points = [(feed, size, passing) for feed in stated for size, passing in feed.grading]
    fields = (
        words("feed", lambda point: point[0].item_tag or point[0].tag, 20),
        number("sieve", "mm", "stated", lambda point: point[1]),
        number("passing", "%", "percent", lambda point: point[2]),
    )
    return table("Feed grading", fields, points)


# -- standards ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Standard:
    """A standard, what it is used for, and whether a plant has a use for it."""

    name: str
    what: str
    used: Callable[[Results], bool]


def _any(*parts: str) -> Callable[[Results], bool]:
    """Whether any machine has one of these parts of the results."""
    return lambda results: any(getattr(m, part) for m in results.machines for part in parts)


def _shaped(measure: str) -> Callable[[Results], bool]:
    return lambda results: any(getattr(p, measure) is not None for p in results.products)


# All of them from memory, but for AP-42 in part; the notes of each table say what is taken from it.
_STANDARDS = (
    _Standard("ISO 3310-1, ISO 3310-2", "sizes of test sieves", lambda _: True),
    _Standard(
        "ASTM C136, EN 12620",
        "fineness modulus",
        lambda results: any(p.fineness_modulus is not None for p in results.products),
    ),
    _Standard("EN 933-3", "flakiness", _shaped("flakiness")),
    _Standard("ASTM D4791", "flat and elongated pieces", _shaped("flat_elongated")),
    _Standard("ISO 5048 (1989)", "section and pull of belts", _any("belt")),
    _Standard("IEC 60072-1, ISO 3", "series of motors", _any("drive")),
    _Standard("IEC 60034-30-1", "efficiency of motors, class IE3", _any("drive")),
    _Standard("US EPA AP-42, 11.19.2", "emission factors of dust", lambda r: bool(r.dust)),
    _Standard("JCGM 100:2008", "combination of plausible ranges", lambda _: True),
)


def standards(results: Results) -> Table:
    """What the figures follow, then the specifications that products are held to."""
    used = [(one.name, one.what, "from memory") for one in _STANDARDS if one.used(results)]
    bands = {
        (band.about or band.name, product.tag, band.source)
        for product in results.products
        for band in product.bands
    }
    held = [(name, f"specification of {tag}", source) for name, tag, source in sorted(bands)]
    fields = (
        words("standard", lambda line: line[0], 40),
        words("used for", lambda line: line[1], 36),
        words("text used", lambda line: line[2], 44),
    )
    return table("Standards", fields, (*used, *held))


# -- methods ------------------------------------------------------------------------------------


def methods(results: Results) -> Table:
    """One row a process model in use: what it is, where it is from, and what it is used on."""
    used: dict[tuple[str, str], list[str]] = {}
    for machine in results.plant.machines if results.plant is not None else ():
        for role, use in machine.models.items():
            used.setdefault((role, use.model), []).append(machine.item_tag or machine.tag)
    fields = (
        words("for", lambda one: one[0][0].replace("_", " "), 14),
        words("model", lambda one: one[0][1].replace("_", " "), 18),
        words("what it is", lambda one: _of_catalog(one[0], "meaning"), 50),
        words("source", lambda one: _of_catalog(one[0], "source"), 50),
        words("used on", lambda one: ", ".join(one[1]), 36),
    )
    return table("Methods", fields, sorted(used.items()), keys=2)


def _of_catalog(named: tuple[str, str], what: str) -> str:
    model = catalog.find(*named)
    return getattr(model, what) if model is not None else "of a plug-in package"


def coefficients(results: Results) -> Table:
    """Every figure that the classes in use state for their models and limits, once, as the class
    has it, with its source and the classes that share it."""
    shared: dict[tuple[str, str, str], list[str]] = {}
    for record in results.plant.classes if results.plant is not None else ():
        for name, figure, source in _sourced(record, results):
            shared.setdefault((name, figure, source), []).append(record.path)
    fields = (
        words("figure", lambda one: one[0][0], 34),
        words("as the class states it", lambda one: one[0][1], 60),
        words("source", lambda one: one[0][2], 60),
        words("classes", lambda one: _names(one[1]), 40),
    )
    return table("Coefficients", fields, sorted(shared.items()))


def _sourced(record: ClassRecord, results: Results) -> Iterator[tuple[str, str, str]]:
    """The lines of a class that name a source, but those of models that no machine uses."""
    assert results.plant is not None
    mine = [machine for machine in results.plant.machines if machine.class_path == record.path]
    used = {f"{role} {use.model}" for machine in mine for role, use in machine.models.items()}
    for name, line in record.lines.items():
        figure, found, source = line.partition(" source ")
        owner = name.partition(".")[0]
        if found and (owner == name or owner in used):
            yield clean(name.replace("_", " ")), clean(figure), clean(source.strip('"'))


def _names(paths: list[str]) -> str:
    return ", ".join(path.removeprefix("std.") for path in paths)
