"""What the report says, in order, before it is known how it will be set: the same for each form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from hoggin.report import (
    changelog,
    cost,
    dust,
    equipment,
    mass_balance,
    plausible,
    setting,
    slurry,
    storage,
    tramp,
    water,
)
from hoggin.report.cases import State, side_by_side
from hoggin.report.drawing.flowsheet import flowsheet
from hoggin.report.drawing.model import Drawing
from hoggin.report.feed_notes import feed_notes
from hoggin.report.fields import table, words
from hoggin.report.package import basis, front, lists
from hoggin.report.package.data_sheet import DataSheet, data_sheets
from hoggin.report.package.figures import (
    Figure,
    feed_figure,
    grading_figures,
)
from hoggin.report.tables import Section, Table, where_rows
from hoggin.report.wording import ABSENT, DEFERENCE, PREDICTION, clean, shorten
from hoggin.revise.changelog import ChangeLog
from hoggin.schema.results import Results
from hoggin.studies.plausible.document import Plausible

FOOT_TITLE = 60  # letters of the title at the foot of a page


@dataclass(frozen=True, slots=True)
class Chapter:
    """A part under a heading of its own. Its `drawing` has sheets of its own; `cautions` are
    before all else, in a frame; each of its `sheets` begins a page."""

    heading: str
    sections: tuple[Section, ...] = ()
    figures: tuple[Figure, ...] = ()
    drawing: Drawing | None = None
    cautions: tuple[str, ...] = ()
    sheets: tuple[DataSheet, ...] = ()

    @property
    def says(self) -> bool:
        return bool(self.sections or self.figures or self.drawing or self.cautions or self.sheets)


@dataclass(frozen=True, slots=True)
class Report:
    """`block` is the title block: pairs of label and text. `front` is what a reader looks for
    first. `lists` are those that the workbook has as well."""

    title: str
    block: tuple[tuple[str, str], ...]
    front: tuple[Section, ...]
    chapters: tuple[Chapter, ...]
    foot: str  # is on every page
    statement: str  # what the figures are, and what governs
    units: str
    lists: tuple[Table, ...]


def report(
    results: Results,
    changes: ChangeLog | None = None,
    states: Sequence[State] = (),
    ranges: Plausible | None = None,
    revised: Drawing | None = None,
) -> Report:
    """Everything the report holds; `changes` are those since an earlier revision, `states` those
    of a plant with cases, `ranges` those of its results, `revised` the drawing of the changes.

    Raises: HogginError when the flowsheet cannot be drawn.
    """
    chapters = _chapters(results, changes, states, ranges, revised)
    return Report(
        title=clean(results.title),
        block=front.title_block(results),
        front=_said(front.sections(results)),
        chapters=tuple(chapter for chapter in chapters if chapter.says),
        foot=" · ".join(_foot(results)),
        statement=f"{PREDICTION} {DEFERENCE}",
        units=front.UNITS,
        lists=_lists(results),
    )


def _foot(results: Results) -> Iterator[str]:
    if results.project.document_number:
        yield clean(results.project.document_number)
    yield shorten(results.title, FOOT_TITLE)
    yield f"revision {clean(results.revision) or ABSENT}"
    if results.provenance:
        yield results.provenance.content_sha256[: front.SHORT_HASH]


def _lists(results: Results) -> tuple[Table, ...]:
    """What the workbook has beside its sums."""
    return (
        front.products(results),
        front.every_requirement(results),
        front.revisions(results),
        basis.grading(results),
        mass_balance.stream_ledger(results),
        water.water_streams(results),
        mass_balance.product_gradings(results, tuple(range(len(results.sieves_mm)))),
        *lists.tables(results),
        dust.by_source(results),
    )


def _chapters(
    results: Results,
    changes: ChangeLog | None,
    states: Sequence[State],
    ranges: Plausible | None,
    revised: Drawing | None,
) -> Iterator[Chapter]:
    balance = mass_balance.document(results, brief=True).sections  # on the sieves that tell
    safety = equipment.safety(results)
    yield Chapter("Flowsheet", drawing=flowsheet(results))
    yield Chapter("Flowsheet: what was changed", drawing=revised)
    yield _chapter("Verdicts", *_verdicts(results, balance))
    yield Chapter("Design basis", _said(basis.sections(results)), feed_figure(results))
    if ranges is not None:
        yield _chapter("Plausible range", *plausible.sections(ranges))
    if changes is not None:
        yield _chapter("Changes", *changelog.sections(changes))
    yield Chapter("Product gradings", figures=grading_figures(results))
    yield _chapter("Mass balance", *_balance(balance))
    if states:
        yield _chapter("All cases", *side_by_side(states))
    yield Chapter("Equipment", _said(_equipment(results)), cautions=safety)
    yield Chapter("Data sheets", sheets=data_sheets(results))
    yield _chapter("Appendix", *_appendix(results, balance))


def _chapter(heading: str, *sections: Section) -> Chapter:
    return Chapter(heading, _said(sections))


def _said(sections: Iterable[Section]) -> tuple[Section, ...]:
    """Those that say something, without columns in which nothing is known."""
    return tuple(
        replace(one, table=one.table.filled()) if one.table is not None else one
        for one in sections
        if one.says
    )


def _named(sections: Iterable[Section], headings: tuple[str, ...]) -> Iterator[Section]:
    """The sections of these headings, in the headings' order."""
    found = {section.heading: section for section in sections}
    return (found[heading] for heading in headings if heading in found)


