"""The standard layout, as a change of the document."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.editor.edits import Edit
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax.layout.layout import laid_out


def formatting(snapshot: Snapshot) -> tuple[Edit, ...]:
    """From the first line that changes to the last; nothing if lines can't be read."""
    source = snapshot.source
    laid = laid_out(source)
    if isinstance(laid, Diagnostics) or laid == source.text:
        return ()
    old, new = source.text.splitlines(keepends=True), laid.splitlines(keepends=True)
    first = _alike(old, new)
    last = _alike(old[first:][::-1], new[first:][::-1])
    start = len("".join(old[:first]))
    end = len(source.text) - len("".join(old[len(old) - last :]))
    return (Edit(source.name, start, end, "".join(new[first : len(new) - last])),)


def _alike(old: Sequence[str], new: Sequence[str]) -> int:
    """How many lines are the same from the first on."""
    pairs = takewhile(lambda pair: pair[0] == pair[1], zip(old, new, strict=False))
    return len(list(pairs))
