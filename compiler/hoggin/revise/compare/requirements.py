"""Matches the requirements of two plants by what they are about, not by their words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hoggin.revise.compare.matching import Matching
from hoggin.schema.asked import thing_of
from hoggin.schema.plant import Meets, Plant, Requirement

Pair = tuple[int | None, int | None]  # places in Plant.requirements; None where there is none
_Numbers = tuple[float | None, ...]

_SAME = 1e-7  # of a number: units turned into one another, and a document's digits, leave less


@dataclass(frozen=True, slots=True)
class _Asked:
    """What a requirement is about, its words apart from its numbers, and its limits."""

    words: str
    sizes: _Numbers
    limits: _Numbers


def pair_requirements(before: Plant, after: Plant, matching: Matching) -> list[Pair]:
    """Pairs in the order of AFTER, then what is gone."""
    old = [_asked(requirement, matching.nodes) for requirement in before.requirements]
    new = [_asked(requirement, {}) for requirement in after.requirements]
    rest: dict[str, list[int]] = {}  # places in BEFORE that have no partner yet, by their words
    for place, asked in enumerate(old):
        rest.setdefault(asked.words, []).append(place)
    found: dict[int, int] = {}  # place in AFTER -> place in BEFORE
    for with_limits in (True, False):  # first those with the same limits too
        for j, asked in enumerate(new):
            left = rest.get(asked.words, [])
            alike = (i for i in left if _alike(old[i], asked, with_limits))
            if j not in found and (i := next(alike, None)) is not None:
                found[j] = i
                left.remove(i)
    gone = sorted(i for left in rest.values() for i in left)
    return [*((found.get(j), j) for j in range(len(new))), *((i, None) for i in gone)]


def same_limits(old: Requirement, new: Requirement) -> bool:
    """Whether two requirements about the same result have the same limits."""
    return _close(_limits(old), _limits(new))


def _alike(old: _Asked, new: _Asked, with_limits: bool) -> bool:
    return _close(old.sizes, new.sizes) and (not with_limits or _close(old.limits, new.limits))


def _close(old: _Numbers, new: _Numbers) -> bool:
    return len(old) == len(new) and all(
        a == b or (a is not None and b is not None and math.isclose(a, b, rel_tol=_SAME))
        for a, b in zip(old, new, strict=True)
    )


def _asked(requirement: Requirement, renamed: Mapping[str, str]) -> _Asked:
    """What a requirement is about, with the tags of AFTER, and its limits."""
    limits = _limits(requirement)
    if isinstance(requirement, Meets):
        product = renamed.get(requirement.product, requirement.product)
        return _Asked(f"{product} meets {requirement.band.name}", (), limits)
    sizes: list[float] = []
    words = str(_parted(requirement.expression.model_dump(), renamed, sizes))
    return _Asked(words, tuple(sizes), limits)


def _limits(requirement: Requirement) -> _Numbers:
    if isinstance(requirement, Meets):
        return tuple(n for p in requirement.band.points for n in (p.size_mm, p.low, p.high))
    size = requirement.unit_size
    sides = (requirement.low, requirement.high)
    return tuple(None if side is None else side * size for side in sides)


def _parted(value: Any, renamed: Mapping[str, str], numbers: list[float]) -> Any:
    """An expression's words with the tags of AFTER; its numbers go to `numbers`, in order."""
    if isinstance(value, dict):
        return {
            key: _tag(item, renamed) if key == "subject" else _parted(item, renamed, numbers)
            for key, item in value.items()
        }
    if isinstance(value, float):
        numbers.append(value)
        return "a number"
    return value


def _tag(subject: str, renamed: Mapping[str, str]) -> str:
    """A tag, or a tag with the name of a deck or outlet after it."""
    tag = thing_of(subject, renamed)
    return renamed[tag] + subject.removeprefix(tag) if tag else subject
