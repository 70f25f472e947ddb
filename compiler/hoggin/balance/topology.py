"""The flowsheet as a graph: which machines form loops, in what order parts are solved.

Machines are numbered as `Plant.machines`, streams as `Plant.streams`. A stream's source is a
machine, or a feed written as `-1 - feed`; its target is a machine, or `PRODUCT`. Everything here
is settled once for a flowsheet, whatever numbers flow through it later.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hoggin.balance.elimination import Step, plan
from hoggin.schema.plant import Plant

PRODUCT = -1


@dataclass(frozen=True, slots=True)
class Link:
    """A stream by numbers: from an outlet of a machine (or a feed) to a machine or a product."""

    source: int
    outlet: int
    target: int


@dataclass(frozen=True, slots=True)
class Part:
    """Machines that are solved together: one machine, or a loop of them.

    entering: streams from outside; inner: streams between its machines; leaving: all the rest
    that start here. flow_plan eliminates every machine that does not break; mix_plan all of them.
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
        outlet = 0
        if stream.source in machines:
            outlet = plant.machines[machines[stream.source]].outlets.index(stream.outlet)
        source = machines.get(stream.source, feeds.get(stream.source))
        if source is None:
            raise ValueError(f"stream {stream.name!r} starts nowhere")
        links.append(Link(source, outlet, machines.get(stream.target, PRODUCT)))
    _require_every_outlet_once(plant, links)
    crushers = frozenset(i for i, unit in enumerate(plant.machines) if unit.kind == "crusher")
    screens = frozenset(i for i, unit in enumerate(plant.machines) if unit.kind == "screen")
    return Flowsheet(
        feeds=tuple(feeds),
        machines=tuple(machines),
        links=tuple(links),
        parts=_parts(len(machines), links, crushers, screens),
    )


def _require_every_outlet_once(plant: Plant, links: Sequence[Link]) -> None:
    expected = [(-1 - feed, 0) for feed in range(len(plant.feeds))] + [
        (index, outlet)
        for index, unit in enumerate(plant.machines)
        for outlet in range(len(unit.outlets))
    ]
    if sorted(expected) != sorted((link.source, link.outlet) for link in links):
        raise ValueError("every feed and every outlet needs exactly one stream")


def _parts(
    count: int, links: Sequence[Link], crushers: frozenset[int], screens: frozenset[int]
) -> tuple[Part, ...]:
    successors: list[list[int]] = [[] for _ in range(count)]
    incoming: list[list[int]] = [[] for _ in range(count)]
    outgoing: list[list[int]] = [[] for _ in range(count)]
    for index, link in enumerate(links):
        if link.source >= 0:
            outgoing[link.source].append(index)
        if link.target != PRODUCT:
            incoming[link.target].append(index)
            if link.source >= 0:
                successors[link.source].append(link.target)

    parts = []
    for members in strongly_connected(successors):
        inside = set(members)
        arriving = sorted(s for m in members for s in incoming[m])
        inner = tuple(s for s in arriving if links[s].source in inside)
        entering = tuple(s for s in arriving if links[s].source not in inside)
        leaving = tuple(
            sorted(s for m in members for s in outgoing[m] if links[s].target not in inside)
        )
        kept = tuple(m for m in members if m in crushers)
        if not inner:
            parts.append(Part(members, entering, (), leaving, kept))
            continue
        edges = [(links[s].source, links[s].target) for s in inner]
        entry = min((links[s].target for s in entering), default=members[0])
        returns = {s for s in inner if links[s].source in screens and links[s].target in crushers}
        parts.append(
            Part(
                machines=members,
                entering=entering,
                inner=inner,
                leaving=leaving,
                crushers=kept,
                closing=closing_streams(inner, links, entry, returns),
                flow_plan=plan(members, edges, kept),
                mix_plan=plan(members, edges, ()),
            )
        )
    return tuple(parts)


def strongly_connected(successors: Sequence[Sequence[int]]) -> list[tuple[int, ...]]:
    """Strongly connected components in topological order, members ascending.

    Source: Tarjan (1972), SIAM J. Comput. 1(2), 146-160, written without recursion.
    """
    index: dict[int, int] = {}
    low: dict[int, int] = {}
    on_stack: set[int] = set()
    stack: list[int] = []
    found: list[tuple[int, ...]] = []
    for root in range(len(successors)):
        if root in index:
            continue
        path = [(root, iter(successors[root]))]
        index[root] = low[root] = len(index)
        stack.append(root)
        on_stack.add(root)
        while path:
            node, rest = path[-1]
            for following in rest:
                if following not in index:
                    index[following] = low[following] = len(index)
                    stack.append(following)
                    on_stack.add(following)
                    path.append((following, iter(successors[following])))
                    break
                if following in on_stack:
                    low[node] = min(low[node], index[following])
            else:
                path.pop()
                if path:
                    low[path[-1][0]] = min(low[path[-1][0]], low[node])
                if low[node] == index[node]:
                    start = _last(stack, node)
                    members = stack[start:]
                    del stack[start:]
                    on_stack.difference_update(members)
                    found.append(tuple(sorted(members)))
    found.reverse()
    return found


def _last(stack: Sequence[int], node: int) -> int:
    position = len(stack) - 1
    while stack[position] != node:
        position -= 1
    return position


def closing_streams(
    inner: Sequence[int], links: Sequence[Link], entry: int, returns: set[int]
) -> tuple[int, ...]:
    """Streams whose removal opens a loop, by preference the `returns` from screen to crusher.

    What is left once those are taken out is opened along the back edges of a depth-first walk
    from the loop's entry; then each return stream is put back unless it closes a circle. So none
    of the streams given can be spared, and the answer follows from the declared order alone.
    """
    following: dict[int, list[int]] = {}
    for stream in inner:
        if stream not in returns:
            following.setdefault(links[stream].source, []).append(stream)
    starts = [entry, *sorted({links[s].source for s in inner} - {entry})]
    closing = _back_edges(starts, following, links)
    for stream in closing:
        following[links[stream].source].remove(stream)
    for stream in sorted(returns):
        source, target = links[stream].source, links[stream].target
        if _reaches(target, source, following, links):
            closing.append(stream)
        else:
            following.setdefault(source, []).append(stream)
    return tuple(sorted(closing))


def _back_edges(
    starts: Iterable[int], following: dict[int, list[int]], links: Sequence[Link]
) -> list[int]:
    done: set[int] = set()
    back: list[int] = []
    for start in starts:
        if start in done:
            continue
        walking = {start}
        path = [(start, iter(following.get(start, ())))]
        while path:
            node, rest = path[-1]
            for stream in rest:
                target = links[stream].target
                if target in walking:
                    back.append(stream)
                elif target not in done:
                    walking.add(target)
                    path.append((target, iter(following.get(target, ()))))
                    break
            else:
                path.pop()
                walking.discard(node)
                done.add(node)
    return back


def _reaches(start: int, goal: int, following: dict[int, list[int]], links: Sequence[Link]) -> bool:
    seen = {start}
    waiting = [start]
    while waiting:
        node = waiting.pop()
        if node == goal:
            return True
        for stream in following.get(node, ()):
            target = links[stream].target
            if target not in seen:
                seen.add(target)
                waiting.append(target)
    return False
