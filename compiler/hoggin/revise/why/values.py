"""One result of many hybrids: those of one structure are balanced as the cases of a batch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from hoggin.balance.circuit import Circuit, lower, stack
from hoggin.balance.grid import common_edges
from hoggin.balance.numbers import numbers_of, skeleton
from hoggin.balance.settle import CannotSettle
from hoggin.balance.solver import solve
from hoggin.rating.overload import named
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.revise.why.hybrids import Refusal
from hoggin.revise.why.result import asked, limit
from hoggin.schema.plant import Plant

_BATCH = 128  # hybrids balanced at a time: what bounds the memory
_NO_VALUE = "the result has no value: none of its machines runs"


def values(plants: Mapping[int, Plant], wholes: Sequence[Plant]) -> dict[int, float | Refusal]:
    """The result asked for of each plant, or why it has none.

    All are balanced on one grid of sizes, so that no difference is the grid's; it holds the sizes
    of the `wholes` too, the two plants that the user has.
    """
    edges = common_edges((*wholes, *plants.values()))
    found: dict[int, float | Refusal] = {}
    waiting: dict[object, dict[int, Circuit]] = {}  # by what a batch has to share
    for choice, plant in plants.items():
        circuit = lower(plant, edges)
        batch = waiting.setdefault(_kind(circuit, plant), {})
        batch[choice] = circuit
        if len(batch) == _BATCH:
            found.update(_balanced(batch, plants))
            batch.clear()
    for batch in waiting.values():
        found.update(_balanced(batch, plants))
    return found


def void_by(plant: Plant) -> tuple[str, ...]:
    """The overloaded machines of a plant that make the result asked for void."""
    rated = Rated(plant, solve(lower(plant)))
    return named(rated.overload.above_requirement(limit(plant)), 0)


def _balanced(
    batch: Mapping[int, Circuit], plants: Mapping[int, Plant]
) -> Iterator[tuple[int, float | Refusal]]:
    """Balance a batch; what can't settle is put out of it, and the rest tried again."""
    circuits = dict(batch)
    while circuits:
        choices = list(circuits)
        try:
            circuit = stack(list(circuits.values()))
            balance = solve(circuit)
        except CannotSettle as fault:
            for case in fault.unsettled.cases:
                yield choices[case], Refusal(str(fault), "E0801")
                del circuits[choices[case]]
            continue
        alike = [plants[choice] for choice in choices]
        rated = Rated(alike[0], balance, numbers_of(alike), circuit)
        read = np.broadcast_to(Readings(rated).value(asked(alike[0])), len(choices))
        rated.forget()
        for choice, value in zip(choices, read.tolist(), strict=True):
            yield choice, Refusal(_NO_VALUE) if np.isnan(value) else value
        return


def _kind(circuit: Circuit, plant: Plant) -> object:
    """What plants have to share to be cases of one batch: everything but numbers."""
    return circuit.rocks, skeleton(plant)
