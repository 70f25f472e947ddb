"""The language's one layout, as a change of the document."""

from __future__ import annotations

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.editor.edits import Edit
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax.layout.layout import laid_out


def formatting(snapshot: Snapshot) -> tuple[Edit, ...]:
    """From the first line that changes to the last; nothing where lines can't be read."""
    source = snapshot.source
    laid = laid_out(source)
    if isinstance(laid, Diagnostics) or laid == source.text:
        return ()
    old, new = source.text.splitlines(keepends=True), laid.splitlines(keepends=True)
    first = 0
    while first < min(len(old), len(new)) and old[first] == new[first]:
        first += 1
    last = 0
    while last < min(len(old), len(new)) - first and old[-1 - last] == new[-1 - last]:
        last += 1
    start = len("".join(old[:first]))
    end = len(source.text) - len("".join(old[len(old) - last :]))
    return (Edit(source.name, start, end, "".join(new[first : len(new) - last])),)
