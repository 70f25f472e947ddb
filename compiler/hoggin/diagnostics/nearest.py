"""The known name that is nearest to an unknown one, in bounded work however many names there are.

Among a few names every one is compared. Among many, only those are that could be meant: names one
slip away (a letter too many, too few, another, or two in turn), which share a form with one letter
left out, and names that share three letters in a row with few others.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from difflib import get_close_matches
from functools import lru_cache

ALL_COMPARED = 64  # names, up to which every one is compared
MOST_COMPARED = 12  # of more names
_FEW = 48  # names that share a form or three letters: of more none is singled out
_LEAST_ALIKE = 0.6


def nearest(wrong: str, known: frozenset[str]) -> str | None:
    """The nearest of some names; None where none is near."""
    names = sorted(known) if len(known) <= ALL_COMPARED else _Index.of(known).near(wrong)
    same = [name for name in names if name.lower() == wrong.lower()]  # but for capital letters
    near = same[:1] or get_close_matches(wrong, names, n=1, cutoff=_LEAST_ALIKE)
    return near[0] if near else None


class _Index:
    """Names by the forms and the letters they share."""

    def __init__(self, names: frozenset[str]) -> None:
        self._forms: dict[str, list[str]] = {}
        self._letters: dict[str, list[str]] = {}
        for name in sorted(names):
            for form in _forms(name):
                self._forms.setdefault(form, []).append(name)
            for letters in _in_a_row(name):
                self._letters.setdefault(letters, []).append(name)

    @staticmethod
    @lru_cache(maxsize=16)
    def of(names: frozenset[str]) -> _Index:
        return _Index(names)

    def near(self, wrong: str) -> list[str]:
        """The names to compare with, no more than MOST_COMPARED."""
        shared: Counter[str] = Counter()
        for weight, index, keys in (
            (len(wrong) + 3, self._forms, _forms(wrong)),  # one slip counts above all letters
            (1, self._letters, _in_a_row(wrong)),
        ):
            for key in keys:
                for name in index.get(key, ())[:_FEW]:
                    shared[name] += weight
        ranked = sorted(shared, key=lambda name: (-shared[name], name))
        return ranked[:MOST_COMPARED]


def _forms(name: str) -> Iterator[str]:
    """A name as it is, and with each of its letters left out; capitals count as small letters."""
    plain = name.lower()
    yield from {plain, *(plain[:i] + plain[i + 1 :] for i in range(len(plain)))}


def _in_a_row(name: str) -> Iterator[str]:
    """Each three letters in a row."""
    plain = name.lower()
    yield from {plain[i : i + 3] for i in range(len(plain) - 2)}
