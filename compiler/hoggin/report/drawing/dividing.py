"""A plant that is too large for one sheet, divided into parts: its sections, and pieces of those
that are still too large, cut where few streams cross."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from hoggin.report.drawing.graph import LONGEST, Graph, Line, Node
from hoggin.report.drawing.placing import End, SheetGraph
from hoggin.report.wording import shorten

MOST = 14  # machines of a part before it is tried on a sheet
LEAST = 3  # machines of a part that is not cut any more
MAIN = "main"


@dataclass(frozen=True, slots=True)
class Part:
    """What is drawn on one sheet."""

    title: str
    nodes: tuple[Node, ...]


def sections(graph: Graph) -> list[Part]:
    """The parts of a plant by its sheets and sections, none of too many machines."""
    groups: dict[str, list[Node]] = {}
    for node in graph.nodes:
        if is_machine(node):
            groups.setdefault(_section(node), []).append(node)
    return [
        piece
        for title, nodes in groups.items()
        for piece in _small(Part(title, tuple(nodes)), graph.lines)
    ]


def is_machine(node: Node) -> bool:
    """Whether it is a machine of the plant, not a feed, product or supply."""
    return node.symbol not in ("feed", "product", "water")


def _section(node: Node) -> str:
    """The sheet that the plant names, else the section that the machine is in."""
    return node.sheet or (node.name.partition(".")[0] if "." in node.name else MAIN)


def _small(part: Part, lines: Sequence[Line]) -> list[Part]:
    if len(part.nodes) <= MOST:
        return [part]
    return [piece for half in halves(part, lines) for piece in _small(half, lines)]


def halves(part: Part, lines: Sequence[Line]) -> list[Part]:
    """The part cut in two where few streams cross, near its middle in the order of flow."""
    place = {node.name: k for k, node in enumerate(part.nodes)}
    count = len(part.nodes)
    crossing = [0] * (count + 1)
    for line in lines:
        if line.source in place and line.target in place:
            low, high = sorted((place[line.source], place[line.target]))
            for cut in range(low + 1, high + 1):
                crossing[cut] += 1
    third = max(1, count // 3)
    cut = min(range(third, count - third + 1), key=lambda k: (crossing[k], abs(2 * k - count), k))
    return [Part(part.title, part.nodes[:cut]), Part(part.title, part.nodes[cut:])]


def sheet_graphs(graph: Graph, parts: Sequence[Part], first: int) -> list[SheetGraph]:
    """The graphs of all parts, with the ends of lines that go on, on another sheet. A feed is with
    the machine it first goes to, a product on every sheet that makes it. `first` is the number of
    the first."""
    home = _homes(graph, parts)
    makers = _makers(graph, home)
    titles = _titles(parts)
    words = {node.name: node.words[0] for node in graph.nodes}
    made = []
    for index, part in enumerate(parts):
        nodes = [
            _shared(node, len(makers[node.name])) if node.name in makers else node
            for node in graph.nodes
            if index in makers.get(node.name, {home[node.name]})
        ]
        lines, ends = [], []
        for line in graph.lines:
            leaves = home[line.source] == index
            stays = leaves if line.target in makers else home[line.target] == index
            if not (leaves or stays):
                continue
            lines.append(line)
            if leaves != stays:
                other = home[line.target if leaves else line.source]
                there = words[line.target if leaves else line.source]
                ends.append(End(line, leaves, first + other, there))
        local = tuple(_local(node, part.title) for node in nodes)
        made.append(SheetGraph(titles[index], local, tuple(lines), tuple(ends)))
    return made


def _homes(graph: Graph, parts: Sequence[Part]) -> dict[str, int]:
    """The part that each node is in."""
    home = {node.name: k for k, part in enumerate(parts) for node in part.nodes}
    for line in reversed(graph.lines):
        if line.target in home and line.source not in home:
            home[line.source] = home[line.target]
        elif line.source in home and line.target not in home:
            home[line.target] = home[line.source]
    for node in graph.nodes:
        home.setdefault(node.name, 0)  # nothing comes from it or goes to it
    return home


def _products(graph: Graph) -> set[str]:
    return {node.name for node in graph.nodes if node.symbol == "product"}


def _makers(graph: Graph, home: Mapping[str, int]) -> dict[str, set[int]]:
    """The parts that make each product."""
    products = _products(graph)
    makers: dict[str, set[int]] = {}
    for line in graph.lines:
        if line.target in products:
            makers.setdefault(line.target, set()).add(home[line.source])
    return makers


def _shared(product: Node, sheets: int) -> Node:
    """A product that says on how many sheets it is."""
    return (
        replace(product, words=(*product.words, f"on {sheets} sheets")) if sheets > 1 else product
    )


def _titles(parts: Sequence[Part]) -> list[str]:
    """A section's name; with a number where it has several parts."""
    names = [part.title for part in parts]
    count: dict[str, int] = {}
    titles = []
    for name in names:
        count[name] = count.get(name, 0) + 1
        titles.append(f"{name} {count[name]}" if names.count(name) > 1 else name)
    return titles


