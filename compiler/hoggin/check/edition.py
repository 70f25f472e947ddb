"""The edition of the language that a file says it was written for."""

from __future__ import annotations

from hoggin.check.scope import Session
from hoggin.diagnostics.families.names import E0202
from hoggin.diagnostics.families.text import E0107
from hoggin.diagnostics.source import Source
from hoggin.schema.editions import EDITIONS
from hoggin.syntax import tree


def state_edition(fact: tree.Fact, source: Source, session: Session) -> None:
    """Note the edition a file states; report one that this compiler does not read (E0107)."""
    report = session.report
    if source.name in session.editions:
        report(E0202.set_twice("edition"), fact.span)
        return
    if not isinstance(fact.value, tree.Number) or fact.value.number % 1.0:
        report(E0107.not_a_year(EDITIONS[-1]), fact.span)
        return
    year = int(fact.value.number)
    if year in EDITIONS:
        session.editions[source.name] = year
        return
    known = ", ".join(map(str, EDITIONS))
    newer = year > EDITIONS[-1]
    fault = E0107.newer(known, year) if newer else E0107.older(known, year, EDITIONS[0])
    report(fault, fact.value.span)
