"""How full crushing chambers are: their feed over what keeps them full.

A class's `min_load` is the share of its capacity from which on the chamber is full. The capacity is
that of dry rock: what moisture takes of it is known only with the water, after the balance. For
rocks of several feeds the times they take to pass add up, as volumes do.
"""

from __future__ import annotations

from functools import partial

import numpy as np

from hoggin.balance.grid import Find
from hoggin.balance.numbers import PLAIN, Numbers
from hoggin.balance.result import Array
from hoggin.models import catalog
from hoggin.models.chamber import filling_under
from hoggin.schema.plant import Machine, Plant

_FULL_AT = 1.0  # of its capacity, a chamber whose class states no min_load


def full_from(
    plant: Plant, machine: Machine, numbers: Numbers = PLAIN, *, find: Find = catalog.find
) -> Array | None:
    """Feed, t/h, from which on a chamber is full, were it of one of the plant's feeds alone:
    (1 or B, F). None where the class has no capacity."""
    use = machine.models.get("capacity")
    if use is None or (model := find("capacity", use.model)) is None:
        return None
    capacity = partial(model.load("capacity"), **use.tables)
    coefficients = numbers.coefficients(machine, "capacity")
    least = numbers.fact(machine, "min_load")
    share = numbers.count(machine) * (_FULL_AT if least is None else least)
    columns = []
    for feed in plant.feeds:
        densities = {
            f"{name}_t_m3": numbers.material(plant, feed.material, f"{name}_t_m3")
            for name in ("solid_density", "bulk_density")
        }
        columns.append(share * capacity(**densities, **coefficients))
    return np.stack(np.broadcast_arrays(*columns), axis=1)


def filling(full_from_t_h: Array, masses: Array) -> Array:
    """How full a chamber is, (B,), 0 to 1, under a feed of (B, F) t/h from each of the plant's
    feeds."""
    return filling_under((masses / full_from_t_h).sum(axis=1))
