"""One of some equal machines in parallel: limits hold for each of them, and are checked there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from hoggin.schema.results import Check, DeckResult, MachineResult

_Part = TypeVar("_Part", MachineResult, DeckResult)

# What the document states of all of them together, and a limit is held against.
_OF_MACHINES = ("feed_t_h", "capacity_t_h", "power_kw", "installed_power_kw")
_SHARED = ("load", "installed power", "deck area", "bed depth")
_OF_DECKS = ("area_m2", "area_needed_m2")


def machine(one: MachineResult) -> MachineResult:
    """The numbers of one of them."""
    return _divided(one, _OF_MACHINES, one.count)


def deck(one: DeckResult, count: int) -> DeckResult:
    """The numbers of the deck of one of so many screens."""
    return _divided(one, _OF_DECKS, count)


def said(checks: tuple[Check, ...], count: int) -> tuple[Check, ...]:
    """Checks of what they share, in words that say so."""
    return tuple(
        one.model_copy(update={"text": f"each of {count}: {one.text}"})
        if count > 1 and one.name in _SHARED
        else one
        for one in checks
    )


def assumptions(machines: Iterable[MachineResult]) -> tuple[str, ...]:
    """What is assumed of equal machines in parallel, where there are any."""
    several = [machine.tag for machine in machines if machine.count > 1]
    if not several:
        return ()
    tags = ", ".join(several)
    return (
        f"Equal machines in parallel ({tags}) share their feed equally, size by size: "
        "the distributor before them is fair. Rates, capacity, power, deck areas and costs are of "
        "all of them; loads, motors, liners and depths of bed are of each.",
    )


def _divided(one: _Part, fields: tuple[str, ...], count: int) -> _Part:
    numbers = {name: getattr(one, name) for name in fields}
    shared = {name: value / count for name, value in numbers.items() if value is not None}
    return one.model_copy(update=shared)
