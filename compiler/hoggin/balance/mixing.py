"""Where material comes from: each stream's composition, carried pro rata to its solids.

A machine is taken as well mixed: whatever leaves it, coarse or fine, has the composition of its
combined feed. A loop's composition is linear in the tonnages, which are known by then.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from hoggin.balance.elimination import Step, eliminate, recover
from hoggin.balance.result import Array


def normalise(mass: Array) -> Array:
    """Fractions of the last axis; zeros where there is nothing."""
    total = mass.sum(axis=-1, keepdims=True)
    fractions: Array = np.divide(mass, total, out=np.zeros_like(mass), where=total > 0.0)
    return fractions


def bulk_density(mass: Array, densities_t_m3: Array) -> Array:
    """Bulk density (B,) of a mixture of masses (B, K): volumes add.

    Where nothing flows, the mean of the materials' densities.
    """
    volume = (mass / densities_t_m3).sum(axis=-1)
    mean = np.broadcast_to(densities_t_m3.mean(axis=-1), volume.shape)
    density: Array = np.divide(mass.sum(axis=-1), volume, out=mean.copy(), where=volume > 0.0)
    return density


def mix_loop(
    plan: Sequence[Step],
    rates_t_h: Mapping[tuple[int, int], Array],
    totals_t_h: Mapping[int, Array],
    inputs: Mapping[int, Array],
) -> dict[int, Array]:
    """Composition (B, K) of each machine of a loop.

    rates_t_h: (source, target) -> (B,). totals_t_h: machine -> combined feed (B,). inputs:
    machine -> mass of each material from outside, (B, K).
    """
    weights = {
        (source, target): np.divide(
            rate, totals_t_h[source], out=np.zeros_like(rate), where=totals_t_h[source] > 0.0
        )[:, None]
        for (source, target), rate in rates_t_h.items()
    }
    masses = recover(eliminate(plan, weights, inputs), {})
    return {machine: normalise(mass) for machine, mass in masses.items()}
