"""Makes a line of sections and stores from a checked plant and its results."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum

import numpy as np

from hoggin.errors import HogginError
from hoggin.schema.facts import usual
from hoggin.schema.kinds import KINDS, OVERFLOW, STORES
from hoggin.schema.plant import Machine, MachineOperation, Plant
from hoggin.schema.results import Results
from hoggin.studies.intervals import Intervals
from hoggin.studies.simulate.calendar import Clock
from hoggin.studies.simulate.cutting import Cut, cut
from hoggin.studies.simulate.line import Campaign, Failing, Floats, Line, Unit

_HALF = usual("bin.operation", "start_level")
_LEAST_T = 0.01  # live; with less a store does not separate sections
_AS_BALANCED = MachineOperation()


@dataclass(frozen=True, slots=True)
class Built:
    """A line and the cut it came from."""

    line: Line
    cut: Cut


def built(plant: Plant, results: Results, clock: Clock) -> Built:
    """The line of a plant over the shifts of a clock. Raises HogginError."""
    for machine in plant.machines:
        if machine.asked_t_h:
            raise HogginError(
                f"`{machine.tag}` sends out tonnages, which do not rise and fall with the rate "
                f"of its section, so they are not simulated. {_instead(machine, results)}"
            )
    stored = {m.tag: m.storage.live_t or 0.0 for m in results.machines if m.storage}
    held = {tag: live for tag, live in stored.items() if live >= _LEAST_T}
    found = cut(plant, held)
    rates = {stream.name: stream.rate_t_h for stream in results.streams}
    takes, gives, feeds = _flows(plant, found, rates)
    campaigns = _campaigns(plant, found, rates)
    for one in campaigns:  # outlets of a campaign do not flow all the time
        share = np.array(one.hours) / fsum(one.hours)
        gives[one.section] = np.maximum(gives[one.section] - share @ one.gives_t_h, 0.0)
        gives[one.section][gives[one.section] < 1e-9 * max(rates.values())] = 0.0
    machines = {machine.tag: machine for machine in plant.machines}
    starts = [machines[tag].facts.get("start_level", _HALF) for tag in found.stores]
    live = np.array([held[tag] for tag in found.stores], dtype=float)
    units = _units(plant, found)
    line = Line(
        sections=_names(plant, found),
        stores=found.stores,
        products=tuple(product.tag for product in plant.products),
        takes_t_h=takes,
        gives_t_h=gives,
        feeds_t_h=feeds,
        pace=_paces(plant, found),
        live_t=live,
        start_t=live * np.array(starts, dtype=float),
        failing=(*_failing(plant, found, units), *_stopped_for_tramp(plant, results, found)),
        campaigns=campaigns,
        stops_h=tuple(
            (found.section_of[machine.tag], every, lasting)
            for machine in plant.machines
            if machine.tag in found.section_of and machine.count == 1
            for every, lasting in _operation(machine).stops_h
        ),
        loaded_h=_loaded(plant, found, clock),
        units=units,
    )
    return Built(line, found)


def _instead(machine: Machine, results: Results) -> str:
    """What to write in the place of tonnages, so that the balance stays the same."""
    if machine.kind in STORES:
        return (
            f"Leave out its `draw` and the route from `{machine.tag}.{OVERFLOW}`: the section "
            "after it takes what it runs at"
        )
    left = {s.outlet: s.rate_t_h for s in results.streams if s.source == machine.tag}
    whole = fsum(left.values()) or 1.0
    shares = [f"out {one} {100 * left[one] / whole:.4g} %" for one in machine.asked_t_h]
    rest = next(outlet for outlet in machine.outlets if outlet not in machine.asked_t_h)
    return f"Write the shares of its balance: `{'; '.join(shares)}; out {rest} rest`"


def _operation(machine: Machine) -> MachineOperation:
    return machine.operation or _AS_BALANCED


def _names(plant: Plant, found: Cut) -> tuple[str, ...]:
    """Each section by its first crusher, or else its first machine, feed, product or stream."""
    kinds = {machine.tag: machine.kind for machine in plant.machines}
    names = []
    for number, tags in enumerate(found.sections):
        machines = [tag for tag in tags if tag in kinds]
        crushers = [tag for tag in machines if KINDS[kinds[tag]].breaks]
        streams = [s.name for n, s in enumerate(plant.streams) if found.section_of[n] == number]
        names.append(next(iter((*crushers, *machines, *tags, *streams)), ""))
    return tuple(names)


def _flows(plant: Plant, found: Cut, rates: Mapping[str, float]) -> tuple[Floats, Floats, Floats]:
    count, stores = len(found.sections), len(found.stores)
    store = {tag: place for place, tag in enumerate(found.stores)}
    target = {**store, **{p.tag: stores + n for n, p in enumerate(plant.products)}}
    fed = {feed.tag for feed in plant.feeds}
    takes = np.zeros((count, stores))
    gives = np.zeros((count, stores + len(plant.products)))
    feeds = np.zeros(count)
    for place, stream in enumerate(plant.streams):
        section, rate = found.section_of[place], rates[stream.name]
        if stream.source in store:
            takes[section, store[stream.source]] += rate
        if stream.source in fed:
            feeds[section] += rate
        if stream.target in target:
            gives[section, target[stream.target]] += rate
    return takes, gives, feeds


def _paces(plant: Plant, found: Cut) -> Floats:
    """The lowest pace that a machine of the section states; otherwise that of the balance."""
    paces = np.full(len(found.sections), np.inf)
    for machine in plant.machines:
        pace = _operation(machine).pace
        if pace is not None and machine.tag in found.section_of:
            section = found.section_of[machine.tag]
            paces[section] = min(paces[section], pace)
    return np.where(np.isfinite(paces), paces, 1.0)


def _units(plant: Plant, found: Cut) -> tuple[Unit, ...]:
    """The equal machines of the plant that may stop one by one. Their planned stops take turns."""
    units = []
    for machine in plant.machines:
        operation, count = _operation(machine), int(machine.count)
        if count == 1 or not (operation.stops_h or operation.availability < 1):
            continue
        for number in range(1, count + 1):
            stops = tuple((number / count, every, lasts) for every, lasts in operation.stops_h)
            units.append(Unit(machine.tag, found.section_of[machine.tag], count, stops))
    return tuple(units)


def _failing(plant: Plant, found: Cut, units: tuple[Unit, ...]) -> tuple[Failing, ...]:
    """By the definition of availability, time between failures is repair x A / (1 - A)."""
    failing = []
    for machine in plant.machines:
        operation = _operation(machine)
        if operation.availability >= 1 or operation.repair_h is None:
            continue
        share = (1 - operation.availability) / operation.availability
        section = _section(machine, plant, found)
        places: list[int | None] = [n for n, unit in enumerate(units) if unit.tag == machine.tag]
        rate = share / operation.repair_h
        for place in places or [None]:
            failing.append(Failing(machine.tag, section, rate, operation.repair_h, place))
    return tuple(failing)


def _stopped_for_tramp(plant: Plant, results: Results, found: Cut) -> Iterator[Failing]:
    """Detectors that stop their section for a piece of metal, until it is found and taken out."""
    for machine, rated in zip(plant.machines, results.machines, strict=True):
        clearing_h = machine.facts.get("clearing_h")
        every_h = None if rated.tramp is None else rated.tramp.stop_every_h
        if clearing_h is not None and every_h is not None:
            section = _section(machine, plant, found)
            yield Failing(machine.tag, section, 1 / every_h, clearing_h, cause="metal found")


def _section(machine: Machine, plant: Plant, found: Cut) -> int:
    """The section a machine stops; a store's gate stops the one it feeds."""
    if machine.tag in found.section_of:
        return found.section_of[machine.tag]
    leaving = next(n for n, stream in enumerate(plant.streams) if stream.source == machine.tag)
    return found.section_of[leaving]


