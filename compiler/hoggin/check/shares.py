"""A splitter's outlets and what each of them takes: a share, a tonnage, or, as the one its
`position` names, everything. Outlets of a store with a `draw` are the drawn one and its overflow.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import reduce
from operator import add

from hoggin.check.evaluate import as_quantity, evaluate
from hoggin.check.parameters import chosen_word
from hoggin.check.scope import Scope, Session
from hoggin.check.stated import in_bounds
from hoggin.check.values import Quantity, Word
from hoggin.diagnostics.families.names import E0202
from hoggin.diagnostics.families.routes import E0507
from hoggin.diagnostics.families.values import E0302, E0306
from hoggin.schema.facts import ASKED
from hoggin.schema.kinds import DRAW, OVERFLOW
from hoggin.schema.plant import Setting
from hoggin.schema.units import NUMBER, RATE, describe
from hoggin.syntax import tree
from hoggin.syntax.walk import paths


@dataclass(frozen=True, slots=True)
class Division:
    """What outlets take, by name in sorted order. Of `outlets`, the one without a tonnage takes the
    rest where there are tonnages. position: of a splitter that sends all one way."""

    outlets: tuple[str, ...] = ()
    shares: dict[str, float] = field(default_factory=dict)
    asked_t_h: dict[str, float] = field(default_factory=dict)
    position: Setting | None = None


def of_splitter(
    node: tree.Declaration,
    ports: Iterable[tree.Port],
    position: tree.Fact | None,
    scope: Scope,
    session: Session,
) -> Division:
    """The division that a splitter's lines state; faults are reported."""
    first: dict[str, tree.Port] = {}
    for port in ports:
        if port.name.text in first:
            session.report(E0202.outlet(port.name.text), port.name.span)
        first.setdefault(port.name.text, port)
    outlets = dict(sorted(first.items()))
    if len(outlets) < 2:
        session.report(E0507.too_few(node.name.text), node.name.span)
    if position is not None:
        return _one_way(outlets, position, scope, session)
    rest: tree.Port | None = None
    taken: dict[str, Quantity | None] = {}
    for port in first.values():
        if isinstance(port.share, tree.Path) and port.share.dotted == "rest":
            if rest is not None:
                session.report(E0507.second_rest(), port.span, rest.span)
            rest = port
        else:
            taken[port.name.text] = _taken(port, scope, session)
    by_tonnage = any(one is not None and one.dimension == RATE for one in taken.values())
    divided = _by_tonnage if by_tonnage else _by_share
    return divided(node, outlets, taken, rest, session)


_Taken = Mapping[str, Quantity | None]  # None where it is unknown or was reported


def _by_share(
    node: tree.Declaration,
    outlets: Mapping[str, tree.Port],
    taken: _Taken,
    rest: tree.Port | None,
    session: Session,
) -> Division:
    shares = dict.fromkeys(outlets, 0.0)
    shares |= {name: one.in_trade_unit() for name, one in taken.items() if one is not None}
    total = reduce(add, shares.values(), 0.0)  # not `fsum`: a traced share keeps its formula
    known = len(outlets) > 1 and None not in taken.values()
    if known and (total > 1 + 1e-9 or (rest is None and total < 1 - 1e-9)):
        session.report(E0507.total(node.name.text, total), node.name.span)
    if rest is not None:
        shares[rest.name.text] = max(0.0, 1 - total)
    return Division(tuple(outlets), shares)


def _by_tonnage(
    node: tree.Declaration,
    outlets: Mapping[str, tree.Port],
    taken: _Taken,
    rest: tree.Port | None,
    session: Session,
) -> Division:
    asked = {name: one for name, one in taken.items() if one and one.dimension == RATE}
    shares = [name for name, one in taken.items() if one and name not in asked]
    if shares:
        span, tonnage = outlets[shares[0]].span, outlets[next(iter(asked))].span
        session.report(E0507.mixed(node.name.text), span, tonnage)
    elif rest is None and len(outlets) > 1 and None not in taken.values():
        session.report(E0507.no_rest(node.name.text), node.name.span)
    tonnages = {name: asked[name].in_trade_unit() if name in asked else 0.0 for name in outlets}
    if rest is not None:
        del tonnages[rest.name.text]
    return Division(tuple(outlets), asked_t_h=tonnages)


def of_store(drawn_t_h: float) -> Division:
    """The division of a bin or stockpile that is drawn at a rate."""
    return Division((DRAW, OVERFLOW), asked_t_h={DRAW: drawn_t_h})


def _one_way(
    outlets: dict[str, tree.Port], position: tree.Fact, scope: Scope, session: Session
) -> Division:
    """All to one outlet, whose name `position` is."""
    for port in outlets.values():
        if port.share is not None:
            fault = E0507.share_and_position(port.name.text)
            session.report(fault, port.share.span, position.span)
    to = ""
    if position.value is not None:
        word = chosen_word("position", tuple(outlets), position.value, scope, session)
        to = word.text if isinstance(word, Word) else ""
        for path in paths(position.value):
            if len(path.parts) == 1 and path.dotted in outlets:
                session.names.uses.setdefault(path.parts[0], outlets[path.dotted].name)
    shares = {name: float(name == to) for name in outlets}
    return Division(tuple(outlets), shares, position=Setting(name="position", text=to))


def _taken(port: tree.Port, scope: Scope, session: Session) -> Quantity | None:
    """One outlet's share or tonnage; None where it is unknown or after a reported fault."""
    name = port.name.text
    if port.share is None:
        lost = "position" in session.lost_names  # with its line, which is reported
        return None if lost else session.report(E0507.missing(name), port.span)
    found = as_quantity(evaluate(port.share, scope, session), port.share.span, session)
    if found is None or not found.known:
        return None
    if found.dimension == RATE:
        asked = replace(ASKED, name=name)
        return found if in_bounds(asked, found, port.share, session) else None
    if found.dimension != NUMBER:
        fault = E0302.not_taken(name, describe(found.dimension))
        return session.report(fault, port.share.span)
    if 0 <= found.si <= 1:
        return found
    return session.report(E0306.outside("a share", found.shown(), "0 %", "100 %"), port.share.span)
