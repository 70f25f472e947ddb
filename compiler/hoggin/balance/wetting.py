"""What wets a plant, as numbers: the moisture of its feeds, sprays and other water that is added,
and the moisture that drained rock keeps.

A screen's water is parted deck by deck, that of a classifier or thickener as on a single deck. So
what leaves by an outlet is linear in what arrives, in two pieces: less than it can hold, or all
that it can.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.numbers import PLAIN, Numbers
from hoggin.balance.result import Array
from hoggin.models.arrays import over
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Deck, Machine, Plant

_BY_SETTING = ("partition", "area")  # models whose `wet` follows what the screen is set to


@dataclass(frozen=True, slots=True)
class Line:
    """Water (B,) as a linear function of what arrives at a machine, near what does."""

    slope: Array
    constant: Array

    def at(self, wet: Array) -> Array:
        return self.slope * wet + self.constant


ALL_OF_IT = Line(np.ones(1), np.zeros(1))


@dataclass(frozen=True, slots=True)
class Wetting:
    """The water of one machine.

    added_t_h: (1 or B, D) onto each of its decks from the top; one column where it has none.
    held: (1 or B, D) moisture of which the oversize of each deck keeps no more; infinite where
        it drains nothing. always: (1 or B,) above 0 where its class is for rock in water alone.
    flooded: whether it is set to work wet, and is fed with slurry.
    """

    added_t_h: Array
    held: Array
    always: Array
    flooded: bool = False

    @property
    def reached(self) -> NDArray[np.bool_]:
        """The decks that free water reaches: the spray of their own bars or of a deck above, or
        the water of a slurry that is fed to the screen; (1 or B, D)."""
        found: NDArray[np.bool_] = np.cumsum(self.added_t_h, axis=1) > 0.0
        return found | self.flooded

    @property
    def washed(self) -> NDArray[np.bool_]:
        """The decks that are screened wet, (1 or B, D). A setting alone brings no water."""
        return self.reached | (self.always[:, None] > 0.0)

    def onto(self, place: int, water: Line) -> Line:
        """The water on a deck, of what comes down to it."""
        return Line(water.slope, water.constant + self.added_t_h[:, place])

    def part(
        self, place: int, water: Line, wet_t_h: Array, onto_t_h: Array, coarse_t_h: Array
    ) -> tuple[Line, Line]:
        """Of the water on a deck, what its oversize keeps and what goes on, by what arrives at the
        machine (B,) and the solids of the deck's feed and oversize. It goes with the solids pro
        rata, but no more of it stays on the oversize than that holds."""
        share = over(coarse_t_h, onto_t_h, empty=0.0)
        most = np.where(coarse_t_h > 0.0, self.held[:, place], 0.0) * coarse_t_h
        full = share * water.at(wet_t_h) > most
        kept = Line(
            np.where(full, 0.0, share * water.slope),
            np.where(full, most, share * water.constant),
        )
        return kept, Line(water.slope - kept.slope, water.constant - kept.constant)

    def read_moisture(self, moisture: Array, place: int) -> Array:
        """Of a deck's feed (B,), as a model reads it: nothing where the deck is washed."""
        return np.where(self.washed[:, place], 0.0, moisture)


def wetting(plant: Plant, machine: Machine, numbers: Numbers = PLAIN) -> Wetting:
    """The water of a machine, in the cases of its numbers."""
    held = numbers.fact(machine, "retained_moisture")
    added = [spray_t_h(machine, deck, numbers) for deck in machine.decks]
    columns = _columns(added or [added_t_h(machine, numbers)])
    wet = numbers.fact(machine, "wet")
    by_setting = any("wet" in numbers.coefficients(machine, role) for role in _BY_SETTING)
    found = Wetting(
        added_t_h=columns,
        held=np.full((1, 1), np.inf) if held is None else held[:, None],
        always=np.zeros(1) if wet is None or by_setting else wet,
        flooded=by_setting and bool(np.any(wet)) and _is_fed_slurry(plant, machine),
    )
    drains = found.reached if by_setting else np.ones_like(found.reached)
    return replace(found, held=np.where(drains, found.held, np.inf))


def _is_fed_slurry(plant: Plant, machine: Machine) -> bool:
    """Whether what feeds it hands on all of its water: what drains its first outlet does not."""
    kinds = {one.tag: KINDS[one.kind] for one in plant.machines}
    return any(
        stream.source in kinds
        and kinds[stream.source].slurry
        and not (kinds[stream.source].drains and stream.outlet == kinds[stream.source].outlets[0])
        for stream in plant.streams
        if stream.target == machine.tag
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
