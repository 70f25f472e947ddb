"""A plant as elements: its structure, and each thing in it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from hoggin.schema.plant import Feed, Machine, Material, Plant, Requirement

Key = tuple[str, str]  # what kind of element, and its name

STRUCTURE: Key = ("structure", "")
ASKED: Key = ("asked", "")
_DIGITS = 8  # by which two numbers are the same: a change of unit leaves less dust
_APART = {"materials", "feeds", "machines", "streams", "products", "requirements"}
# What is only told of a plant or machine, and where things are: no result depends on it.
_TOLD_OF_A_PLANT = {
    *("title", "project", "revision", "revisions", "place", "classes", "edition", "units"),
    *("sieves_mm", "hours_per_year", "availability", "aims", "open", "checks", "case", "cases"),
}
_TOLD = {
    *("place", "about", "cautions", "sources", "class_name", "class_path"),
    *("title", "item_tag", "sheet", "notes"),
}


@dataclass(frozen=True, slots=True)
class Structure:
    """What there is in a plant, and its routes. `plant` has them; its things are of any hybrid."""

    feeds: tuple[str, ...]
    machines: tuple[str, ...]
    materials: tuple[str, ...]
    plant: Plant


Element = Structure | Feed | Machine | Material | tuple[Requirement, ...]


def elements(plant: Plant) -> dict[Key, Element]:
    """A plant's elements by key."""
    structure = Structure(
        feeds=tuple(feed.tag for feed in plant.feeds),
        machines=tuple(machine.tag for machine in plant.machines),
        materials=tuple(plant.materials),
        plant=plant,
    )
    return {
        STRUCTURE: structure,
        ASKED: plant.requirements,
        **{("material", name): material for name, material in plant.materials.items()},
        **{("feed", feed.tag): feed for feed in plant.feeds},
        **{("machine", machine.tag): machine for machine in plant.machines},
    }


def put_together(parts: Mapping[Key, Element | None]) -> Plant:
    """The plant of some elements. Raises KeyError where one of the structure's is missing."""
    structure = parts[STRUCTURE]
    assert isinstance(structure, Structure)
    return structure.plant.model_copy(
        update={
            "materials": {name: _part(parts, ("material", name)) for name in structure.materials},
            "feeds": tuple(_part(parts, ("feed", tag)) for tag in structure.feeds),
            "machines": tuple(_part(parts, ("machine", tag)) for tag in structure.machines),
            "requirements": parts[ASKED],
        }
    )


def _part(parts: Mapping[Key, Element | None], key: Key) -> Element:
    found = parts[key]
    if found is None:
        raise KeyError(key)
    return found


def signature(element: Element) -> str:
    """Words that are equal where all results are; the order of things and places don't count.

    Nor do the sieves results are reported on: all hybrids are balanced on one grid of sizes.
    """
    match element:
        case Structure(plant=plant):
            streams = sorted((s.source, s.outlet, s.target) for s in plant.streams)
            products = sorted(product.tag for product in plant.products)
            things = [sorted(element.feeds), sorted(element.machines), sorted(element.materials)]
            rest = plant.model_dump(exclude=_APART | _TOLD_OF_A_PLANT)
            said: Any = [things, streams, products, rest]
        case Machine():
            said = element.model_dump(exclude=_TOLD | {"settings"})
            said["settings"] = [
                (s.name, s.text if s.value is None else s.value) for s in element.settings
            ]
            said["outlets"] = sorted(element.outlets)
            for deck in said["decks"]:
                del deck["place"]
        case tuple():
            said = [one.model_dump(exclude={"place"}) for one in element]
        case _:
            said = element.model_dump(exclude=_TOLD)
    return json.dumps(_without_dust(said), sort_keys=True)


def signatures(plant: Plant) -> dict[Key, str]:
    return {key: signature(element) for key, element in elements(plant).items()}


def differing(one: Plant, other: Plant) -> set[Key]:
    """The elements in which two plants differ, in what results depend on."""
    a, b = signatures(one), signatures(other)
    return {key for key in (*a, *b) if a.get(key) != b.get(key)}


def _without_dust(value: Any) -> Any:
    if isinstance(value, float):
        return float(f"{value:.{_DIGITS}g}")
    if isinstance(value, Mapping):
        return {key: _without_dust(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_without_dust(item) for item in value]
    return value
