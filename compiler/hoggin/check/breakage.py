"""Coefficients of breakage that have to agree with one another, whatever their ranges."""

from __future__ import annotations

from collections.abc import Mapping

from hoggin.check.scope import Session
from hoggin.diagnostics.families.classes import E0404
from hoggin.diagnostics.families.models import E0407
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
            E0404.k2_below_k1(k1, k2), given["k2"].span if "k2" in given else model, where
        )
    if values.get("t10_feed", 0.0) != 0.0 and values.get("usual_f80") == 0.0:
        session.diagnostics.report(
            E0407.usual_f80(), given["t10_feed"].span if "t10_feed" in given else model
        )
