"""The size classes a plant is balanced on, two cells to each."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from hoggin.balance.result import Array
from hoggin.graph import flow_order
from hoggin.models import catalog
from hoggin.models.points import Band, Fineness, halves, points
from hoggin.models.screens import equivalent_square_mm
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Combination, Deck, Machine, Meets, Plant, Reading, Requirement

Find = Callable[[str, str], catalog.Model | None]

_WIDEST = 0.42  # log size of a class: its halves are then finer than any sieve series in use
_AT_RISK = 0.115  # where rock may be too coarse for a deck and too fine to be broken
_TO_UNBROKEN = 0.92  # of the distance to the size that is not broken, in log size
_LEAST_REACH = 0.06  # of the last of them
_RETURNED = 2.5  # aperture over a size, up to which a deck may return rock of that size
_NEAR = 0.05  # log size; a chance of breakage that bends so near a class limit is as good as on it
_FINEST_MM = 0.063  # silt and filler below it are one class
_SAME = 1e-9  # relative; sizes closer than this are one size
_SAMPLES = 50  # a unit of log size, of the widths wanted


@dataclass(frozen=True, slots=True)
class Cells:
    """Two cells to a size class, on which a circuit is solved: see `models.points`.

    edges_mm: (2 n + 1,) their limits, coarse to fine. points_mm: (2 n,) the size that stands for
    each.
    """

    edges_mm: Array
    points_mm: Array

    @classmethod
    def of(cls, edges_mm: Array) -> Cells:
        """Those with limits from `common_edges`."""
        return cls(edges_mm, points(edges_mm[::2]))

    def known_to(self, function: Callable[..., Any]) -> dict[str, Array]:
        """The points, for a model's function that asks for them; others see classes alone."""
        return {"points_mm": self.points_mm} if "points_mm" in parameters(function) else {}

    def from_class(self, first: int) -> Cells:
        """Those of a class and all finer ones."""
        return Cells(self.edges_mm[2 * first :], self.points_mm[2 * first :])

    def __len__(self) -> int:
        return len(self.points_mm)


def common_edges(
    plants: Iterable[Plant],
    more: Iterable[float] = (),
    *,
    wider: float = 1.0,
    find: Find = catalog.find,
) -> Array:
    """Limits of cells (2 n + 1,) in mm, falling to 0, that suit all of the plants. `more` sizes are
    class limits as well. wider: times as wide as the models and loops need, for an estimate of the
    error.

    Every reporting sieve, every size a requirement asks about, every deck aperture (with the
    square mesh it equals), every feed size and every kink of a model is a class limit, but for
    kinks of a breakage curve beside another limit where no rock gathers. Gaps between limits are
    divided so that classes are no wider than the models and the loops need. Above the coarsest feed
    nothing flows, so gaps there stay whole.
    """
    fixed = {_FINEST_MM, *more}
    bends: set[float] = set()
    bands: list[Band] = []
    top = _FINEST_MM
    for plant in plants:
        fixed.update(plant.sieves_mm)
        fixed.update(size for requirement in plant.requirements for size in _asked(requirement))
        for deck in (deck for machine in plant.machines for deck in machine.decks):
            fixed.update((deck.aperture_mm, square_mm(deck)))
        fixed.update(size for feed in plant.feeds for size, _ in feed.grading)
        top = max(top, *(feed.grading[0][0] for feed in plant.feeds))
        for need in _needs(plant, find):
            kinks = {size for size in need.kinks_mm if _FINEST_MM < size < top}
            apart = kinks.intersection(need.gathering_mm) if need.gathering_mm else kinks
            fixed |= apart
            bends |= kinks - apart
            bands += need.bands
    fixed |= _apart(bends, fixed)
    wanted = _distinct(sorted((size for size in fixed if size > 0.0), reverse=True))
    return halves(np.append(_divided(wanted, bands, top, wider), 0.0))


def _apart(bends: Iterable[float], fixed: Iterable[float]) -> set[float]:
    """Those of some sizes that are not near a fixed one, nor near a coarser one of their own."""
    limits = {size for size in fixed if size > 0.0}
    kept: set[float] = set()
    for size in sorted(bends, reverse=True):
        if all(abs(math.log(size / limit)) >= _NEAR for limit in limits | kept):
            kept.add(size)
    return kept


def square_mm(deck: Deck) -> float:
    """The square mesh that a deck's openings equal."""
    return equivalent_square_mm(deck.aperture_mm, deck.shape)


