"""Graphs of plants of any size, drawn from a seed: ours, and invented."""

from __future__ import annotations

from random import Random

from hoggin.report.drawing.graph import Graph, Line, Node

_PIECES = (
    "jaw",
    "cone",
    "belt",
    "screen_1",
    "screen_2",
    "screen_3",
    "splitter_2",
    "bin_1",
    "blend",
)


def plant_graph(machines: int, seed: int, sections: int = 0) -> Graph:
    """A plant in which each machine feeds later ones, or now and then an earlier one, or a pile.

    sections: of so many machines each; 0 for a plant without sections."""
    random = Random(seed)
    symbols = [random.choice(_PIECES) for _ in range(machines)]
    names = [
        f"line_{k // sections}.m{k % sections}" if sections and k >= sections else f"m{k}"
        for k in range(machines)
    ]
    nodes = [Node("pit", "feed", ("pit", "granite"))]
    nodes += [
        Node(name, symbol, (name, symbol.partition("_")[0]))
        for name, symbol in zip(names, symbols, strict=True)
    ]
    ends = [("pit", 0, names[0], False)]
    piles: list[str] = []
    for k, symbol in enumerate(symbols):
        last = int(symbol[-1]) if symbol.startswith("splitter") else 1
        outlets = int(symbol[-1]) + 1 if symbol.startswith("screen") else last
        for outlet in range(outlets):
            returns = outlet < outlets - 1 and random.random() < 0.15 and k > 2
            onward = k + (1 if outlet == outlets - 1 else random.randint(1, 6))
            if returns:
                ends.append((names[k], outlet, names[random.randint(max(0, k - 8), k)], True))
            elif onward < machines and (outlet == outlets - 1 or random.random() < 0.5):
                ends.append((names[k], outlet, names[onward], False))
            else:
                piles.append(f"pile_{len(piles)}")
                ends.append((names[k], outlet, piles[-1], False))
    nodes += [Node(name, "product", (name, "0/32 stone")) for name in piles]
    lines = tuple(
        Line(f"{source}.{outlet} -> {target}", str(number), source, outlet, target, returns=back)
        for number, (source, outlet, target, back) in enumerate(ends, 1)
    )
    return Graph(tuple(nodes), lines)


def twin_sections(sections: tuple[str, ...], machines: int) -> Graph:
    """A pit, a splitter, and equal sections with names of their own."""
    top = Node("split", f"splitter_{len(sections)}", ("split", "splitter"))
    nodes = [Node("pit", "feed", ("pit", "granite")), top]
    ends = [("pit", 0, "split", False)]
    for outlet, section in enumerate(sections):
        pattern = plant_graph(machines, 7)
        own = {n.name: n.name if n.name == "pit" else f"{section}.{n.name}" for n in pattern.nodes}
        for node in pattern.nodes[1:]:
            name = own[node.name]
            nodes.append(Node(name, node.symbol, (name, *node.words[1:])))
        for line in pattern.lines:
            source = ("split", outlet) if line.source == "pit" else (own[line.source], line.outlet)
            ends.append((*source, own[line.target], line.returns))
    lines = tuple(
        Line(f"{source}.{outlet} -> {target}", f"{number:03}", source, outlet, target, returns=back)
        for number, (source, outlet, target, back) in enumerate(ends, 1)
    )
    return Graph(tuple(nodes), lines)
