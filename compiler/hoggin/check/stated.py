"""A number that a block states, held against what is declared of it."""

from __future__ import annotations

from hoggin.check.evaluate import quantity
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.families.classes import E0403
from hoggin.diagnostics.families.values import E0306
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import Fact
from hoggin.schema.tracing import PHYSICAL, extremes, listed
from hoggin.schema.units import number_text, trade_unit, unit_of
from hoggin.syntax import tree


def stated(fact: Fact, line: tree.Fact, scope: Scope, session: Session) -> Quantity | None:
    """What a line states of a fact; None where it is not known yet, or after a reported fault."""
    if line.value is None:
        return session.report(E0403.no_value_such_as(fact.name, fact.sample), line.span)
    return number(fact, line.value, scope, session)


def number(
    fact: Fact, value: tree.Expression, scope: Scope, session: Session, *, unknown: bool = False
) -> Quantity | None:
    """As `stated`, of a value. unknown: whether one that is not known yet is given as it is."""
    assert fact.dimension is not None
    found = quantity(value, fact.dimension, f"`{fact.name}`", scope, session)
    if found is None or (found.known and not in_bounds(fact, found, value, session)):
        return None
    return found if found.known or unknown else None


def in_bounds(
    fact: Fact,
    found: Quantity,
    written: tree.Expression,
    session: Session,
    where: Span | None = None,
) -> bool:
    """Whether a known quantity is within a fact's bounds; reported where it is not. The whole range
    of a free number has to be. where: the machine that it holds for, of a number of its class."""
    found_unit = trade_unit(found.dimension)
    size = found_unit[0].size if found_unit is not None else 1.0
    unit = unit_of(found.written_in, found.dimension)
    ends = fact.low * size, fact.high * size
    session.traces.bound(fact.name, found.si, *ends, PHYSICAL, unit)
    if fact.whole and not listed(found.si):
        session.report(E0306.open_whole(f"`{fact.name}`"), written.span)
        return False
    tried = (Quantity(si, found.dimension, found.written_in) for si in extremes(found.si))
    outside = next((one for one in tried if not fact.allows(one.in_trade_unit())), None)
    if outside is None:
        return True
    plain = isinstance(written, tree.Measure | tree.Number)  # the same for every machine
    fault = _fault(fact, outside, written, size)
    session.report(fault, written.span, None if plain else where)
    return False


def _fault(fact: Fact, found: Quantity, written: tree.Expression, size: float) -> Fault:
    name = f"`{fact.name}`"
    if fact.share and fact.high <= 1 and isinstance(written, tree.Number) and found.si > 1:
        return E0306.per_cent_missing(name, number_text(written.number))
    unit = found.written_in or ("%" if fact.share else "")
    shown = Quantity(found.si, found.dimension, unit).shown()
    low, high = (
        Quantity(limit * size, found.dimension, unit).shown() for limit in (fact.low, fact.high)
    )
    if fact.whole and fact.low <= found.in_trade_unit() <= fact.high:
        return E0306.not_whole(name, shown, low, high)
    return (E0306.not_above if fact.above_low else E0306.outside)(name, shown, low, high)
