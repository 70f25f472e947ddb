"""The plant's water: what comes with the feeds and from sprays, and which stream it leaves with.

The solids are known by then. Water goes with them pro rata, except that a coarse outlet that
drains (a sprayed deck, a dewatering screen, a classifier) keeps no more than the moisture its
class says stays on that product; the rest goes on with what passes. Inside a loop the flows are
repeated until they stand still.

Source: conservation of mass; the retained moistures are the classes' own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hoggin.balance.result import Array, Balance
from hoggin.balance.topology import PRODUCT, Flowsheet, Part, read_flowsheet
from hoggin.schema.plant import Machine, Plant

_TOLERANCE = 1e-12  # of the water entering the plant
_MOST_ROUNDS = 20_000  # a recirculating load of a thousand settles within this


@dataclass(frozen=True, slots=True)
class Water:
    """Water by stream (B, S), t/h, in the order of `Plant.streams`, and where it comes from, (B,).

    Of `with_feeds` + `added`, all leaves with the products.
    """

    streams_t_h: Array
    with_feeds_t_h: Array
    added_t_h: Array


def water(plant: Plant, balance: Balance) -> Water:
    """The water of a balanced plant."""
    sheet = read_flowsheet(plant)
    solids = balance.streams_t_h.sum(axis=2)
    flows = np.zeros_like(solids)
    moistures = [plant.materials[feed.material].moisture for feed in plant.feeds]
    with_feeds = np.zeros(len(solids))
    for index, link in enumerate(sheet.links):
        if link.source < 0:
            flows[:, index] = solids[:, index] * moistures[-1 - link.source]
            with_feeds += flows[:, index]
    added = sum((added_t_h(machine) for machine in plant.machines), start=0.0)
    entering = float(with_feeds.max(initial=0.0)) + added
    into, out_of = _ends(sheet, len(plant.machines))
    for part in sheet.parts:
        _settle(plant, balance, part, solids, flows, (into, out_of), entering)
    return Water(flows, with_feeds, np.full(len(solids), added))


def added_t_h(machine: Machine) -> float:
    """Spray and dilution water of a machine; a cubic metre of water weighs a tonne."""
    return sum(deck.spray_m3_h for deck in machine.decks) + machine.facts.get("added_water_m3_h", 0)


def _ends(sheet: Flowsheet, machines: int) -> tuple[list[list[int]], list[list[int]]]:
    """Streams into each machine, and out of it by outlet."""
    into: list[list[int]] = [[] for _ in range(machines)]
    out_of: list[list[tuple[int, int]]] = [[] for _ in range(machines)]
    for index, link in enumerate(sheet.links):
        if link.target != PRODUCT:
            into[link.target].append(index)
        if link.source >= 0:
            out_of[link.source].append((link.outlet, index))
    return into, [[index for _, index in sorted(streams)] for streams in out_of]


def _settle(
    plant: Plant,
    balance: Balance,
    part: Part,
    solids: Array,
    flows: Array,
    ends: tuple[Sequence[Sequence[int]], Sequence[Sequence[int]]],
    entering: float,
) -> None:
    """Water of one part's streams, in place; a loop round after round from nothing upwards."""
    into, out_of = ends
    for _ in range(_MOST_ROUNDS if part.is_loop else 1):
        change = 0.0
        for number in part.machines:
            machine = plant.machines[number]
            wet = flows[:, into[number]].sum(axis=1)
            for stream, left in zip(
                out_of[number],
                _outlets(machine, balance, wet, solids[:, out_of[number]]),
                strict=True,
            ):
                change = max(change, float(np.abs(left - flows[:, stream]).max()))
                flows[:, stream] = left
        if change <= _TOLERANCE * entering:
            return


def _outlets(machine: Machine, balance: Balance, wet: Array, solids: Array) -> list[Array]:
    """Water (B,) leaving by each outlet, for water (B,) coming in and solids (B, outlets) out."""
    if machine.kind == "screen":
        return _down_the_decks(machine, balance, wet, solids)
    if machine.kind == "classifier":
        wet = wet + added_t_h(machine)
        coarse = _drained(machine, wet, solids[:, 0], solids.sum(axis=1))
        return [coarse, wet - coarse]
    if len(machine.outlets) == 1:
        return [wet]
    shares = [machine.shares[outlet] for outlet in machine.outlets]
    return [wet * share for share in shares]


def _down_the_decks(machine: Machine, balance: Balance, wet: Array, solids: Array) -> list[Array]:
    by_outlet = dict(zip(machine.outlets, solids.T, strict=True))
    left: dict[str, Array] = {}
    for deck in machine.decks:
        wet = wet + deck.spray_m3_h
        onto = balance.deck_feeds_t_h[(machine.tag, deck.name)].sum(axis=-1)
        over = _drained(machine, wet, by_outlet[f"{deck.name}.over"], onto)
        left[f"{deck.name}.over"] = over
        wet = wet - over
    left["under"] = wet
    return [left[outlet] for outlet in machine.outlets]


def _drained(machine: Machine, wet: Array, coarse: Array, feed: Array) -> Array:
    """Water that stays with a coarse outlet: pro rata, but no more than it can hold."""
    share = np.divide(coarse, feed, out=np.zeros_like(coarse), where=feed > 0)
    held = machine.facts.get("retained_moisture", np.inf)
    with np.errstate(invalid="ignore"):
        most = np.where(coarse > 0, held * coarse, 0.0)
    kept: Array = np.minimum(wet * share, most)
    return kept
