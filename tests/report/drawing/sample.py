"""A small diagram set by hand, with symbols of its own: an invented plant of a closed circuit."""

from __future__ import annotations

from hoggin.report.drawing.diagram import Box, Diagram, Flag, Label, Placed, Route
from hoggin.report.drawing.model import Shape, Stroke
from hoggin.schema.results import Results

SYMBOLS: dict[str, tuple[Shape, ...]] = {
    "crusher": (
        Stroke(((0, 0), (20, 0), (14, 14), (6, 14)), "machine", 0.5, closed=True, fill="paper"),
        Stroke(((10, 3), (13, 11), (7, 11)), "machine", 0.35, closed=True, fill="tint"),
    ),
    "screen": (
        Stroke(((0, 0), (24, 4), (24, 12), (0, 8)), "machine", 0.5, closed=True, fill="paper"),
        Stroke(((0, 4), (24, 8)), "machine", 0.35, "dashed"),
    ),
    "feed": (
        Stroke(((0, 0), (20, 0), (12, 10), (8, 10)), "machine", 0.5, closed=True, fill="paper"),
    ),
    "pile": (Stroke(((10, 0), (20, 10), (0, 10)), "machine", 0.5, closed=True, fill="paper"),),
}
SIZES = {"crusher": (20.0, 14.0), "screen": (24.0, 12.0), "feed": (20.0, 10.0), "pile": (20, 10.0)}
WORDS = {"crusher": "crusher", "screen": "screen", "feed": "feed", "pile": "product"}


def grid_diagram(results: Results) -> Diagram:
    """Every feed, machine and product of a plant in a square, with a line for each stream. Lines
    may run through symbols: it is for the sheet, not a layout."""
    names = [
        *((feed.tag, "feed") for feed in results.feeds),
        *(
            (machine.tag, "screen" if machine.kind == "screen" else "crusher")
            for machine in results.machines
        ),
        *((product.tag, "pile") for product in results.products),
    ]
    attention = {results.machines[0].tag: "watch", results.machines[-1].tag: "over"}
    placed = []
    centres = {}
    for n, (name, symbol) in enumerate(names):
        x, y = 55.0 * (n % 6) + 25.0, 45.0 * (n // 6)
        width, height = SIZES[symbol]
        centres[name] = (x + width / 2, y + height / 2, height / 2)
        label = Label(Box(x - 24, y + 2, 22, 8), (name, symbol), "end")
        placed.append(
            Placed(name, symbol, Box(x, y, width, height), label, attention=attention.get(name, ""))  # type: ignore[arg-type]
        )
    routes = []
    for n, stream in enumerate(results.streams, start=1):
        (ax, ay, a), (bx, by, b) = centres[stream.source], centres[stream.target]
        ay, by = ay + a, by - b
        level = ay + 4 + 1.3 * (n % 12)
        points = ((ax, ay), (ax, level), (bx, level), (bx, by))
        flag = Flag(str(n), ((ax + bx) / 2, level))
        hop = ((ax + 3 * bx) / 4, level)
        routes.append(
            Route(
                stream.name, points, flag, returns=stream.recirculating,
                hops=(hop,) if abs(ax - bx) > 30 else (),
            )
        )  # fmt: skip
    height = 45.0 * (len(names) // 6 + 1)
    return Diagram("", 350.0, height, tuple(placed), tuple(routes))