def _loaded(plant: Plant, found: Cut, clock: Clock) -> dict[int, Intervals]:
    """When all feeds of a section that state hours of loading are delivered."""
    loaded: dict[int, Intervals] = {}
    for feed in plant.feeds:
        if feed.loading_h:
            section = found.section_of[feed.tag]
            windows = clock.shift_hours(feed.loading_h)
            before = loaded.get(section)
            loaded[section] = windows if before is None else _both(before, windows)
    return loaded


def _both(one: Intervals, other: Intervals) -> Intervals:
    met = ((max(a, c), min(b, d)) for a, b in one for c, d in other)
    return tuple((start, end) for start, end in met if end > start)


def _campaigns(plant: Plant, found: Cut, rates: Mapping[str, float]) -> tuple[Campaign, ...]:
    campaigns = []
    for machine in plant.machines:
        operation = _operation(machine)
        if machine.kind != "splitter" or operation.campaign_h is None:
            continue
        outlets = tuple(outlet for outlet, share in machine.shares.items() if share > 0)
        streams = [stream for stream in plant.streams if stream.source == machine.tag]
        whole = fsum(rates[stream.name] for stream in streams)
        ways = {stream.outlet: stream.target for stream in streams}
        follow = _Follow(plant, found)
        campaigns.append(
            Campaign(
                tag=machine.tag,
                section=found.section_of[machine.tag],
                outlets=outlets,
                hours=tuple(operation.campaign_h * machine.shares[one] for one in outlets),
                gives_t_h=np.array([whole * follow.shares(ways[one]) for one in outlets]),
                changeover_h=operation.changeover_h,
            )
        )
    return tuple(campaigns)


class _Follow:
    """The targets of a stream, followed over conveyors, blends and splitters only."""

    def __init__(self, plant: Plant, found: Cut) -> None:
        products = (product.tag for product in plant.products)
        self._targets = {tag: place for place, tag in enumerate((*found.stores, *products))}
        self._machines = {machine.tag: machine for machine in plant.machines}
        self._ways: dict[str, list[tuple[str, str]]] = {}
        for stream in plant.streams:
            self._ways.setdefault(stream.source, []).append((stream.outlet, stream.target))

    def shares(self, tag: str) -> Floats:
        """The parts of it that come to each target, (T,). Raises HogginError."""
        if tag in self._targets:
            there: Floats = np.eye(len(self._targets))[self._targets[tag]]
            return there
        machine = self._machines[tag]
        if machine.kind in STORES:
            raise HogginError(
                f"`{tag}`, after a splitter with campaigns, does not separate sections: give it "
                "`live` tonnes, and no route back to what fills it"
            )
        if _operation(machine).campaign_h is not None:
            raise HogginError(f"splitter `{tag}` has campaigns, and so has one upstream of it")
        total = np.zeros(len(self._targets))
        for outlet, target in self._ways[tag]:
            total += machine.shares.get(outlet, 1.0) * self.shares(target)
        return total
