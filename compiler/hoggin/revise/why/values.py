"""One result of many hybrids: those of one structure are balanced as the cases of a batch."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

import numpy as np

from hoggin.balance.circuit import Circuit, lower, stack
from hoggin.balance.grid import common_edges
from hoggin.balance.settle import CannotSettle
from hoggin.balance.solver import solve
from hoggin.balance.water import Water, water
from hoggin.rating.flows import Flows
from hoggin.rating.rate import read_result
from hoggin.revise.why.hybrids import Refusal
from hoggin.revise.why.result import asked
from hoggin.schema.plant import Plant

_BATCH = 128  # hybrids balanced at a time: what bounds the memory
_NO_VALUE = "the result has no value: nothing of what it is read from runs there"
_UNLIKE_STILL_ALIKE = {"setting"}  # of a unit: words for a message
_OF_WATER = re.compile("water|moisture|wet")  # facts of a class that tell where water goes


def values(plants: Mapping[int, Plant], wholes: Sequence[Plant]) -> dict[int, float | Refusal]:
    """The result asked for of each plant, or why it has none.

    All are balanced on one grid of sizes, so that no difference is the grid's; it holds the sizes
    of the `wholes` too, the two plants that the user has.
    """
    edges = common_edges((*wholes, *plants.values()))
    found: dict[int, float | Refusal] = {}
    waiting: dict[object, dict[int, Circuit]] = {}  # by what a batch has to share
    shapes: dict[tuple[int, int], object] = {}
    for choice, plant in plants.items():
        circuit = lower(plant, edges)
        batch = waiting.setdefault(_kind(circuit, plant, shapes), {})
        batch[choice] = circuit
        if len(batch) == _BATCH:
            found.update(_balanced(batch, plants))
            batch.clear()
    for batch in waiting.values():
        found.update(_balanced(batch, plants))
    return found


def _balanced(
    batch: Mapping[int, Circuit], plants: Mapping[int, Plant]
) -> Iterator[tuple[int, float | Refusal]]:
    """Balance a batch; what can't settle is put out of it, and the rest tried again."""
    circuits = dict(batch)
    while circuits:
        choices = list(circuits)
        try:
            balance = solve(stack(list(circuits.values())))
        except CannotSettle as fault:
            for case in fault.unsettled.cases:
                yield choices[case], Refusal(str(fault), "E0801")
                del circuits[choices[case]]
            continue
        waters: dict[str, Water] = {}
        for case, choice in enumerate(choices):
            plant = plants[choice]
            alike = _wetness(plant)
            if alike not in waters:
                waters[alike] = water(plant, balance)
            value = read_result(_WetFlows(plant, balance, case, waters[alike]), asked(plant))
            yield choice, Refusal(_NO_VALUE) if value is None else value
        return


@dataclass(frozen=True)
class _WetFlows(Flows):
    """A case whose water is known: it is worked out for all cases of a batch at once."""

    known_water: Water | None = None

    @property
    def water(self) -> Water:
        assert self.known_water is not None
        return self.known_water


def _wetness(plant: Plant) -> str:
    """Words that are the same for plants whose water goes the same way with the same solids."""
    moistures = [plant.materials[feed.material].moisture for feed in plant.feeds]
    machines = [
        (
            [(name, value) for name, value in m.facts.items() if _OF_WATER.search(name)],
            sorted(m.shares.items()),
            [deck.spray_m3_h for deck in m.decks],
        )
        for m in plant.machines
    ]
    return repr((moistures, machines))


def _kind(circuit: Circuit, plant: Plant, shapes: dict[tuple[int, int], object]) -> object:
    """What circuits have to share to be cases of one batch: everything but numbers. `shapes` keeps
    those of machines, which hybrids share."""
    materials = len(circuit.materials)
    for machine, unit in zip(plant.machines, circuit.units, strict=True):
        if (id(machine), materials) not in shapes:
            shapes[id(machine), materials] = _shape(unit)
    return (
        circuit.flowsheet,
        circuit.materials,
        circuit.feed_materials.tobytes(),
        tuple(shapes[id(machine), materials] for machine in plant.machines),
    )


def _shape(part: Any) -> object:
    if isinstance(part, np.ndarray):
        return part.shape
    if isinstance(part, Mapping):
        return tuple((key, _shape(value)) for key, value in part.items())
    if isinstance(part, Sequence) and not isinstance(part, str):
        return tuple(map(_shape, part))
    if is_dataclass(part):
        named = ((f.name, getattr(part, f.name)) for f in fields(part))
        return type(part), tuple((n, _shape(v)) for n, v in named if n not in _UNLIKE_STILL_ALIKE)
    return part
