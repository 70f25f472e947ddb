"""A splitter's outlets and what each of them takes."""

from __future__ import annotations

from hoggin.check.evaluate import quantity
from hoggin.check.scope import Scope, Session
from hoggin.diagnostics.diagnostic import Note
from hoggin.schema.units import NUMBER
from hoggin.syntax import tree


def shares(
    node: tree.Declaration, ports: list[tree.Port], scope: Scope, session: Session
) -> dict[str, float]:
    """Splitter outlets and their shares, one of which may be `rest`."""
    report = session.diagnostics.report
    found: dict[str, float] = {}
    rest: tree.Port | None = None
    known = True
    for port in ports:
        name = port.name.text
        if name in found:
            report("E0202", port.name.span, f"outlet `{name}` stands twice")
            continue
        if isinstance(port.share, tree.Path) and port.share.dotted == "rest":
            if rest is not None:
                report(
                    "E0507",
                    port.span,
                    "only one outlet takes the rest",
                    "",
                    [Note(rest.span, "the other")],
                )
            rest = port
            found[name] = 0.0
            continue
        share = _share(port, scope, session)
        known = known and share is not None
        found[name] = share or 0.0
    total = sum(found.values())
    if len(found) < 2:
        report(
            "E0507",
            node.name.span,
            f"splitter `{node.name.text}` needs at least two outlets",
            "write `out NAME 30 %` and `out NAME rest`",
        )
    elif known and (total > 1 + 1e-9 or (rest is None and total < 1 - 1e-9)):
        report(
            "E0507",
            node.name.span,
            f"the shares of `{node.name.text}` add up to {100 * total:g} %, not 100 %",
            "write `rest` for one of them",
        )
    if rest is not None:
        found[rest.name.text] = max(0.0, 1 - total)
    return found


def _share(port: tree.Port, scope: Scope, session: Session) -> float | None:
    """One outlet's share as a fraction; None where it is unknown or after a reported fault."""
    name = port.name.text
    if port.share is None:
        session.diagnostics.report(
            "E0507",
            port.span,
            f"outlet `{name}` has no share",
            f"write `out {name} 30 %` or `out {name} rest`",
        )
        return None
    found = quantity(port.share, NUMBER, "a share", scope, session)
    if found is None or not found.known:
        return None
    if 0 <= found.si <= 1:
        return found.in_trade_unit()
    session.diagnostics.report("E0306", port.share.span, "a share lies between 0 % and 100 %")
    return None
