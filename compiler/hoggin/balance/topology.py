"""The flowsheet as a graph: which machines form loops, in what order parts are solved.

Machines are numbered as `Plant.machines`, streams as `Plant.streams`. A stream's source is a
machine, or a feed written as `-1 - feed`; its target is a machine, or `PRODUCT`. Everything here
is settled once for a flowsheet, whatever numbers flow through it later.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hoggin.balance.elimination import Step, plan
from hoggin.graph import flow_order
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Plant

PRODUCT = -1


@dataclass(frozen=True, slots=True)
class Link:
    """A stream by numbers: from an outlet of a machine (or a feed) to a machine or a product."""

    source: int
    outlet: int
    target: int

    @property
    def way(self) -> tuple[int, int]:
        """From what to what."""
        return self.source, self.target


@dataclass(frozen=True, slots=True)
class Part:
    """Machines that are solved together: one machine, or a loop of them.

    entering: streams from outside; inner: streams between its machines; leaving: all the rest
    that start here. closing: of the inner ones, those that run against the order of flow; the loop
    is open without them, and none can be spared. flow_plan eliminates every machine that does not
    break; mix_plan all of them.
    """

    machines: tuple[int, ...]
    entering: tuple[int, ...]
    inner: tuple[int, ...]
    leaving: tuple[int, ...]
    crushers: tuple[int, ...]
    closing: tuple[int, ...] = ()
    flow_plan: tuple[Step, ...] = ()
    mix_plan: tuple[Step, ...] = ()

    @property
    def is_loop(self) -> bool:
        return bool(self.inner)


@dataclass(frozen=True, slots=True)
class Flowsheet:
    """Tags, links and the parts of a plant in the order material reaches them."""

    feeds: tuple[str, ...]
    machines: tuple[str, ...]
    links: tuple[Link, ...]
    parts: tuple[Part, ...]


def read_flowsheet(plant: Plant) -> Flowsheet:
    """Number a plant's streams and order its parts.

    Raises ValueError when an outlet or a feed does not have exactly one stream; the check phase
    reports that to the user first.
    """
    feeds = {feed.tag: -1 - index for index, feed in enumerate(plant.feeds)}
    machines = {machine.tag: index for index, machine in enumerate(plant.machines)}
    links = []
    for stream in plant.streams:
        source = machines.get(stream.source, feeds.get(stream.source))
        if source is None:
            raise ValueError(f"stream {stream.name!r} has no source")
        outlet = 0 if source < 0 else plant.machines[source].outlets.index(stream.outlet)
        links.append(Link(source, outlet, machines.get(stream.target, PRODUCT)))
    _require_every_outlet_once(plant, links)
    crushers = frozenset(i for i, unit in enumerate(plant.machines) if KINDS[unit.kind].breaks)
    parts = _parts(tuple(feeds), tuple(machines), links, crushers)
    return Flowsheet(tuple(feeds), tuple(machines), tuple(links), parts)


def _require_every_outlet_once(plant: Plant, links: Sequence[Link]) -> None:
    expected = [(-1 - feed, 0) for feed in range(len(plant.feeds))] + [
        (index, outlet)
        for index, unit in enumerate(plant.machines)
        for outlet in range(len(unit.outlets))
    ]
    if sorted(expected) != sorted((link.source, link.outlet) for link in links):
        raise ValueError("every feed and every outlet needs exactly one stream")


def _parts(
    feeds: Sequence[str],
    machines: Sequence[str],
    links: Sequence[Link],
    crushers: frozenset[int],
) -> tuple[Part, ...]:
    incoming, outgoing = ends(links, len(machines))
    parts = []
    for members in flow_order(_successors(feeds, machines, links)):
        place = {machine: at for at, machine in enumerate(members)}
        arriving = [s for m in members for s in incoming[m]]
        inner = tuple(s for s in arriving if links[s].source in place)
        entering = tuple(s for s in arriving if links[s].source not in place)
        leaving = tuple(s for m in members for s in outgoing[m] if links[s].target not in place)
        kept = tuple(m for m in members if m in crushers)
        one = Part(members, entering, inner, leaving, kept)
        if inner:
            edges = [links[s].way for s in inner]
            one = replace(
                one,
                closing=tuple(s for s in inner if place[links[s].target] <= place[links[s].source]),
                flow_plan=plan(members, edges, kept),
                mix_plan=plan(members, edges, ()),
            )
        parts.append(one)
    return tuple(parts)


def ends(links: Sequence[Link], machines: int) -> tuple[list[list[int]], list[list[int]]]:
    """The streams into each machine, and those out of it, in their order."""
    into: list[list[int]] = [[] for _ in range(machines)]
    out_of: list[list[int]] = [[] for _ in range(machines)]
    for stream, link in enumerate(links):
        if link.target != PRODUCT:
            into[link.target].append(stream)
        if link.source >= 0:
            out_of[link.source].append(stream)
    return into, out_of


def _successors(
    feeds: Sequence[str], machines: Sequence[str], links: Sequence[Link]
) -> dict[int, list[int]]:
    """Where each machine's outlets lead, in their order; machines that feeds lead to come first.
    Names settle what else is open, and never the order in which things are declared."""
    inside = [link for link in links if link.target != PRODUCT]
    fed = {-1 - link.source: link.target for link in inside if link.source < 0}
    starts = [fed[f] for f in sorted(fed, key=lambda f: feeds[f])]
    by_name = sorted(range(len(machines)), key=lambda m: machines[m])
    following: dict[int, list[int]] = {m: [] for m in (*starts, *by_name)}
    for link in sorted(inside, key=lambda link: link.outlet):
        if link.source >= 0:
            following[link.source].append(link.target)
    return following
