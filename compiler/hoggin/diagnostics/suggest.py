"""Suggestions: the known name that a wrong one was likely meant to be."""

from __future__ import annotations

from collections.abc import Iterable

_LISTED = 16  # names in a help sentence


def did_you_mean(wrong: str, known: Iterable[str]) -> str:
    """A help sentence with the nearest known name, or with the whole list when it is short."""
    from hoggin.diagnostics.nearest import nearest  # only a fault needs it

    names = frozenset(known)
    near = nearest(wrong, names)
    if near is not None:
        return f"did you mean `{near}`?"
    return known_here(sorted(names)) if len(names) <= _LISTED else ""


def known_here(known: Iterable[str]) -> str:
    """A help sentence with known names in the order they are given, the first of many."""
    names = list(known)
    told = ", ".join(f"`{name}`" for name in names[:_LISTED])
    more = f" and {len(names) - _LISTED} more" if len(names) > _LISTED else ""
    return f"known here: {told}{more}" if names else ""
