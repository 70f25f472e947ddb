"""Shares of particles by shape that can be followed through a plant: what each is called where."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hoggin.schema.facts import usual
from hoggin.schema.plant import Feed, Machine, Plant

USUAL_ELONGATION = usual("plant", "elongation_ratio")
"""Length over thickness from which a piece counts as flat and elongated, where a class or plant
states none. ASTM D4791 leaves 2, 3 or 5 to the specification (from memory)."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One share of particles by shape.

    name: the fact of a feed, the field of a result, the word of a requirement and the role of the
        model that says what a crusher makes.
    words, piece: in a sentence; what one of the particles is called.
    standard: what it is tested by. sample: the model's lines in a class.
    """

    name: Literal["flakiness", "flat_elongated"]
    words: str
    piece: str
    standard: str
    sample: str

    def stated_by(self, feed: Feed) -> tuple[tuple[float, float], ...] | None:
        """What a feed states of it, by size."""
        return feed.flakiness if self.name == "flakiness" else feed.flat_elongated

    def known_of(self, machine: Machine, elongation_ratio: float) -> bool:
        """Whether a crusher's class says what it makes, of pieces of the ratio that is counted."""
        if self.name not in machine.models:
            return False
        own = machine.facts.get("elongation_ratio", USUAL_ELONGATION)
        return self.name == "flakiness" or own == elongation_ratio


FLAKINESS = Measure("flakiness", "flakiness", "flaky", "EN 933-3", "model flakiness: near_setting")
FLAT_ELONGATED = Measure(
    "flat_elongated",
    "flat and elongated share",
    "flat and elongated",
    "ASTM D4791",
    "model flat_elongated: near_setting",
)
MEASURES: dict[str, Measure] = {measure.name: measure for measure in (FLAKINESS, FLAT_ELONGATED)}


def elongation_of(plant: Plant) -> float:
    """Length over thickness from which a piece counts as flat and elongated in this plant."""
    return USUAL_ELONGATION if plant.elongation_ratio is None else plant.elongation_ratio
