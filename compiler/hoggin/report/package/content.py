"""What the report says, in order, before it is known how it will be set: the same for each form."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from hoggin.report import changelog, equipment, mass_balance, plausible
from hoggin.report.cases import State, side_by_side
from hoggin.report.fields import table, words
from hoggin.report.glance import glance
from hoggin.report.package import methods
from hoggin.report.package.figures import Figure, flowsheet_figure, grading_figures
from hoggin.report.tables import Section, Table
from hoggin.report.wording import ABSENT, DEFERENCE, PREDICTION, clean, shorten
from hoggin.revise.changelog import ChangeLog
from hoggin.schema.results import Results
from hoggin.studies.plausible.document import Plausible

FOOT_TITLE = 70  # letters of the title at the foot of a page
SHORT_HASH = 12  # hex digits of the content hash that the title block shows
VERDICTS = ("Requirements", "Specifications", "Specifications sieve by sieve")
ATTENTION = ("Limits near or exceeded", "Warnings")
SAID_ELSEWHERE = ("Notes", "Safety", "Sources", "Assumptions")


@dataclass(frozen=True, slots=True)
class Issue:
    """What the package holds beside the results; nothing is taken from the clock. `changes` are
    those since an earlier revision."""

    date: str = ""
    client: str = ""
    by: str = ""
    changes: ChangeLog | None = None


@dataclass(frozen=True, slots=True)
class Chapter:
    """A part that begins on a page of its own. `cautions` are before all else, in a frame."""

    heading: str
    sections: tuple[Section, ...] = ()
    figures: tuple[Figure, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Report:
    """`block` is the title block, `glance` the figures asked for first: pairs of label and text."""

    title: str
    block: tuple[tuple[str, str], ...]
    glance: tuple[tuple[str, str], ...]
    revisions: Table | None
    chapters: tuple[Chapter, ...]
    foot: str  # is on every page
    statement: str  # what the figures are, and what governs


def report(
    results: Results,
    issue: Issue,
    states: Sequence[State] = (),
    ranges: Plausible | None = None,
) -> Report:
    """Everything the report holds; `states` are those of a plant with cases, `ranges` those of its
    results.

    Raises: HogginError when the flowsheet cannot be drawn.
    """
    return Report(
        title=clean(results.title),
        block=_block(results, issue),
        glance=glance(results),
        revisions=_revisions(results),
        chapters=tuple(_chapters(results, issue.changes, states, ranges)),
        foot=" · ".join(_foot(results)),
        statement=f"{PREDICTION} {DEFERENCE}",
    )


def _block(results: Results, issue: Issue) -> tuple[tuple[str, str], ...]:
    made = results.provenance
    lines = [
        ("Plant", results.title),
        ("Revision", results.revision or ABSENT),
        ("Date", issue.date),
        ("For", issue.client),
        ("By", issue.by),
        ("Source", results.source_file),
        ("Content", made.content_sha256[:SHORT_HASH] if made else ""),
        ("Compiler", f"hoggin {results.compiler_version}"),
        ("Library", f"standard library {made.library_version}" if made else ""),
    ]
    return tuple((label, clean(text)) for label, text in lines if clean(text))


def _foot(results: Results) -> Iterator[str]:
    yield shorten(results.title, FOOT_TITLE)
    yield f"revision {clean(results.revision) or ABSENT}"
    if results.provenance:
        yield results.provenance.content_sha256[:SHORT_HASH]


def _revisions(results: Results) -> Table | None:
    listed = results.plant.revisions if results.plant else ()
    fields = (
        words("revision", lambda revision: revision.mark, 10),
        words("what changed", lambda revision: revision.text, 70),
    )
    return table("Revisions", fields, listed) if listed else None


def _chapters(
    results: Results,
    changes: ChangeLog | None,
    states: Sequence[State],
    ranges: Plausible | None,
) -> Iterator[Chapter]:
    balance, schedule = mass_balance.document(results), equipment.document(results)
    told = (*VERDICTS, *ATTENTION, *SAID_ELSEWHERE)
    verdicts = [*_named(balance.sections, VERDICTS), *_named(schedule.sections, ATTENTION)]
    yield Chapter("Flowsheet", figures=(flowsheet_figure(results),))
    yield _chapter("Verdicts", *verdicts)
    if ranges is not None:
        yield _chapter("Plausible range", *plausible.sections(ranges))
    if states:
        yield _chapter("All cases", *side_by_side(states))
    if changes is not None:
        yield _chapter("Changes", *changelog.sections(changes))
    yield Chapter("Mass balance", _without(balance.sections, told))
    yield Chapter("Gradings", figures=grading_figures(results))
    safety = equipment.safety(results)
    yield Chapter("Equipment schedule", _without(schedule.sections, told), cautions=safety)
    assumptions = Section("Assumptions", points=results.assumptions)
    yield _chapter("Methods and assumptions", *methods.sections(results), assumptions)
    cautions = Section("Cautions", (f"{PREDICTION} {DEFERENCE}",), points=safety)
    revisions = Section("Revisions", table=_revisions(results))
    yield _chapter("Cautions and origin", cautions, revisions, *_origin(results))


def _chapter(heading: str, *sections: Section) -> Chapter:
    return Chapter(heading, tuple(section for section in sections if section.says))


def _named(sections: Iterable[Section], headings: tuple[str, ...]) -> Iterator[Section]:
    """The sections of these headings, in the headings' order."""
    found = {section.heading: section for section in sections}
    return (found[heading] for heading in headings if heading in found)


def _without(sections: Iterable[Section], headings: tuple[str, ...]) -> tuple[Section, ...]:
    return tuple(section for section in sections if section.heading not in headings)


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