def _needs(plant: Plant, find: Find) -> Iterator[Fineness]:
    """What each machine's models need, and what their meeting in a loop does."""
    rocks = [plant.materials[name].breaking for name in {f.material: None for f in plant.feeds}]
    gathering: dict[str, set[float]] = {}
    for machine in plant.machines:
        kind = KINDS[machine.kind]
        for rock in rocks if kind.breaks else ():
            need = _need(machine, "breakage", rock, find)
            if need is not None:
                yield need
                gathering.setdefault(machine.tag, set()).update(need.gathering_mm)
        for deck in machine.decks or (None,):
            need = _need(machine, "partition", _facts(deck), find) if kind.separates else None
            if need is not None:
                yield need
    for loop in _loops(plant):
        sizes = [size for m in loop for size in sorted(gathering.get(m.tag, ()))]
        for aperture in (square_mm(deck) for machine in loop for deck in machine.decks):
            for size in sizes:
                if 1.0 < aperture / size < _RETURNED:
                    yield Fineness((), (Band(size, aperture, _AT_RISK), *_toward(size)))


def _loops(plant: Plant) -> Iterator[list[Machine]]:
    """The machines of each loop."""
    onward: dict[str, list[str]] = {machine.tag: [] for machine in plant.machines}
    for stream in plant.streams:
        if stream.source in onward and stream.target in onward:
            onward[stream.source].append(stream.target)
    machines = {machine.tag: machine for machine in plant.machines}
    for tags in flow_order(onward):
        if len(tags) > 1:
            yield [machines[tag] for tag in tags]


def _toward(size_mm: float) -> Iterator[Band]:
    """Bands about a size, narrower toward it. Rock just coarser than the size that is not broken is
    hardly broken, and if the deck's cut is finer, the rock just below it hardly leaves: most of
    what recirculates lies there."""
    reach = _AT_RISK / _TO_UNBROKEN
    while reach > _LEAST_REACH:
        yield Band(size_mm / math.exp(reach), size_mm * math.exp(reach), _TO_UNBROKEN * reach / 2.0)
        reach /= 2.0


def _facts(deck: Deck | None) -> dict[str, float]:
    if deck is None:
        return {}
    stated = {} if deck.open_area is None else {"open_area": deck.open_area}
    return {"aperture_mm": square_mm(deck), **stated}


def _need(machine: Machine, role: str, facts: Mapping[str, float], find: Find) -> Fineness | None:
    use = machine.models.get(role)
    model = None if use is None else find(role, use.model)
    if use is None or model is None:
        return None
    found: Fineness | None = model.needed_fineness(
        {
            **{c.name: c.default for c in model.coefficients},
            **use.coefficients,
            **use.tables,
            **facts,
        }
    )
    return found


def _divided(wanted: Sequence[float], bands: Sequence[Band], top: float, wider: float) -> Array:
    """Falling sizes with more between them, so that no class is wider than the bands allow."""
    logs = np.log(wanted)
    count = int(np.ceil(_SAMPLES * (logs[0] - logs[-1]))) + 2
    at = np.linspace(logs[-1], logs[0], count)
    width = np.full(count - 1, _WIDEST)
    middle = 0.5 * (at[1:] + at[:-1])
    half = 0.5 * (at[1] - at[0])
    for low, high, widest in bands:
        above = np.log(low) if low > 0 else -np.inf
        within = (middle + half > above) & (middle - half < np.log(high))
        width[within] = np.minimum(width[within], widest)
    classes = np.append(
        0.0, np.cumsum(2.0 * half / (wider * width))
    )  # needed from the finest size up
    needed = np.interp(logs, at, classes)
    flows = np.asarray(wanted[:-1]) <= top * (1.0 + _SAME)
    parts = np.where(flows, np.maximum(np.ceil(needed[:-1] - needed[1:] - _SAME), 1.0), 1.0)
    gap = np.repeat(np.arange(len(parts)), parts.astype(int))
    step = np.arange(len(gap)) - np.searchsorted(gap, gap)
    place = needed[gap] + (needed[gap + 1] - needed[gap]) * step / parts[gap]
    sizes = np.where(step == 0, np.asarray(wanted)[gap], np.exp(np.interp(place, classes, at)))
    return np.append(sizes, wanted[-1])


@lru_cache(maxsize=256)
def parameters(function: Callable[..., Any]) -> tuple[str, ...]:
    """The names of a function's arguments."""
    return tuple(inspect.signature(function).parameters)


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
