"""What differs between the cases of one plant: numbers by their place in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from hoggin.balance.result import Array
from hoggin.schema.plant import BREAKING_FACTS, Feed, Machine, Plant
from hoggin.schema.tracing import Path


def breaking_path(rock: str, name: str) -> Path:
    """The place of a number of `Material.breaking`."""
    return ("materials", rock, *(() if name in BREAKING_FACTS else ("breakage",)), name)


@dataclass(frozen=True, slots=True)
class Numbers:
    """Numbers of a plant in B cases.

    varied: (B,) by place, for what is not the same in all cases. Feeds, machines, decks and
        settings go by tag or name: ("machines", "tertiary", "facts", "liner_mass_t").
    """

    varied: Mapping[Path, Array] = field(default_factory=dict)

    def of(self, path: Path, plain: float) -> Array:
        """A number in all cases: (B,), or (1,) where all share the one that the plant states."""
        found = self.varied.get(path)
        return np.array([plain]) if found is None else found

    def fact(self, machine: Machine, name: str) -> Array | None:
        """A machine's number, (B,) or (1,); None where its class states none."""
        plain = machine.facts.get(name)
        if plain is None:
            return None
        return self.of(("machines", machine.tag, "facts", name), plain)

    def count(self, machine: Machine) -> Array:
        """How many equal machines there are in parallel, (B,) or (1,)."""
        return self.of(("machines", machine.tag, "count"), machine.count)

    def coefficients(self, machine: Machine, role: str) -> dict[str, Array]:
        """The coefficients of a machine's model in a role; empty where it has none."""
        use = machine.models.get(role)
        base = ("machines", machine.tag, "models", role, "coefficients")
        plain = use.coefficients if use else {}
        return {name: self.of((*base, name), value) for name, value in plain.items()}

    def setting(self, machine: Machine, name: str) -> Array | None:
        """A setting that is a number, in the unit it is shown in."""
        for one in machine.settings:
            if one.name == name and one.value is not None:
                return self.of(("machines", machine.tag, "settings", name), one.value)
        return None

    def material(self, plant: Plant, name: str, quantity: str) -> Array | None:
        """A number of a material; None where it states none."""
        plain = getattr(plant.materials[name], quantity)
        return None if plain is None else self.of(("materials", name, quantity), plain)

    def of_load(self, plant: Plant, feed: Feed, quantity: str) -> Array:
        """What a feed brings with its rock, `moisture` or `clay`: as it states, or as its rock
        does."""
        own = getattr(feed, quantity)
        if own is not None:
            return self.of(("feeds", feed.tag, quantity), own)
        rock = getattr(plant.materials[feed.material], quantity)
        return self.of(("materials", feed.material, quantity), rock)


PLAIN = Numbers()
"""All cases are the plant as it is."""


def numbers_of(plants: Sequence[Plant]) -> Numbers:
    """What differs between plants that are alike but for numbers.

    Raises ValueError where they differ in more.
    """
    dumps = [dict(_leaves(plant.model_dump(), ())) for plant in plants]
    first = dumps[0]
    if any(dump.keys() != first.keys() for dump in dumps):
        raise ValueError("the plants differ in more than numbers")
    varied = {}
    for path, value in first.items():
        values = [dump[path] for dump in dumps]
        if isinstance(value, float) and any(other != value for other in values):
            varied[path] = np.array(values, dtype=np.float64)
    return Numbers(varied)


def skeleton(plant: Plant) -> tuple[tuple[Path, object], ...]:
    """All of a plant but its numbers and what only words them: the same for plants that can be
    cases of one batch. A model's table is not a number: all cases share it."""
    return tuple(
        (path, None if isinstance(value, float) and "table" not in path[4:5] else value)
        for path, value in _leaves(plant.model_dump(), ())
    )


_WORDS = (
    *("place", "title", "item_tag", "sheet", "notes", "project", "revision", "revisions"),
    *("text", "about", "sources", "classes"),
)
_NOT_BALANCED = ("requirements", "aims", "open", "units", "case", "cases")


def _leaves(value: Any, path: Path) -> list[tuple[Path, Any]]:
    """All that is stated under a path but words, the items of lists by tag or name."""
    if isinstance(value, Mapping):
        if "unit" in value and value.get("value") is not None:  # a setting that is a number
            return [(path, value["value"]), ((*path, "unit"), value["unit"])]
        left_out = _WORDS if path else (*_WORDS, *_NOT_BALANCED)
        words = value.get("text") if "value" in value else None  # a setting that is a choice
        found = [] if words is None else [((*path, "text"), words)]
        for key, item in value.items():
            if key not in left_out:
                found += _leaves(item, (*path, key))
        return found
    if isinstance(value, tuple | list):
        return [
            leaf
            for at, item in enumerate(value)
            for leaf in _leaves(item, (*path, _step(item, at)))
        ]
    return [(path, value)]


def _step(item: Any, place: int) -> str | int:
    """What leads to an item of a list: its tag or name, else its place."""
    if isinstance(item, Mapping):
        return str(item.get("tag", item.get("name", place)))
    return place
