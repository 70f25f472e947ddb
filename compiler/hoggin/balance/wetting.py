"""What wets a plant, as numbers: the moisture of its feeds, sprays and other water that is added,
and the moisture that drained rock keeps.

A screen's water is parted deck by deck, that of a classifier or thickener as on a single deck.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.numbers import PLAIN, Numbers
from hoggin.balance.result import Array
from hoggin.schema.plant import Deck, Machine, Plant


@dataclass(frozen=True, slots=True)
class Wetting:
    """The water of one machine.

    added_t_h: (1 or B, D) onto each of its decks from the top; one column where it has none.
    held: (1 or B,) moisture of which its coarse outlets keep no more; infinite where they drain
        nothing. always: (1 or B,) above 0 where its class is fed with slurry.
    """

    added_t_h: Array
    held: Array
    always: Array

    @property
    def sprayed(self) -> NDArray[np.bool_]:
        """The decks that spray reaches, their own or that of one above, (1 or B, D)."""
        found: NDArray[np.bool_] = np.cumsum(self.added_t_h, axis=1) > 0.0
        return found

    @property
    def washed(self) -> NDArray[np.bool_]:
        """The decks that are screened wet, (1 or B, D). A setting alone brings no water."""
        return self.sprayed | (self.always[:, None] > 0.0)

    def most_kept_t_h(self, coarse_t_h: Array) -> Array:
        """Water that a coarse outlet can keep with its solids (B,)."""
        return np.where(coarse_t_h > 0.0, self.held, 0.0) * coarse_t_h

    def read_moisture(self, moisture: Array, place: int) -> Array:
        """Of a deck's feed (B,), as a model reads it: nothing where the deck is washed."""
        return np.where(self.washed[:, place], 0.0, moisture)


def wetting(machine: Machine, numbers: Numbers = PLAIN) -> Wetting:
    """The water of a machine, in the cases of its numbers."""
    held = numbers.fact(machine, "retained_moisture")
    added = [spray_t_h(machine, deck, numbers) for deck in machine.decks]
    columns = _columns(added or [added_t_h(machine, numbers)])
    wet = numbers.fact(machine, "wet")
    by_setting = "wet" in numbers.coefficients(machine, "partition")
    return Wetting(
        added_t_h=columns,
        held=np.full(1, np.inf) if held is None else held,
        always=np.zeros(1) if wet is None or by_setting else wet,
    )


def added_t_h(machine: Machine, numbers: Numbers = PLAIN) -> Array:
    """Spray and dilution water of a machine, (B,) or (1,); a cubic metre weighs a tonne."""
    added = numbers.fact(machine, "added_water_m3_h")
    sprays = [spray_t_h(machine, deck, numbers) for deck in machine.decks]
    diluting = np.zeros(1) if added is None else added * numbers.count(machine)
    return sum(sprays, start=diluting)


def brought(plant: Plant, quantity: str, numbers: Numbers = PLAIN) -> Array:
    """(1 or B, F) what each feed brings with its rock: its `moisture` or `clay`, over solids."""
    return _columns([numbers.of_load(plant, feed, quantity) for feed in plant.feeds])


def spray_t_h(machine: Machine, deck: Deck, numbers: Numbers = PLAIN) -> Array:
    """Spray water of one deck, (B,) or (1,), of all equal machines."""
    path = ("machines", machine.tag, "decks", deck.name, "spray_m3_h")
    return numbers.of(path, deck.spray_m3_h) * numbers.count(machine)


def _columns(values: list[Array]) -> Array:
    return np.stack(np.broadcast_arrays(*values), axis=1)
