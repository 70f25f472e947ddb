"""One of some equal machines in parallel: limits hold for each of them, and are checked there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from hoggin.schema.declared import results_of
from hoggin.schema.results import (
    Check,
    ClassifierResult,
    DeckResult,
    MachineResult,
    RinseResult,
    SlurryResult,
    ThickenerResult,
)

_Part = TypeVar(
    "_Part",
    MachineResult,
    DeckResult,
    SlurryResult,
    ThickenerResult,
    ClassifierResult,
    RinseResult,
)

_ADDING = ("t/h", "m3/h", "kW", "m2")  # units of what machines in parallel add up to
# Limits on what they share: more machines help. A coarse feed stays coarse for each of them.
SHARED = (
    *("load", "installed power", "deck area", "bed depth"),
    *("pump flow", "residence time", "surface"),
    *("pool", "cyclone flow", "water"),
)


def machine(one: MachineResult) -> MachineResult:
    """The numbers of one of them."""
    parts = {
        name: _divided(part, one.count)
        for name in ("slurry", "thickener", "classifier", "rinse")
        if (part := getattr(one, name)) is not None
    }
    return _divided(one, one.count).model_copy(update=parts)


def deck(one: DeckResult, count: int) -> DeckResult:
    """The numbers of the deck of one of so many screens."""
    return _divided(one, count)


def said(checks: tuple[Check, ...], count: int) -> tuple[Check, ...]:
    """Checks of what they share, in words that say so."""
    return tuple(
        one.model_copy(update={"text": f"each of {count}: {one.text}"})
        if count > 1 and one.name in SHARED
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
        "the distributor upstream is assumed to be even. Rates, capacity, power, deck areas and "
        "costs are for all of them; loads, motors, liners and depths of bed are for each.",
    )


def _divided(one: _Part, count: int) -> _Part:
    added = (result.field for result in results_of(type(one)) if result.unit in _ADDING)
    numbers = {name: getattr(one, name) for name in added}
    shared = {name: value / count for name, value in numbers.items() if value is not None}
    return one.model_copy(update=shared)
