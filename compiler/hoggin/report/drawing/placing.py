"""One sheet's graph -> its diagram: the kernel's places, then the numbers on the lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

from hoggin.report.drawing import elk
from hoggin.report.drawing.diagram import Box, Connector, Diagram, Flag, Label, Placed, Point, Route
from hoggin.report.drawing.flags import flagged, reach
from hoggin.report.drawing.graph import Line, Node
from hoggin.report.drawing.hopping import hops
from hoggin.report.drawing.measures import (
    BULGE,
    connector_lines,
    connector_size,
    flag_room,
    label_room,
    machine_cloud,
    text_size,
)
from hoggin.report.drawing.symbols import Symbol, symbol

_PLACES = {
    "left": "OUTSIDE V_CENTER H_LEFT",
    "below": "OUTSIDE V_BOTTOM H_CENTER",
    "inside": "INSIDE V_CENTER H_CENTER",
}
_SIDES = {"top": "NORTH", "foot": "SOUTH", "left": "WEST", "right": "EAST"}


@dataclass(frozen=True, slots=True)
class Way:
    """How the kernel is to lay a graph out."""

    direction: Literal["DOWN", "RIGHT"] = "DOWN"
    cycles: Literal["MODEL_ORDER", "GREEDY"] = "MODEL_ORDER"  # what is taken to run backwards
    aspect: float = 0.0  # of a drawing that is wrapped to so many times its height; 0 for none


@dataclass(frozen=True, slots=True)
class End:
    """The end of a line on another sheet: a node of this one."""

    line: Line
    leaves: bool
    sheet: int
    words: str


@dataclass(frozen=True, slots=True)
class SheetGraph:
    """What is on one sheet. Both ends of its lines are nodes of it or, beyond it, `ends`."""

    title: str
    nodes: tuple[Node, ...]
    lines: tuple[Line, ...]
    ends: tuple[End, ...] = ()


def diagram(sheet: SheetGraph, way: Way) -> Diagram | None:
    """The sheet laid out one way; None where the kernel can't do it."""
    labelled: frozenset[int] = frozenset()
    while True:
        found = _laid_out(sheet, way, labelled)
        if found is None:
            return None
        made, crowded = _diagram(sheet, found)
        if not crowded - labelled:
            return made
        labelled |= crowded  # these lines need room of their own for their numbers


def size(sheet: SheetGraph, way: Way) -> tuple[float, float] | None:
    """The least width and height of a sheet laid out one way; None where the kernel can't do it."""
    found = _laid_out(sheet, way, frozenset())
    return None if found is None else (found["width"], found["height"])


def _laid_out(sheet: SheetGraph, way: Way, labelled: frozenset[int]) -> elk.Graph | None:
    """The kernel's places. Where it wraps a drawing, it now and then leaves a line without a way,
    or oblique, so that it ends nowhere."""
    found = elk.laid_out(_graph(sheet, way, labelled))
    if found is None:
        return None
    sound = all("sections" in edge and _upright(_path(edge)) for edge in found["edges"])
    return found if sound else None


def _upright(path: Sequence[Point]) -> bool:
    return all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise(path))


def _options(way: Way, widest_flag: float) -> dict[str, str]:
    aside = round(widest_flag / 2 + 0.5, 1)  # a flag may be on the outermost line
    options = {
        "elk.algorithm": "layered",
        "elk.direction": way.direction,
        "elk.edgeRouting": "ORTHOGONAL",
        "elk.padding": f"[top={aside},left={aside},bottom={aside},right={aside}]",
        "elk.spacing.nodeNode": "6",
        "elk.spacing.edgeNode": "3",
        "elk.spacing.edgeEdge": "3.4",
        "elk.spacing.labelNode": "1.5",
        "elk.spacing.edgeLabel": "1",
        "elk.spacing.componentComponent": "8",
        "elk.layered.spacing.nodeNodeBetweenLayers": "8",
        "elk.layered.spacing.edgeNodeBetweenLayers": "3",
        "elk.layered.spacing.edgeEdgeBetweenLayers": "3.4",
        "elk.layered.nodePlacement.strategy": "BRANDES_KOEPF",
        "elk.layered.cycleBreaking.strategy": way.cycles,
        "elk.layered.feedbackEdges": "true",
        "elk.layered.considerModelOrder.strategy": "NODES_AND_EDGES",
    }
    if way.aspect:
        options |= {
            "elk.layered.wrapping.strategy": "MULTI_EDGE",
            "elk.aspectRatio": f"{way.aspect:g}",
            "elk.layered.wrapping.additionalEdgeSpacing": "6",
        }
    return options


