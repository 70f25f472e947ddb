"""Random plants with splitters by tonnage, and a solution of them that marches through passes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

import numpy as np

from hoggin.balance import balance
from hoggin.models.points import in_halves
from hoggin.schema.plant import Machine, Plant

from .random_plants import random_plant
from .reference import Array, Cuts, Reference


def tonnage_plant(seed: int, count: int, *, load_dependent: bool = True) -> Plant:
    """A random plant whose splitters are asked for tonnages: of all outlets but one, from none to
    half again as much as runs there when the plant is split by shares."""
    return by_tonnages(random_plant(seed, count, load_dependent=load_dependent, materials=1), seed)


def by_tonnages(shared: Plant, seed: int) -> Plant:
    """A plant by shares with tonnages in their place, drawn from what runs there."""
    random = Random(seed)
    result = balance(shared)
    fed = dict(zip(result.machines, result.machine_feeds_t_h[0].sum(axis=1), strict=True))
    machines = tuple(
        _asked(random, machine, float(fed[machine.tag])) if machine.shares else machine
        for machine in shared.machines
    )
    return shared.model_copy(update={"machines": machines})


def _asked(random: Random, machine: Machine, fed_t_h: float) -> Machine:
    rest = random.choice(machine.outlets)
    asked = {
        outlet: share * fed_t_h * random.choice((0.0, 0.3, 0.7, 0.9, 1.2, 1.5))
        for outlet, share in machine.shares.items()
        if outlet != rest
    }
    return machine.model_copy(update={"shares": {}, "asked_t_h": asked})


def shares_under(machine: Machine, fed_t_h: float) -> dict[str, float]:
    """Shares by the rule of the language page: as asked while enough arrives, else pro rata."""
    total = sum(machine.asked_t_h.values())
    if fed_t_h <= 0.0:
        return dict.fromkeys(machine.outlets, 1.0 / len(machine.outlets))
    given = {
        o: asked * min(1.0, fed_t_h / total) if total else 0.0
        for o, asked in machine.asked_t_h.items()
    }
    rest = max(0.0, fed_t_h - total)
    return {o: given.get(o, rest) / fed_t_h for o in machine.outlets}


def with_shares(a_plant: Plant, shares: Mapping[str, Mapping[str, float]]) -> Plant:
    """The same plant split by shares, by tag and outlet."""
    machines = tuple(
        m.model_copy(update={"asked_t_h": {}, "shares": shares[m.tag]}) if m.tag in shares else m
        for m in a_plant.machines
    )
    return a_plant.model_copy(update={"machines": machines})


def asking(a_plant: Plant) -> Iterator[Machine]:
    return (machine for machine in a_plant.machines if machine.asked_t_h)


def marched(a_plant: Plant, edges_mm: Array, cuts: Cuts, passes: int = 20_000) -> Array:
    """Machine feeds (M, n) once a plant that starts empty is full: each pass hands on what the
    machines got in the one before, under the rule of each splitter. None of the balance's code."""
    reference = Reference(
        with_shares(a_plant, {m.tag: shares_under(m, 0.0) for m in asking(a_plant)}), edges_mm
    )
    operators = {m.tag: reference.outlets(m, cuts) for m in reference.plant.machines}
    fed = np.zeros((len(a_plant.machines), reference.n))
    for _ in range(passes):
        for machine in asking(a_plant):
            rate = float(fed[reference.number[machine.tag]].sum())
            found = shares_under(machine, rate)
            operators[machine.tag] = found
        after = np.zeros_like(fed)
        for stream in a_plant.streams:
            if stream.target not in reference.number:
                continue
            if stream.source in reference.feeds:
                flow = reference.feeds[stream.source]
            else:
                feed = fed[reference.number[stream.source]]
                operator = operators[stream.source][stream.outlet]
                flow = operator * feed if isinstance(operator, float) else operator @ feed
            after[reference.number[stream.target]] += flow
        if np.abs(after - fed).max() <= 1e-13 * after.max():
            return in_halves(after)
        fed = after
    raise AssertionError("still filling")
