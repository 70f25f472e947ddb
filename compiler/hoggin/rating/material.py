"""Properties of a stream's mixture of materials: masses add for energy, volumes for
density."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoggin.balance.result import Array
from hoggin.schema.plant import Plant


@dataclass(frozen=True, slots=True)
class Mixture:
    """Solid and bulk density in t/m3, work index in kWh/t."""

    solid_density_t_m3: float
    bulk_density_t_m3: float
    work_index_kwh_t: float


def mixture(plant: Plant, shares: Array) -> Mixture:
    """The mixture of mass shares (K,), materials in sorted order of name. An empty stream has the
    plain mean of the plant's materials."""
    materials = [plant.materials[name] for name in sorted(plant.materials)]
    total = float(shares.sum())
    weights = shares / total if total > 0 else np.full(len(materials), 1 / len(materials))
    solid = np.array([m.solid_density_t_m3 for m in materials])
    bulk = np.array([m.bulk_density_t_m3 for m in materials])
    work = np.array([m.work_index_kwh_t for m in materials])
    return Mixture(
        solid_density_t_m3=float(1 / (weights / solid).sum()),
        bulk_density_t_m3=float(1 / (weights / bulk).sum()),
        work_index_kwh_t=float((weights * work).sum()),
    )