def _graph(sheet: SheetGraph, way: Way, labelled: frozenset[int]) -> elk.Graph:
    """The sheet in the kernel's format: what comes from other sheets first, what goes there last.
    Only what the layout depends on is in it, so that equal parts of a plant are laid out once."""
    place = {node.name: str(index) for index, node in enumerate(sheet.nodes)}
    beyond = {(end.line.stream, end.leaves): f"c{k}" for k, end in enumerate(sheet.ends)}
    arriving = [_end_child(f"c{k}", end) for k, end in enumerate(sheet.ends) if not end.leaves]
    leaving = [_end_child(f"c{k}", end) for k, end in enumerate(sheet.ends) if end.leaves]
    nodes = [_child(place[node.name], node) for node in sheet.nodes]
    return {
        "id": "root",
        "layoutOptions": _options(way, _widest_flag(sheet)),
        "children": [*arriving, *nodes, *leaving],
        "edges": [
            {
                "id": f"e{k}",
                "sources": [
                    f"{place[line.source]}.{line.outlet}"
                    if line.source in place
                    else f"{beyond[line.stream, False]}.0"
                ],
                "targets": [f"{place.get(line.target) or beyond[line.stream, True]}.in"],
                "labels": [_flag_label(line)] if k in labelled else [],
            }
            for k, line in enumerate(sheet.lines)
        ],
    }


def _widest_flag(sheet: SheetGraph) -> float:
    return max((2 * reach(_room(line))[0] for line in sheet.lines), default=0.0)


def _room(line: Line) -> Box:
    """Of all that is drawn at a line's number, from its middle."""
    return flag_room(Flag(line.number, (0.0, 0.0), line.revised))


def _flag_label(line: Line) -> elk.Graph:
    width, height = (2 * far for far in reach(_room(line)))
    inline = {"elk.edgeLabels.inline": "true", "elk.edgeLabels.placement": "CENTER"}
    return {"text": "-", "width": width, "height": height, "layoutOptions": inline}


def _child(key: str, node: Node) -> elk.Graph:
    shape = symbol(node.symbol)
    width, height = label_room((*node.words, *node.said), revised=bool(node.revised))
    return {
        "id": key,
        "width": shape.width,
        "height": shape.height,
        "ports": _ports(key, shape),
        "labels": [{"text": "-", "width": width, "height": height}],
        "layoutOptions": {
            "elk.portConstraints": "FIXED_SIDE" if shape.free else "FIXED_POS",
            "elk.nodeLabels.placement": _PLACES[_where(node)],
        },
    }


def _where(node: Node) -> Literal["left", "below", "inside"]:
    """Where a node's words are: at its left, as rock leaves at its right and foot."""
    if node.symbol.startswith("section_"):
        return "inside"
    return "left" if symbol(node.symbol).outlets else "below"


def _ports(key: str, shape: Symbol) -> list[elk.Graph]:
    named = [("in", shape.inlet), *((str(k), port) for k, port in enumerate(shape.outlets))]
    return [
        {
            "id": f"{key}.{name}",
            "x": port.at[0],
            "y": port.at[1],
            "width": 0,
            "height": 0,
            "layoutOptions": {"elk.port.side": _SIDES[port.side]},
        }
        for name, port in named
        if port is not None
    ]


def _end_child(key: str, end: End) -> elk.Graph:
    width, height = connector_size(
        connector_lines(end.leaves, end.line.number, end.sheet, end.words)
    )
    side, name, y = ("NORTH", "in", 0.0) if end.leaves else ("SOUTH", "0", height)
    port = {
        "id": f"{key}.{name}", "x": width / 2, "y": y, "width": 0, "height": 0,
        "layoutOptions": {"elk.port.side": side},
    }  # fmt: skip
    return {
        "id": key,
        "width": width,
        "height": height,
        "ports": [port],
        "layoutOptions": {"elk.portConstraints": "FIXED_POS"},
    }


