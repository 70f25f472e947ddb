"""Parts of the page that are made here and inserted there: verdicts and tables."""

from __future__ import annotations

from hoggin.report import equipment, mass_balance
from hoggin.report.cases import side_by_side
from hoggin.report.glance import glance
from hoggin.report.package.columns import weight
from hoggin.report.templating import render
from hoggin.report.wording import DEFERENCE, PREDICTION, clean, count_text
from hoggin.schema.results import Results
from hoggin.view.items import links
from hoggin.view.live import State
from hoggin.view.reading import Reading

NOT_MET = "W0511"  # the warning of a requirement, which is shown as a verdict
SAID_ELSEWHERE = ("Requirements", "Warnings", "Limits near or exceeded")


def part(template: str, results: Results | None, **facts: object) -> str:
    """A template filled; every text is escaped, but for the drawings, which are of our making."""
    known = {} if results is None else links(results)
    return render(
        template,
        {"clean": clean, "shown": shown},
        package="hoggin.view",
        weight=weight,
        links=known,
        **facts,
    )


def shown(text: str) -> str:
    """Text as in a file, with its spaces; an empty square for each letter that is invisible or
    changes the direction of others."""
    return "".join(c if c.isprintable() or c == "\n" else "\N{WHITE SQUARE}" for c in text)


def verdicts(state: State) -> str:
    """The verdicts, or the errors that replace them."""
    reading = state.last
    if reading.results is None:
        why = headline(state)
        return part("faults.html.j2", None, why=why, said=reading.said, stale=state.stale)
    results = reading.results
    warned = {(one.code, one.text): one for one in results.warnings}
    limits = [
        (row, warned.pop((str(row[4]), f"`{row[0]}`: {row[3]}"), None))
        for row in equipment.limits(results, only_attention=True).rows
    ]
    missed = {(one.file, one.line) for one in results.requirements if not one.met}
    return part(
        "verdicts.html.j2",
        results,
        summary=glance(results),
        requirements=results.requirements,
        limits=limits,
        warnings=[
            one
            for one in warned.values()
            if one.code != NOT_MET or (one.file, one.line) not in missed
        ],
        said=reading.said,
    )


def headline(state: State) -> str:
    """One sentence on the state, for screen readers and the page's title."""
    results = state.last.results
    if results is None:
        return state.last.fault or (
            "The text has errors" if state.last.said else "There is nothing to show"
        )
    asked = results.requirements
    return count_text(asked, "requirements ") if asked else "no requirements"


def tables(reading: Reading) -> str:
    """Mass balance and equipment schedule; "" where there are none."""
    results = reading.results
    if results is None:
        return ""
    documents = (
        ("mass-balance", "Mass balance", mass_balance.document(results)),
        ("equipment", "Equipment schedule", equipment.document(results)),
    )
    return part(
        "tables.html.j2",
        results,
        documents=[
            *([("cases", "All cases", side_by_side(reading.states))] if reading.states else []),
            *(
                (name, heading, [s for s in document.sections if s.heading not in SAID_ELSEWHERE])
                for name, heading, document in documents
            ),
        ],
        statement=f"{PREDICTION} {DEFERENCE}",
    )
