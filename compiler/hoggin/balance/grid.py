"""The size classes a plant is balanced on."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import numpy as np

from hoggin.balance.result import Array
from hoggin.models.screens import equivalent_square_mm
from hoggin.schema.plant import Combination, Meets, Plant, Reading, Requirement

_LARGEST_RATIO = 1.2  # between neighbouring edges: finer than any sieve series in use
_FINEST_MM = 0.063  # silt and filler below it are one class
_SAME = 1e-9  # relative; sizes closer than this are one size


def common_edges(plants: Iterable[Plant], more: Iterable[float] = ()) -> Array:
    """Class limits (n + 1,) in mm, falling to 0, that suit all of the plants. `more` sizes, mm, are
    edges as well.

    Every reporting sieve, every size a requirement asks about, every deck aperture (with the
    square mesh it equals) and feed top size is an edge; the gaps between them are divided evenly
    in log size so that neighbours differ by at most 1.2. Above the coarsest feed nothing flows,
    so gaps there stay whole.
    """
    fixed = {_FINEST_MM, *more}
    top = _FINEST_MM
    for plant in plants:
        fixed.update(plant.sieves_mm)
        fixed.update(size for requirement in plant.requirements for size in _asked(requirement))
        for deck in (deck for machine in plant.machines for deck in machine.decks):
            fixed.update((deck.aperture_mm, equivalent_square_mm(deck.aperture_mm, deck.shape)))
        sizes = [feed.grading[0][0] for feed in plant.feeds]
        fixed.update(sizes)
        top = max(top, *sizes)
    wanted = _distinct(sorted((size for size in fixed if size > 0.0), reverse=True))
    edges: list[float] = []
    for upper, lower in pairwise(wanted):
        parts = math.ceil(math.log(upper / lower) / math.log(_LARGEST_RATIO) - _SAME)
        parts = max(parts, 1) if upper <= top * (1 + _SAME) else 1
        edges += [upper * (lower / upper) ** (step / parts) for step in range(parts)]
    return np.array([*edges, wanted[-1], 0.0])


def _asked(requirement: Requirement) -> Iterator[float]:
    """The sizes, mm, whose passing a requirement judges."""
    if isinstance(requirement, Meets):
        yield from (point.size_mm for point in requirement.band.points)
        return
    todo = [requirement.expression]
    while todo:
        expression = todo.pop()
        if isinstance(expression, Combination):
            todo += [expression.left, expression.right]
        elif isinstance(expression, Reading) and expression.size_mm is not None:
            yield expression.size_mm


def _distinct(falling: Sequence[float]) -> list[float]:
    kept: list[float] = []
    for size in falling:
        if not kept or size < kept[-1] * (1 - _SAME):
            kept.append(size)
    return kept
