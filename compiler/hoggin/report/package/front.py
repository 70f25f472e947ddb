"""The front sheet: what a client looks for first, and what the document is."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.report.equipment import limits
from hoggin.report.fields import TAG, Field, known, result, results_of, table, verdict, words
from hoggin.report.glance import glance
from hoggin.report.tables import Section, Table
from hoggin.report.wording import (
    ABSENT,
    all_checks,
    bands_text,
    clean,
    count_text,
    judgement,
    overload_notes,
)
from hoggin.schema.plant import Revision
from hoggin.schema.results import ProductResult, RequirementResult, Results

MOST = 10  # requirements, and limits, that the front sheet lists
SHORT_HASH = 12  # hex digits of the content hash that the title block shows
UNITS = (
    "Units: rates in t/h of dry solids (1 t = 1000 kg), sizes in mm, power in kW, water in m3/h. "
    "Per cent passing is by mass. A margin of a figure in per cent is in points."
)


def title_block(results: Results) -> tuple[tuple[str, str], ...]:
    """What the document is, and from whom: pairs of label and text, those that are known."""
    project, made, issue = results.project, results.provenance, this_revision(results)
    lines = (
        ("Plant", results.title),
        ("Project", project.name),
        ("Client", project.client),
        ("Owner", project.owner),
        ("Document", project.document_number),
        ("Status", project.status),
        ("Revision", results.revision or ABSENT),
        ("Date of issue", issue.date),
        ("Drawn", issue.drawn or project.drawn),
        ("Checked", issue.checked or project.checked),
        ("Approved", issue.approved or project.approved),
        ("Source", results.source_file),
        ("Content", made.content_sha256[:SHORT_HASH] if made else ""),
        ("Compiler", f"hoggin {results.compiler_version}"),
        ("Library", f"standard library {made.library_version}" if made else ""),
    )
    return tuple((label, clean(text)) for label, text in lines if clean(text))


def this_revision(results: Results) -> Revision:
    """The line of the revision table that the document is of."""
    listed = results.plant.revisions if results.plant else ()
    same = (revision for revision in listed if revision.mark == results.revision)
    return next(same, Revision(mark=results.revision, text=""))


def sections(results: Results) -> tuple[Section, ...]:
    """Products, requirements, power, and what asks for attention."""
    asked = count_text(results.requirements, "requirements ") if results.requirements else ""
    return (
        Section("What the plant makes", overload_notes(results), products(results)),
        Section("What is asked of it", _asked_notes(results, asked), requirements(results)),
        Section("Power and energy", (), power(results)),
        _attention(results),
        Section("Revisions", (), revisions(results)),
    )


_PRODUCT = (TAG, words("product", lambda product: product.title, 30))
_RATES = results_of(ProductResult, "rate_t_h", "share_of_feed")
_YEARLY = (result(ProductResult, "per_year_t_y", "a year"),)


def products(results: Results) -> Table:
    """One row a product: how much of it, and whether it meets what it is sold as."""
    fields = (
        *_PRODUCT,
        *_RATES,
        *known(_YEARLY, results.products),
        words("specifications", bands_text, 40),
    )
    return table("Products", fields, results.products)


_REQUIREMENT: tuple[Field, ...] = (
    words("requirement", lambda one: one.text, 40),
    verdict(judgement, 12),
    words("result", lambda one: one.value_text, 34),
    words("margin", lambda one: one.margin_text, 22),
)


def _asked_notes(results: Results, asked: str) -> tuple[str, ...]:
    if not results.requirements:
        return ("The plant states no requirements.",)
    left = len(results.requirements) - MOST
    more = f" The first {MOST} are here; the rest follow under Verdicts." if left > 0 else ""
    return (f"{asked}.{more}",)


def every_requirement(results: Results) -> Table:
    """In the plant's order."""
    return table("Requirements", _REQUIREMENT, results.requirements)


def requirements(results: Results) -> Table:
    """Those that are not met first, then the rest in the plant's order; no more than fit."""

    def gravity(one: RequirementResult) -> int:
        return ("not met", "not judged", "met").index(one.verdict)

    listed = sorted(results.requirements, key=gravity)[:MOST]
    return table("Requirements", _REQUIREMENT, listed)


_PAIR = (
    words("", lambda pair: pair[0], 34),
    words("", lambda pair: pair[1], 40),
)


def power(results: Results) -> Table:
    """The key figures of power, as words with their units."""
    return table("Power", _PAIR, glance(results))


def _attention(results: Results) -> Section:
    """What is over a limit or near it, or that nothing is."""
    heading = "Over a limit, or to watch"
    near = limits(results, only_attention=True)
    checks = sum(len(all_checks(machine)) for machine in results.machines)
    if not near.rows:
        return Section(heading, (f"Nothing: {checks} limits are checked, none is near.",))
    left = len(near.rows) - MOST
    more = f"; {left} more follow under Verdicts" if left > 0 else ""
    shown = near.keep([place for place, c in enumerate(near.columns) if c.heading != "code"])
    kept = Table(shown.title, shown.columns, shown.rows[:MOST], shown.keys)
    return Section(heading, (f"{len(near.rows)} of {checks} limits checked{more}.",), kept)


_REVISION = (
    words("revision", lambda revision: revision.mark, 10),
    words("date", lambda revision: revision.date or None, 12),
    words("what changed", lambda revision: revision.text, 70),
    words("drawn", lambda revision: revision.drawn or None, 12),
    words("checked", lambda revision: revision.checked or None, 12),
    words("approved", lambda revision: revision.approved or None, 12),
)


def revisions(results: Results) -> Table:
    """The plant's history; columns that nobody filled are left out."""
    listed: Sequence[Revision] = results.plant.revisions if results.plant else ()
    return table("Revisions", _REVISION, listed)
