"""A splitter's outlets and what each of them takes."""

from __future__ import annotations

from hoggin.check.evaluate import quantity
from hoggin.check.scope import Scope, Session
from hoggin.diagnostics.families.names import E0202
from hoggin.diagnostics.families.routes import E0507
from hoggin.diagnostics.families.values import E0306
from hoggin.schema.units import NUMBER
from hoggin.syntax import tree


def shares(
    node: tree.Declaration, ports: list[tree.Port], scope: Scope, session: Session
) -> dict[str, float]:
    """Splitter outlets by name and their shares, one of which may be `rest`."""
    report = session.report
    found: dict[str, float] = {}
    rest: tree.Port | None = None
    known = True
    for port in ports:
        name = port.name.text
        if name in found:
            report(E0202.outlet(name), port.name.span)
            continue
        if isinstance(port.share, tree.Path) and port.share.dotted == "rest":
            if rest is not None:
                report(E0507.second_rest(), port.span, rest.span)
            rest = port
            found[name] = 0.0
            continue
        share = _share(port, scope, session)
        known = known and share is not None
        found[name] = share or 0.0
    found = dict(sorted(found.items()))
    total = sum(found.values())
    if len(found) < 2:
        report(E0507.too_few(node.name.text), node.name.span)
    elif known and (total > 1 + 1e-9 or (rest is None and total < 1 - 1e-9)):
        report(E0507.total(node.name.text, total), node.name.span)
    if rest is not None:
        found[rest.name.text] = max(0.0, 1 - total)
    return found


def _share(port: tree.Port, scope: Scope, session: Session) -> float | None:
    """One outlet's share as a fraction; None where it is unknown or after a reported fault."""
    name = port.name.text
    if port.share is None:
        return session.report(E0507.missing(name), port.span)
    found = quantity(port.share, NUMBER, "a share", scope, session)
    if found is None or not found.known:
        return None
    if 0 <= found.si <= 1:
        return found.in_trade_unit()
    return session.report(E0306.outside("a share", found.shown(), "0 %", "100 %"), port.share.span)