def _diagram(sheet: SheetGraph, found: elk.Graph) -> tuple[Diagram, frozenset[int]]:
    """The diagram, and the lines on which no number has room."""
    at = {child["id"]: child for child in found["children"]}
    placed = tuple(_placed(node, at[str(k)]) for k, node in enumerate(sheet.nodes))
    connectors = tuple(_connector(end, at[f"c{k}"]) for k, end in enumerate(sheet.ends))
    paths = [_path(edge) for edge in found["edges"]]
    taken = [
        *(one.box for one in placed),
        *(one.label.box for one in placed),
        *(machine_cloud(one).grown(BULGE) for one in placed if one.revised),
        *(_box(at[f"c{k}"]) for k in range(len(sheet.ends))),
    ]
    given = {
        k: _centre(edge, paths[k]) for k, edge in enumerate(found["edges"]) if edge.get("labels")
    }
    centres, crowded = flagged(list(map(_room, sheet.lines)), paths, taken, given)
    jumps = hops(paths)
    routes = tuple(
        Route(
            stream=line.stream,
            points=paths[k],
            flag=Flag(line.number, centres[k], line.revised),
            kind=line.kind,
            returns=line.returns,
            hops=jumps[k],
        )
        for k, line in enumerate(sheet.lines)
    )
    made = Diagram(
        sheet.title, _mm(found["width"]), _mm(found["height"]), placed, routes, connectors
    )
    return made, crowded


def _mm(number: float) -> float:
    """To the thousandth, so that equal places are equal numbers: first without the dust of sums,
    which could turn it either way."""
    return round(round(number, 6), 3)


def _box(child: Mapping[str, Any]) -> Box:
    return Box(*(_mm(child[key]) for key in ("x", "y", "width", "height")))


def _placed(node: Node, child: Mapping[str, Any]) -> Placed:
    box, label = _box(child), _box(child["labels"][0])
    lines = (*node.words, *node.said)
    width, height = text_size(lines)
    x = box.x + label.x + label.width - width  # a triangle is at its left
    y = box.y + label.y + (label.height - height) / 2
    words = Box(_mm(x), _mm(y), _mm(width), _mm(height))
    return Placed(
        name=node.name,
        symbol=node.symbol,
        box=box,
        label=Label(
            words, lines, "end" if _where(node) == "left" else "middle", revised=len(node.said)
        ),
        decks=node.decks,
        several=node.several,
        attention=node.attention,
        revised=node.revised,
    )


def _connector(end: End, child: Mapping[str, Any]) -> Connector:
    box = _box(child)
    at = (_mm(box.x + box.width / 2), _mm(box.y if end.leaves else box.y + box.height))
    line = end.line
    return Connector(line.stream, line.number, at, end.leaves, end.sheet, end.words)


def _path(edge: Mapping[str, Any]) -> tuple[Point, ...]:
    section = edge["sections"][0]
    corners = [section["startPoint"], *section.get("bendPoints", ()), section["endPoint"]]
    return _straight([(_mm(corner["x"]), _mm(corner["y"])) for corner in corners])


def _straight(points: Sequence[Point]) -> tuple[Point, ...]:
    """Without corners at which nothing turns."""
    kept: list[Point] = []
    for point in points:
        while len(kept) >= 2 and _in_line(kept[-2], kept[-1], point):
            kept.pop()
        if not kept or kept[-1] != point:
            kept.append(point)
    return tuple(kept)


def _in_line(first: Point, second: Point, third: Point) -> bool:
    return any(first[axis] == second[axis] == third[axis] for axis in (0, 1))


def _centre(edge: Mapping[str, Any], path: Sequence[Point]) -> Point:
    """The place on the line that is nearest to the middle of its label."""
    label = edge["labels"][0]
    wanted = (label["x"] + label["width"] / 2, label["y"] + label["height"] / 2)
    near = [
        (
            min(max(wanted[0], min(a[0], b[0])), max(a[0], b[0])),
            min(max(wanted[1], min(a[1], b[1])), max(a[1], b[1])),
        )
        for a, b in pairwise(path)
    ]
    x, y = min(near, key=lambda p: abs(p[0] - wanted[0]) + abs(p[1] - wanted[1]))
    return _mm(x), _mm(y)
