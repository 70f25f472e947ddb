"""Divides a plant into sections at its bins and stockpiles with live tonnes.

Everything that is connected without such a store runs together or not at all. A store that one
section both feeds and draws from, or that is in a loop of sections, does not separate sections and
is part of its section.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.graph import strongly_connected
from hoggin.schema.plant import Plant

Node = str | int  # a tag, or a stream by its place in the plant


@dataclass(frozen=True, slots=True)
class Cut:
    """stores: tags of those that separate sections, as declared. sections: for each, its tags
    (feeds, machines, products) as declared; section_of: by tag, and by a stream's place. inside:
    stores with live tonnes that do not separate sections."""

    stores: tuple[str, ...]
    sections: tuple[tuple[str, ...], ...]
    section_of: Mapping[Node, int]
    inside: tuple[str, ...]


def cut(plant: Plant, live_t: Mapping[str, float]) -> Cut:
    """Divide a plant at its stores; live_t: the live tonnes of each, by tag."""
    able = [m.tag for m in plant.machines if live_t.get(m.tag, 0.0) > 0]
    stores = set(able)
    while True:
        section_of = _joined(plant, stores)
        inside = _in_loops(plant, stores, section_of)
        if not inside:
            break
        stores -= inside
    numbers: dict[int, int] = {}
    tags = [tag for tag in _tags(plant) if tag not in stores]
    for node in (*tags, *range(len(plant.streams))):
        numbers.setdefault(section_of[node], len(numbers))
    numbered = {node: numbers[root] for node, root in section_of.items()}
    return Cut(
        stores=tuple(tag for tag in able if tag in stores),
        sections=tuple(
            tuple(tag for tag in tags if numbered[tag] == number) for number in range(len(numbers))
        ),
        section_of=numbered,
        inside=tuple(tag for tag in able if tag not in stores),
    )


def _tags(plant: Plant) -> list[str]:
    feeds, machines = [f.tag for f in plant.feeds], [m.tag for m in plant.machines]
    return [*feeds, *machines, *(product.tag for product in plant.products)]


def _joined(plant: Plant, stores: set[str]) -> dict[Node, int]:
    """Numbers of the parts that are connected without the stores, by tag and stream."""
    neighbours: dict[Node, list[Node]] = {tag: [] for tag in _tags(plant) if tag not in stores}
    for place, stream in enumerate(plant.streams):
        ends: list[Node] = [t for t in (stream.source, stream.target) if t not in stores]
        neighbours[place] = ends
        for end in ends:
            neighbours[end].append(place)
    parts = strongly_connected(neighbours)  # they lead both ways, so all that is connected
    return {node: number for number, part in enumerate(parts) for node in part}


def _in_loops(plant: Plant, stores: set[str], section_of: Mapping[Node, int]) -> set[str]:
    """Stores in a loop that leads back to them through the sections."""
    nodes: set[Node] = {*stores, *section_of.values()}
    onward: dict[Node, list[Node]] = {node: [] for node in nodes}
    for place, stream in enumerate(plant.streams):
        section = section_of[place]
        if stream.target in stores:
            onward[section].append(stream.target)
        if stream.source in stores:
            onward[stream.source].append(section)
    loops = (part for part in strongly_connected(onward) if len(part) > 1)
    return stores & {node for part in loops for node in part}
