"""Matches the things of two plants: by name, otherwise by what they are and where.

Two things with different names are one renamed thing if each is the best match of the other among
the unmatched things, by their facts and their neighbours.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass

from hoggin.schema.plant import Listed, Machine, Plant

_LEAST_LIKENESS = 0.6  # of 1; less is one thing taken away and another put in
_LEAST_CONTENT = 0.5
_CONTENT, _NEIGHBOURS, _NAME = 0.45, 0.45, 0.1

Facts = Set[tuple[str, str]]
Surroundings = Mapping[str, Facts]


@dataclass(frozen=True, slots=True)
class Matching:
    """Tags (and names of materials) of BEFORE to those of AFTER."""

    nodes: Mapping[str, str]  # feeds, machines and products
    materials: Mapping[str, str]

    @property
    def renamed(self) -> dict[str, str]:
        return {old: new for old, new in self.nodes.items() if old != new}


@dataclass(frozen=True, slots=True)
class _Node:
    tag: str
    kind: str
    facts: Facts


def match(before: Plant, after: Plant) -> Matching:
    """Match the things of two plants."""
    old, new = _nodes(before), _nodes(after)
    found = {tag: tag for tag, node in old.items() if tag in new and new[tag].kind == node.kind}
    while True:
        rest_old = [node for tag, node in old.items() if tag not in found]
        taken = set(found.values())
        rest_new = [node for tag, node in new.items() if tag not in taken]
        around = _around(before, found), _around(after, {tag: tag for tag in taken})
        pairs = _mutual(rest_old, rest_new, around)
        if not pairs:
            return Matching(found, _match_materials(before, after))
        found.update(pairs)


def _nodes(plant: Plant) -> dict[str, _Node]:
    nodes = [
        _Node(f.tag, "feed", {("rate", f"{f.rate_t_h:.6g}")} | _listed(f)) for f in plant.feeds
    ]
    nodes += [_Node(m.tag, m.kind, _machine_facts(m) | _listed(m)) for m in plant.machines]
    nodes += [_Node(p.tag, "product", _listed(p)) for p in plant.products]
    return {node.tag: node for node in nodes}


def title_of(thing: Listed) -> str:
    """A title of its own; that of a product is otherwise its name."""
    return thing.title if thing.title != thing.tag else ""


def _listed(thing: Listed) -> Facts:
    """What is most of its own: its title and its tag."""
    found = {("title", title_of(thing)), ("tag", thing.item_tag)}
    return {(name, text) for name, text in found if text}


def _machine_facts(machine: Machine) -> Facts:
    """What a machine states. Its class counts three times: another class means another machine."""
    facts = {(setting.name, setting.text) for setting in machine.settings}
    facts |= {(f"deck {d.name}", f"{d.aperture_mm:.6g} {d.shape}") for d in machine.decks}
    facts |= {(f"share {outlet}", f"{share:.6g}") for outlet, share in machine.shares.items()}
    facts |= {(f"asked {outlet}", f"{t_h:.6g}") for outlet, t_h in machine.asked_t_h.items()}
    if machine.class_path:
        facts |= {(f"class {n}", machine.class_path) for n in range(3)}
    else:
        facts |= {(name, f"{value:.6g}") for name, value in machine.facts.items()}
    return facts


def _around(plant: Plant, known: Mapping[str, str]) -> Surroundings:
    """The neighbours of each node, in names of AFTER as far as they are matched."""
    around: defaultdict[str, set[tuple[str, str]]] = defaultdict(set)
    for s in plant.streams:
        around[s.source].add((f"to {s.outlet}", known.get(s.target, "?")))
        around[s.target].add((f"from {s.outlet}", known.get(s.source, "?")))
    return around


def _mutual(
    old: Iterable[_Node], new: Sequence[_Node], around: tuple[Surroundings, Surroundings]
) -> dict[str, str]:
    """Pairs that are each other's best match; of two equal matches, the first declared."""
    likeness = {
        (a.tag, b.tag): _likeness(a, b, around) for a in old for b in new if a.kind == b.kind
    }
    enough = [pair for pair, value in likeness.items() if value >= _LEAST_LIKENESS]
    best_new: dict[str, str] = {}
    best_old: dict[str, str] = {}
    for a, b in sorted(enough, key=lambda pair: -likeness[pair]):
        best_new.setdefault(a, b)
        best_old.setdefault(b, a)
    return {a: b for a, b in enough if best_new[a] == b and best_old[b] == a}


def _likeness(a: _Node, b: _Node, around: tuple[Surroundings, Surroundings]) -> float:
    neighbours = _overlap(around[0].get(a.tag, set()), around[1].get(b.tag, set()))
    name = float(a.tag.rpartition(".")[2] == b.tag.rpartition(".")[2])
    if not (a.facts or b.facts):
        return (_CONTENT + _NEIGHBOURS) * neighbours + _NAME * name
    content = _overlap(a.facts, b.facts)
    if content < _LEAST_CONTENT:
        return 0.0
    return _CONTENT * content + _NEIGHBOURS * neighbours + _NAME * name


def _overlap(a: Facts, b: Facts) -> float:
    """Shared facts over all facts."""
    return len(a & b) / len(a | b) if a | b else 0.0


def _match_materials(before: Plant, after: Plant) -> dict[str, str]:
    found = {name: name for name in before.materials if name in after.materials}
    for name, material in before.materials.items():
        alike = (
            other
            for other, same in after.materials.items()
            if other not in found.values() and same.model_copy(update={"name": name}) == material
        )
        if name not in found and (twin := next(alike, None)) is not None:
            found[name] = twin
    return found
