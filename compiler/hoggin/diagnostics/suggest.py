"""Suggestions: the known name that a wrong one was likely meant to be."""

from __future__ import annotations

from collections.abc import Iterable


def did_you_mean(wrong: str, known: Iterable[str]) -> str:
    """A help sentence with the nearest known name, or with the whole list when it is short."""
    from difflib import get_close_matches  # only a fault needs it

    names = sorted(set(known))
    same = [name for name in names if name.lower() == wrong.lower()]  # but for capital letters
    near = same[:1] or get_close_matches(wrong, names, n=1, cutoff=0.6)
    if near:
        return f"did you mean `{near[0]}`?"
    if 0 < len(names) <= 12:
        return "known here: " + ", ".join(f"`{name}`" for name in names)
    return ""
