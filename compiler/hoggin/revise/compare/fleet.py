"""Two folders of plants: each plant with its counterpart, one line each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from hoggin.revise.compare.comparison import Comparison
from hoggin.schema.frozen import Frozen
from hoggin.schema.plant import Plant

Status = Literal["same", "differs", "renamed", "added", "removed", "broken"]
_LEAST_SHARED = 0.5  # of machines, feeds and products, for two plants to be one under two names


class FleetEntry(Frozen):
    """One plant. `was` is its path in BEFORE where it is another; `fault` says why a broken one
    can't be compared."""

    path: str
    was: str
    status: Status
    comparison: Comparison | None = None
    fault: str = ""


class Fleet(Frozen):
    """Two folders, plant by plant in the order of their paths."""

    format_version: int = 1
    before: str
    after: str
    plants: tuple[FleetEntry, ...]

    @property
    def same(self) -> bool:
        return all(entry.status == "same" for entry in self.plants)


@dataclass(frozen=True, slots=True)
class Pairing:
    """Paths of plants in both folders: the same, moved (before to after), gone and come."""

    kept: tuple[str, ...]
    moved: Mapping[str, str]
    gone: tuple[str, ...]
    come: tuple[str, ...]


def pair_plants(before: Mapping[str, Plant | None], after: Mapping[str, Plant | None]) -> Pairing:
    """Matches the plants of two folders: by path, otherwise by title and content. None stands for a
    plant that can't be read."""
    kept = tuple(path for path in after if path in before)
    gone = [path for path in before if path not in after]
    come = [path for path in after if path not in before]
    moved: dict[str, str] = {}
    likely = sorted(
        ((_alike(before[old], after[new]), old, new) for old in gone for new in come),
        key=lambda found: (-found[0], found[1], found[2]),
    )
    for likeness, old, new in likely:
        if likeness >= _LEAST_SHARED and old not in moved and new not in moved.values():
            moved[old] = new
    return Pairing(
        kept=kept,
        moved=moved,
        gone=tuple(path for path in gone if path not in moved),
        come=tuple(path for path in come if path not in moved.values()),
    )


def _alike(old: Plant | None, new: Plant | None) -> float:
    """Share of what is in both plants of what is in either; a title of its own counts as one."""
    if old is None or new is None:
        return 0.0
    first, second = (_content(plant) for plant in (old, new))
    return len(first & second) / len(first | second)


def _content(plant: Plant) -> frozenset[tuple[str, str]]:
    return frozenset(
        [
            ("title", plant.title),
            *((machine.kind, machine.tag) for machine in plant.machines),
            *(("feed", feed.tag) for feed in plant.feeds),
            *(("product", product.tag) for product in plant.products),
        ]
    )


def compared_entry(path: str, was: str, comparison: Comparison) -> FleetEntry:
    """The entry of a plant that is in both folders."""
    status: Status = "renamed" if path != was else "same" if comparison.same else "differs"
    return FleetEntry(path=path, was=was, status=status, comparison=comparison)


def worse(comparison: Comparison) -> Sequence[str]:
    """What a plant no longer meets: requirements and limits, in words."""
    asked = [
        change.text
        for change in comparison.requirements
        if change.after is not None and not change.after.met
        if change.before is None or change.before.met
    ]
    return [*asked, *(f"{turn.subject} {turn.what}" for turn in comparison.turns if turn.worse)]