def _local(node: Node, section: str) -> Node:
    """A node of a section, without the section's name, which is the sheet's title. So equal
    sections have equal layouts."""
    first = node.words[0].removeprefix(f"{section}.")
    return replace(node, words=(first, *node.words[1:]))


@dataclass(frozen=True, slots=True)
class Group:
    """The sheets that are one box of the overview, by their numbers."""

    title: str
    nodes: tuple[Node, ...]
    first: int
    last: int


def by_sheet(sheets: Sequence[SheetGraph], first: int) -> list[Group]:
    return [Group(one.title, one.nodes, k, k) for k, one in enumerate(sheets, first)]


def by_section(parts: Sequence[Part], sheets: Sequence[SheetGraph], first: int) -> list[Group]:
    """All sheets of a section together: for a plant of very many."""
    groups: dict[str, Group] = {}
    for part, one in zip(parts, by_sheet(sheets, first), strict=True):
        known = groups.get(part.title)
        groups[part.title] = (
            replace(known, nodes=known.nodes + one.nodes, last=one.last)
            if known is not None
            else replace(one, title=part.title)
        )
    return list(groups.values())


def overview(graph: Graph, groups: Sequence[Group]) -> SheetGraph:
    """Each group as a box, and one line from box to box for all streams between them."""
    home = {node.name: group.title for group in groups for node in group.nodes}
    products = _products(graph)
    bundles: dict[tuple[str, str], list[Line]] = {}
    for line in graph.lines:
        pair = home[line.source], home[line.target]
        if line.target not in products and pair[0] != pair[1]:
            bundles.setdefault(pair, []).append(line)
    leaving: dict[str, list[str]] = {}
    for source, target in bundles:
        leaving.setdefault(source, []).append(target)
    lines = tuple(
        replace(
            streams[0],
            number=_numbers(streams),
            source=source,
            target=target,
            outlet=leaving[source].index(target),
            returns=all(line.returns for line in streams),
            revised="",  # the sheets have the marks
        )
        for (source, target), streams in bundles.items()
    )
    nodes = tuple(_box(group, len(leaving.get(group.title, ()))) for group in groups)
    return SheetGraph("overview", nodes, lines)


def _box(group: Group, outlets: int) -> Node:
    """What is removed is counted, and not said to be made."""
    left = [node for node in group.nodes if node.revised != "removed"]
    machines, all_machines = sum(map(is_machine, left)), sum(map(is_machine, group.nodes))
    on = f"sheet {group.first}"
    if group.last != group.first:
        on = f"sheets {group.first} to {group.last}"
    what = f"{on}: {machines} machine{'s' * (machines != 1)}"
    if machines < all_machines:
        what = f"{what}, {all_machines - machines} removed"
    made = _listed([node.words[0] for node in left if node.symbol == "product"])
    words = (shorten(group.title, LONGEST), what, *([made] if made else []))
    return Node(group.title, f"section_{max(1, outlets)}", words)


def _listed(products: Sequence[str]) -> str:
    """As many names as a line has room for, and how many more there are."""
    for shown in range(len(products), 0, -1):
        more = f" + {len(products) - shown}" if shown < len(products) else ""
        text = f"to {', '.join(products[:shown])}{more}"
        if len(text) <= LONGEST:
            return text
    return f"to {len(products)} products" if len(products) > 1 else ""


def _numbers(streams: Sequence[Line]) -> str:
    shown = ", ".join(line.number for line in streams[:3])
    return shown if len(streams) <= 3 else f"{shown} + {len(streams) - 3}"
