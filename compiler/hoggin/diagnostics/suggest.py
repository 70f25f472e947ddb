"""Suggestions: the known name that a wrong one was likely meant to be."""

from __future__ import annotations

from collections.abc import Iterable

_LISTED = 12  # names that are listed where none is near


def did_you_mean(wrong: str, known: Iterable[str]) -> str:
    """A help sentence with the nearest known name, or with the whole list when it is short."""
    from hoggin.diagnostics.nearest import nearest  # only a fault needs it

    names = frozenset(known)
    near = nearest(wrong, names)
    if near is not None:
        return f"did you mean `{near}`?"
    if 0 < len(names) <= _LISTED:
        return "known here: " + ", ".join(f"`{name}`" for name in sorted(names))
    return ""