def _verdicts(results: Results, balance: Sequence[Section]) -> Iterator[Section]:
    """In full what the front sheet has in part."""
    if len(results.requirements) > front.MOST:
        yield Section("Requirements", (), front.every_requirement(results))
    near = equipment.limits(results, only_attention=True)
    if len(near.rows) > front.MOST:
        yield Section("Limits near or exceeded", (), near)
    yield from _named(balance, ("Specifications",))
    by_sieve = mass_balance.specification_points(results)
    yield from where_rows("Specifications sieve by sieve", (), by_sieve)
    yield Section("Warnings", (), equipment.warnings(results))


def _balance(sections: Sequence[Section]) -> Iterator[Section]:
    """The balance without the tables that have a chapter of their own."""
    apart = ("Specifications", "Requirements", "Stream gradings", "Notes")
    yield from (one for one in sections if one.heading not in apart)


def _equipment(results: Results) -> Iterator[Section]:
    listed = lists.equipment(results)
    notes = (*listed.notes, *feed_notes(results))
    yield Section(listed.heading, notes, listed.table)
    yield from lists.motors(results)
    yield from lists.belts(results)
    yield from lists.media(results)
    yield from setting.sections(results)
    yield from cost.sections(results)
    yield from storage.sections(results)
    yield from slurry.sections(results)
    yield from tramp.sections(results)
    yield from dust.sections(results, brief=True)
    yield Section("Notes of the plant", points=equipment.notes(results))


def _appendix(results: Results, balance: Sequence[Section]) -> Iterator[Section]:
    """What is needed to check the report, and seldom to read it."""
    yield from _named(balance, ("Stream gradings",))
    loads = equipment.document(results).sections
    yield from _named(loads, ("Machines", "Screen decks"))
    yield Section("Every limit checked", (), equipment.limits(results, only_attention=False))
    yield from _named(dust.sections(results, brief=False), ("Dust by source",))
    yield Section("Coefficients", (), basis.coefficients(results))
    yield Section("Sources of the classes", points=equipment.sources(results.machines))
    yield from _origin(results)


def _origin(results: Results) -> Iterator[Section]:
    """What the results were made from: enough to make them again."""
    made = results.provenance
    if made is None:
        return
    fields = (
        words("file", lambda pair: pair[0], 40),
        words("SHA-256 of its text", lambda pair: pair[1], 64),
    )
    files = [(record.name, record.sha256) for record in made.sources]
    files.append(("all of them, the content", made.content_sha256))
    yield Section(
        "Origin",
        (
            f"Compiler {made.compiler_version}, standard library {made.library_version}, "
            f"edition {made.edition} of the language.",
        ),
        table("Origin", fields, files),
    )
