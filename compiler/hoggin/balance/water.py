"""The plant's water: with which stream of a machine it leaves, and how it recirculates in a loop.

Water goes with the solids pro rata, except that a coarse outlet that drains (a sprayed deck, a
dewatering screen, a classifier, a thickener) keeps no more than the moisture its class says stays
on that product; the rest goes on with what passes. So what leaves by an outlet is linear in what
arrives, in two pieces: less than it can hold, or all that it can. A loop is solved as a linear
system on the pieces that the last solution lies on, by Newton's method.

Source: conservation of mass; the retained moistures are the classes' own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from hoggin.balance.circuit import Circuit, Demand, Screen, Splitter, Unit
from hoggin.balance.elimination import add, eliminate, recover
from hoggin.balance.loop import LoopFlow
from hoggin.balance.result import Array
from hoggin.balance.separation import Separation
from hoggin.balance.topology import Part
from hoggin.balance.wetting import ALL_OF_IT, Line, Wetting
from hoggin.models.arrays import over

_TOLERANCE = 1e-12  # of the most that arrives at a machine
_MOST_STEPS = 60


@dataclass(frozen=True, slots=True)
class Parted:
    """A machine's water by outlet, and the moisture (B,) of what each of its decks is fed."""

    outlets: tuple[Line, ...]
    moistures: tuple[Array, ...] = ()


def part_water(unit: Unit, wetting: Wetting, wet_t_h: Array, solids_t_h: Sequence[Array]) -> Parted:
    """How a machine parts its water: (B,) that arrives, and the solids (B,) of its outlets."""
    if isinstance(unit, Screen):
        return _down_the_decks(unit, wetting, wet_t_h, solids_t_h)
    added = wetting.added_t_h[:, 0]
    total = np.sum(solids_t_h, axis=0)
    shares = [
        over(solids, total, empty=few)
        for solids, few in zip(solids_t_h, _of_nothing(unit), strict=True)
    ]
    return Parted(tuple(Line(share, share * added) for share in shares))


def _of_nothing(unit: Unit) -> Sequence[Array]:
    """What each outlet takes of the least that is fed, (1 or B,): tonnages are served first."""
    if isinstance(unit, Splitter):
        return tuple(unit.shares.T)
    if isinstance(unit, Demand):
        asked = unit.asked_t_h.sum(axis=1)
        return tuple(
            over(column, asked, empty=float(outlet == unit.rest))
            for outlet, column in enumerate(unit.asked_t_h.T)
        )
    return (np.ones(1),)


def _down_the_decks(
    screen: Screen, wetting: Wetting, wet_t_h: Array, solids_t_h: Sequence[Array]
) -> Parted:
    down = [solids_t_h[screen.outlets.index(place)] for place in range(len(screen.outlets))]
    onto = np.cumsum(down[::-1], axis=0)[::-1]  # what reaches each deck
    water = ALL_OF_IT
    leaving, moistures = [], []
    for place, coarse in enumerate(down[:-1]):
        water = wetting.onto(place, water)
        moistures.append(over(water.at(wet_t_h), onto[place], empty=0.0))
        kept, water = wetting.part(place, water, wet_t_h, onto[place], coarse)
        leaving.append(kept)
    leaving.append(water)
    return Parted(tuple(leaving[place] for place in screen.outlets), tuple(moistures))


def settle_water(
    circuit: Circuit,
    part: Part,
    flow: LoopFlow,
    separations: Mapping[int, Separation],
    entering: Mapping[int, Array],
) -> tuple[dict[int, Array], dict[int, Array]]:
    """Water (B,) in the streams that start in a loop, and moistures (B, D) of its screens' decks.

    entering: machine -> water (B,) from outside the loop.
    """
    links = circuit.flowsheet.links
    solids: dict[int, dict[int, Array]] = {m: {} for m in part.machines}
    for stream in (*part.inner, *part.leaving):
        link = links[stream]
        solids[link.source][link.outlet] = flow.leaving(link, separations).sum(axis=1)
    outlets = {m: [found[outlet] for outlet in sorted(found)] for m, found in solids.items()}
    wet = {m: entering.get(m, np.zeros(circuit.cases)) for m in part.machines}
    for _ in range(_MOST_STEPS):
        parted = {
            m: part_water(circuit.units[m], circuit.wettings[m], wet[m], outlets[m])
            for m in part.machines
        }
        found = _solved(circuit, part, parted, entering)
        moved = max(np.abs(found[m] - wet[m]).max() for m in part.machines)
        wet = found
        if moved <= _TOLERANCE * max(water.max() for water in wet.values()):
            break
    streams = {}
    for stream in (*part.inner, *part.leaving):
        link = links[stream]
        streams[stream] = parted[link.source].outlets[link.outlet].at(wet[link.source])
    decks = {m: np.stack(p.moistures, axis=1) for m, p in parted.items() if p.moistures}
    return streams, decks


def _solved(
    circuit: Circuit, part: Part, parted: Mapping[int, Parted], entering: Mapping[int, Array]
) -> dict[int, Array]:
    """Water (B,) that arrives at each machine of a loop."""
    weights: dict[tuple[int, int], Array] = {}
    inputs = {m: water[:, None] for m, water in entering.items()}
    for stream in part.inner:
        link = circuit.flowsheet.links[stream]
        line = parted[link.source].outlets[link.outlet]
        add(weights, link.way, line.slope[:, None])
        add(inputs, link.target, line.constant[:, None])
    arriving = recover(eliminate(part.mix_plan, weights, inputs), {})
    return {m: np.broadcast_to(arriving[m][:, 0], (circuit.cases,)) for m in part.machines}
