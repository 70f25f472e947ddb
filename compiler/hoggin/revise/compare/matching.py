"""Which thing of one plant is which of the other: by name, else by what it is and where it stands.

Two things of unlike names are the same one renamed where both say so: each is the other's best
likeness among what is left over, in what it states and in its neighbours.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from hoggin.schema.plant import Machine, Plant

_LEAST_LIKENESS = 0.6  # of 1; less is one thing taken away and another put in
_LEAST_CONTENT = 0.5
_CONTENT, _NEIGHBOURS, _NAME = 0.45, 0.45, 0.1

Facts = frozenset[tuple[str, str]]


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
        pairs = _mutual(rest_old, rest_new, _Neighbours(before, after, found))
        if not pairs:
            return Matching(found, _match_materials(before, after))
        found.update(pairs)


def _nodes(plant: Plant) -> dict[str, _Node]:
    feeds = {
        feed.tag: _Node(feed.tag, "feed", frozenset([("rate", f"{feed.rate_t_h:.6g}")]))
        for feed in plant.feeds
    }
    machines = {m.tag: _Node(m.tag, m.kind, _machine_facts(m)) for m in plant.machines}
    products = {p.tag: _Node(p.tag, "product", _title(p.title, p.tag)) for p in plant.products}
    return {**feeds, **machines, **products}


def _title(title: str, tag: str) -> Facts:
    return frozenset() if title == tag else frozenset([("title", title)])


def _machine_facts(machine: Machine) -> Facts:
    """What a machine states. Its class counts thrice: a machine of another class is another."""
    facts = {(setting.name, setting.text) for setting in machine.settings}
    facts |= {(f"deck {d.name}", f"{d.aperture_mm:.6g} {d.shape}") for d in machine.decks}
    facts |= {(f"share {outlet}", f"{share:.6g}") for outlet, share in machine.shares.items()}
    if machine.class_path:
        facts |= {(f"class {n}", machine.class_path) for n in range(3)}
    else:
        facts |= {(name, f"{value:.6g}") for name, value in machine.facts.items()}
    return frozenset(facts)


class _Neighbours:
    """The surroundings of a node, in names of AFTER as far as they are matched."""

    def __init__(self, before: Plant, after: Plant, found: Mapping[str, str]) -> None:
        self.old = self._around(before, found)
        self.new = self._around(after, {tag: tag for tag in found.values()})

    @staticmethod
    def _around(plant: Plant, known: Mapping[str, str]) -> dict[str, Facts]:
        around: dict[str, set[tuple[str, str]]] = {}
        for s in plant.streams:
            around.setdefault(s.source, set()).add((f"to {s.outlet}", known.get(s.target, "?")))
            around.setdefault(s.target, set()).add((f"from {s.outlet}", known.get(s.source, "?")))
        return {tag: frozenset(found) for tag, found in around.items()}


def _mutual(old: Sequence[_Node], new: Sequence[_Node], neighbours: _Neighbours) -> dict[str, str]:
    """Pairs of which each is the other's best, the first declared where two are as good."""
    likeness = {
        (a.tag, b.tag): _likeness(a, b, neighbours) for a in old for b in new if a.kind == b.kind
    }
    enough = {pair: value for pair, value in likeness.items() if value >= _LEAST_LIKENESS}
    best_new = _best(enough, [a.tag for a in old], [b.tag for b in new])
    turned = {(b, a): value for (a, b), value in enough.items()}
    best_old = _best(turned, [b.tag for b in new], [a.tag for a in old])
    return {a: b for a, b in best_new.items() if best_old.get(b) == a}


def _best(
    likeness: Mapping[tuple[str, str], float], ones: Iterable[str], others: Sequence[str]
) -> dict[str, str]:
    best = {}
    for one in ones:
        candidates = [other for other in others if (one, other) in likeness]
        if candidates:  # max takes the first of equals
            best[one] = max(candidates, key=lambda other: likeness[one, other])
    return best


def _likeness(a: _Node, b: _Node, neighbours: _Neighbours) -> float:
    around = _overlap(
        neighbours.old.get(a.tag, frozenset()), neighbours.new.get(b.tag, frozenset())
    )
    name = float(a.tag.rpartition(".")[2] == b.tag.rpartition(".")[2])
    if not (a.facts or b.facts):
        return (_CONTENT + _NEIGHBOURS) * around + _NAME * name
    content = _overlap(a.facts, b.facts)
    if content < _LEAST_CONTENT:
        return 0.0
    return _CONTENT * content + _NEIGHBOURS * around + _NAME * name


def _overlap(a: Facts, b: Facts) -> float:
    """Shared facts over all facts."""
    return len(a & b) / len(a | b) if a | b else 0.0


def _match_materials(before: Plant, after: Plant) -> dict[str, str]:
    found = {name: name for name in before.materials if name in after.materials}
    for name, material in before.materials.items():
        if name in found:
            continue
        twins = (
            other
            for other, same in after.materials.items()
            if other not in found.values()
            and same.model_copy(update={"name": ""}) == material.model_copy(update={"name": ""})
        )
        twin = next(twins, None)
        if twin is not None:
            found[name] = twin
    return found
