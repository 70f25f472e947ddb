"""Which requirement of one plant is which of the other: by what it asks about, not by its words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoggin.revise.compare.matching import Matching
from hoggin.schema.plant import Meets, Plant, Requirement

Pair = tuple[int | None, int | None]  # places in Plant.requirements; None where there is none


def pair_requirements(before: Plant, after: Plant, matching: Matching) -> list[Pair]:
    """Pairs in the order of AFTER, then what is gone."""
    old = [_asked(requirement, matching.nodes) for requirement in before.requirements]
    new = [_asked(requirement, {}) for requirement in after.requirements]
    found: dict[int, int] = {}  # place in AFTER -> place in BEFORE
    for told in (2, 1):  # first those with the same limits too
        for j, asked in enumerate(new):
            alike = (i for i in range(len(old)) if old[i][:told] == asked[:told])
            free = (i for i in alike if i not in found.values())
            if j not in found and (i := next(free, None)) is not None:
                found[j] = i
    gone = [i for i in range(len(old)) if i not in found.values()]
    return [*((found.get(j), j) for j in range(len(new))), *((i, None) for i in gone)]


def same_limits(old: Requirement, new: Requirement) -> bool:
    """Whether two requirements that ask about the same set the same limits."""
    return _limits(old) == _limits(new)


def _asked(requirement: Requirement, renamed: Mapping[str, str]) -> tuple[str, str]:
    """What a requirement asks about, with the tags of AFTER, and the limits it sets."""
    if isinstance(requirement, Meets):
        product = renamed.get(requirement.product, requirement.product)
        return f"{product} meets {requirement.band.name}", _limits(requirement)
    return str(_retagged(requirement.expression.model_dump(), renamed)), _limits(requirement)


def _limits(requirement: Requirement) -> str:
    if isinstance(requirement, Meets):
        return str([(p.size_mm, p.low, p.high) for p in requirement.band.points])
    size = requirement.unit_size
    sides = (requirement.low, requirement.high)
    return str([None if side is None else f"{side * size:.12g}" for side in sides])


def _retagged(value: Any, renamed: Mapping[str, str]) -> Any:
    if isinstance(value, dict):
        return {
            key: _tag(item, renamed) if key == "subject" else _retagged(item, renamed)
            for key, item in value.items()
        }
    return f"{value:.12g}" if isinstance(value, float) else value


def _tag(subject: str, renamed: Mapping[str, str]) -> str:
    """A tag, or a tag with the name of a deck behind it."""
    head, dot, deck = subject.rpartition(".")
    return renamed.get(subject) or (renamed.get(head, head) + dot + deck)
