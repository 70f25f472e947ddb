"""Coefficients of breakage that have to agree with one another, whatever their ranges."""

from __future__ import annotations

from collections.abc import Mapping

from hoggin.check.scope import Session
from hoggin.diagnostics.diagnostic import Note
from hoggin.diagnostics.source import Span
from hoggin.syntax import tree


def check_breakage(
    given: Mapping[str, tree.Fact],
    values: Mapping[str, float],
    model: Span,
    where: Span,
    session: Session,
) -> None:
    """Report what a breakage model can't be worked out with. Unknown values are NaN and pass.

    given, values: its coefficients as written, and as numbers. model: its name. where: the machine.
    """
    k1, k2 = values.get("k1"), values.get("k2")
    if k1 is not None and k2 is not None and k2 <= k1:
        session.diagnostics.report(
            "E0404",
            given["k2"].span if "k2" in given else model,
            f"`k2` {k2:g} mm is not above `k1` {k1:g} mm: from k2 up every piece is broken, up to "
            "k1 none",
            "",
            [Note(where, "for this machine")],
        )
    if values.get("t10_feed", 0.0) != 0.0 and values.get("usual_f80") == 0.0:
        session.diagnostics.report(
            "E0407",
            given["t10_feed"].span if "t10_feed" in given else model,
            "`t10_feed` needs `usual_f80`, the F80 of the feed that t10 belongs to",
            "add `usual_f80 ... mm`",
        )
