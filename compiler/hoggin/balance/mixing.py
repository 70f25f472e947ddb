"""Where material comes from: each stream's composition, carried pro rata to its solids.

A machine is taken as well mixed: whatever leaves it, coarse or fine, has the composition of its
combined feed. A loop's composition is linear in the tonnages, which are known by then.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from hoggin.balance.elimination import Step, eliminate, recover
from hoggin.models.arrays import Array, over


def normalise(mass: Array) -> Array:
    """Fractions of the last axis; zeros where there is nothing."""
    return over(mass, mass.sum(axis=-1, keepdims=True), empty=0.0)


def bulk_density(mass: Array, densities_t_m3: Array) -> Array:
    """Bulk density (B,) of a mixture of masses (B, K): volumes add.

    Where nothing flows, the mean of the feeds' densities.
    """
    volume = (mass / densities_t_m3).sum(axis=-1)
    return over(mass.sum(axis=-1), volume, empty=densities_t_m3.mean(axis=-1))


def mix_loop(
    plan: Sequence[Step],
    rates_t_h: Mapping[tuple[int, int], Array],
    totals_t_h: Mapping[int, Array],
    inputs: Mapping[int, Array],
) -> dict[int, Array]:
    """Composition (B, K) of each machine of a loop.

    rates_t_h: (source, target) -> (B,). totals_t_h: machine -> combined feed (B,). inputs:
    machine -> mass from each feed from outside, (B, K).
    """
    weights = {
        (source, target): over(rate, totals_t_h[source], empty=0.0)[:, None]
        for (source, target), rate in rates_t_h.items()
    }
    masses = recover(eliminate(plan, weights, inputs), {})
    return {machine: normalise(mass) for machine, mass in masses.items()}
