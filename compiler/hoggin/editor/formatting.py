"""The standard layout, as a change of the document."""

from __future__ import annotations

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.editor.edits import Edit, rewriting
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax.layout.layout import laid_out


def formatting(snapshot: Snapshot) -> tuple[Edit, ...]:
    """Nothing if lines can't be read."""
    source = snapshot.source
    laid = laid_out(source)
    if isinstance(laid, Diagnostics):
        return ()
    return rewriting(source, laid)
