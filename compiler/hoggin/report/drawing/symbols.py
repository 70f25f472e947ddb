"""The symbols of a flowsheet, in mm: their strokes, and where streams enter and leave.

Rock enters above and leaves below, or at the end of a deck. Nothing enters where something else
leaves.

| after a standard, from memory | symbols |
|---|---|
| ISO 10628-2 (process flow diagrams) | bin, belt, pump, thickener, cyclone, sump |
| ISO 561 (coal preparation plants) | jaw, cone, rolls, screen, screw |

All others are plain shapes of our own: gyratory, impactors, press rolls, grizzly feeder, feeders,
piles, feed, splitter, blend, dewatering screen, upflow classifier, magnet, metal detector,
instrument, water, section.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from hoggin.report.drawing.diagram import Point, Side
from hoggin.report.drawing.model import Arc, Circle, Dash, Fill, Shape, Stroke

OUTLINE, DETAIL = 0.5, 0.25  # widths of strokes
DECK_PITCH = 2.6  # from one deck to the next below
DECK_FALL = 2.6  # of a deck, from its feed end to its discharge
LIP = 1.2  # by which a deck stands out at its discharge
SECTION_WIDTH, SECTION_HEIGHT = 46.0, 12.0
SPLIT_PITCH = 6.0  # from one outlet of a splitter to the next


@dataclass(frozen=True, slots=True)
class Port:
    """Where a stream enters or leaves."""

    at: Point
    side: Side


@dataclass(frozen=True, slots=True)
class Symbol:
    """A symbol in a box from (0, 0) to its size. `outlets` are in the order of the machine's own;
    where `free`, those along the foot may be in any order and at any place."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    inlet: Port | None
    outlets: tuple[Port, ...]
    free: bool = False


@cache
def symbol(name: str) -> Symbol:
    """The symbol of a name: "jaw", or "screen_3" with the number of its decks or outlets."""
    base, _, count = name.rpartition("_")
    if count.isdigit():
        return _COUNTED[base](int(count))
    return _PLAIN[name]()


def _closed(*points: Point, width: float = OUTLINE, fill: Fill = "paper") -> Stroke:
    return Stroke(points, "machine", width, closed=True, fill=fill)


def _line(*points: Point, width: float = DETAIL, dash: Dash = "solid") -> Stroke:
    return Stroke(points, "machine", width, dash)


def _deck(start: Point, end: Point) -> tuple[Stroke, Stroke]:
    """A deck, and the lip at its discharge."""
    lip = (end[0] - LIP, end[1])
    return _line(start, end, width=0.35, dash="dashed"), _line(lip, end, width=0.35)


def _circle(
    x: float, y: float, radius: float, fill: Fill = "paper", wide: float = OUTLINE
) -> Circle:
    return Circle((x, y), radius, "machine", wide, fill)


def _through(width: float, height: float, *shapes: Shape) -> Symbol:
    """In at the middle of the top, out at the middle of the foot."""
    foot = Port((width / 2, height), "foot")
    return Symbol(width, height, shapes, Port((width / 2, 0), "top"), (foot,))


def _feed() -> Symbol:
    """A tip: an arrow into an open hopper."""
    return Symbol(
        12,
        9,
        (
            _closed((0, 3), (12, 3), (7.5, 9), (4.5, 9)),
            Stroke(((6, 0), (6, 5.5)), "machine", DETAIL, arrow=True),
        ),
        None,
        (Port((6, 9), "foot"),),
    )


def _pile(outlets: int = 1) -> Symbol:
    """Rock heaped on the ground; what overflows leaves beside it."""
    shapes = (_closed((7, 0), (14, 8), (0, 8)), _line((4, 5.5), (5, 5)), _line((8, 4.5), (9, 5.2)))
    ports = (Port((7, 8), "foot"), Port((14, 8), "right"))
    return Symbol(14, 8, shapes, Port((7, 0), "top"), ports[:outlets])


def _product() -> Symbol:
    return Symbol(14, 8, (_closed((7, 0), (14, 8), (0, 8), fill="tint"),), Port((7, 0), "top"), ())


def _bin(outlets: int = 1) -> Symbol:
    shape = _closed((0, 0), (10, 0), (10, 6.5), (6.5, 11), (3.5, 11), (0, 6.5))
    ports = (Port((5, 11), "foot"), Port((10, 3), "right"))
    return Symbol(10, 11, (shape,), Port((5, 0), "top"), ports[:outlets])


def _jaw() -> Symbol:
    """A fixed and a swinging jaw that close downwards."""
    return _through(
        12,
        11,
        _closed((0, 0), (12, 0), (12, 11), (0, 11)),
        _line((2.2, 0.8), (4.4, 11), width=OUTLINE),
        _line((9.8, 0.8), (7.2, 11), width=OUTLINE),
        _line((9.2, 3), (12, 5.2)),
    )


def _mantled(width: float, height: float, head: float) -> Symbol:
    """A chamber with a cone in it."""
    middle = width / 2
    return _through(
        width,
        height,
        _closed((0, 0), (width, 0), (width * 0.78, height), (width * 0.22, height)),
        _line(
            (middle - head, height - 1.2), (middle, 2), (middle + head, height - 1.2),
            (middle - head, height - 1.2), width=0.35,
        ),
    )  # fmt: skip


def _gyratory() -> Symbol:
    plain = _mantled(14, 13, 2.6)
    spider = _line((3, 2.4), (11, 2.4), width=0.35)
    return Symbol(14, 13, (*plain.shapes, spider), plain.inlet, plain.outlets)


def _impactor() -> Symbol:
    """A rotor on a level shaft, with blow bars."""
    bars = tuple(
        _line((6 + x * 2.2, 6.2 + y * 2.2), (6 + x * 3.6, 6.2 + y * 3.6), width=OUTLINE)
        for x, y in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0))
    )
    box = _closed((0, 0), (12, 0), (12, 11), (0, 11))
    return _through(12, 11, box, _circle(6, 6.2, 2.2, wide=0.35), *bars)


def _shaft_impactor() -> Symbol:
    """A rotor on an upright shaft that throws rock to both sides."""
    return _through(
        12,
        11,
        _closed((0, 0), (12, 0), (12, 8), (9, 11), (3, 11), (0, 8)),
        _line((4, 4), (8, 4), (8, 6), (4, 6), (4, 4), width=0.35),
        _line((4, 5), (1.2, 5)),
        _line((8, 5), (10.8, 5)),
    )


def _rolls() -> Symbol:
    return _through(
        13,
        9,
        _closed((0, 0), (13, 0), (13, 9), (0, 9)),
        _circle(3.4, 5, 2.7, wide=0.35),
        _circle(9.6, 5, 2.7, wide=0.35),
    )


def _press_rolls() -> Symbol:
    """Rolls that are pressed together."""
    plain = _rolls()
    presses = (
        Stroke(((0.3, 1.2), (2.6, 1.2)), "machine", DETAIL, arrow=True),
        Stroke(((12.7, 1.2), (10.4, 1.2)), "machine", DETAIL, arrow=True),
    )
    return Symbol(13, 9, (*plain.shapes, *presses), plain.inlet, plain.outlets)


def _screen(decks: int) -> Symbol:
    """Each deck is a dashed line, with its outlet at its end; the undersize leaves below."""
    width, feed = 22.0, 4.5
    body = width - LIP
    depth = DECK_PITCH * decks + 1.6
    low = DECK_FALL + depth
    height = low + 2.4
    starts = [2.0 + DECK_PITCH * deck for deck in range(decks)]
    case = _closed(
        (0, 0), (feed, 0), (body, DECK_FALL), (body, low), (body / 2 + 2, height),
        (body / 2 - 2, height), (0, depth),
    )  # fmt: skip
    lines = [shape for y in starts for shape in _deck((0, y), (width, y + DECK_FALL))]
    ends = tuple(Port((width, y + DECK_FALL), "right") for y in starts)
    under = Port((body / 2, height), "foot")
    return Symbol(width, height, (case, *lines), Port((2.5, 0), "top"), (*ends, under))


def _drying_screen(decks: int) -> Symbol:
    """The deck rises to its discharge, and water drains through it."""
    width, body = 22.0, 22.0 - LIP
    height = 6.0 + DECK_PITCH * decks
    starts = [3.4 + DECK_PITCH * deck for deck in range(decks)]
    case = _closed(
        (0, 0), (body, 0), (body, height - 3), (13, height), (9, height), (0, height - 2)
    )
    lines = [shape for y in starts for shape in _deck((0, y), (width, y - 1.4))]
    ends = tuple(Port((width, y - 1.4), "right") for y in starts)
    return Symbol(
        width, height, (case, *lines), Port((2.5, 0), "top"), (*ends, Port((11, height), "foot"))
    )


def _grizzly_feeder(decks: int) -> Symbol:
    """A pan whose further half is of bars; the bars' end is the outlet of what stays on them."""
    width, body = 22.0, 22.0 - LIP
    height = 5.0 + DECK_PITCH * decks
    starts = [2.4 + DECK_PITCH * deck for deck in range(decks)]
    case = _closed(
        (0, 0), (body, 0), (body, height - 2.2), (17, height), (13, height), (9, height - 2.2),
        (0, height - 2.2),
    )  # fmt: skip
    lines = [shape for y in starts for shape in _deck((9, y), (width, y))]
    pan = _line((0, starts[0]), (9, starts[0]), width=0.35)
    ends = tuple(Port((width, y), "right") for y in starts)
    under = Port((15, height), "foot")
    return Symbol(width, height, (case, pan, *lines), Port((2.5, 0), "top"), (*ends, under))


def _carried(width: float, shapes: tuple[Shape, ...], height: float) -> Symbol:
    """In above its tail, out below its head."""
    return Symbol(
        width, height, shapes, Port((2.2, 0), "top"), (Port((width - 2.2, height), "foot"),)
    )


def _loop(width: float, top: float) -> tuple[Shape, ...]:
    """A belt round two pulleys, 3.6 mm high."""
    low, middle = top + 3.6, top + 1.8
    return (
        _line((1.8, top), (width - 1.8, top), width=OUTLINE),
        _line((1.8, low), (width - 1.8, low), width=OUTLINE),
        Arc((1.8, middle), 1.8, 90, 270, "machine", OUTLINE),
        Arc((width - 1.8, middle), 1.8, 270, 450, "machine", OUTLINE),
        _circle(1.8, middle, 0.9, wide=DETAIL),
        _circle(width - 1.8, middle, 0.9, wide=DETAIL),
    )


def _belt() -> Symbol:
    return _carried(22, _loop(22, 0), 3.6)


def _belt_feeder() -> Symbol:
    """A short belt or apron under skirts."""
    skirts = (_line((0.6, 0), (2, 1.6), (12, 1.6)), _line((3.8, 0), (3, 1.0)))
    return _carried(15, (*_loop(15, 2.0), *skirts), 5.6)


def _pan_feeder() -> Symbol:
    """A trough that is shaken, with a chute at its end."""
    shapes = (
        _line((0, 0), (0, 3), (15, 4), width=OUTLINE),
        _line((3, 4.8), (4.4, 3.2)),
        _line((7, 5.1), (8.4, 3.5)),
        _line((11, 3.8), (12.2, 5.2)),
        _line((15, 4), (13.4, 5.2)),
    )
    return _carried(15, shapes, 5.2)


def _screw() -> Symbol:
    """A screw that rakes sand up a trough; what is fine flows over its low end."""
    shapes = (
        _closed((0, 5), (3, 3.4), (22, 0), (22, 4.4), (4, 8), (0, 8)),
        _line((2.5, 6.4), (22, 2.4), width=0.35),
        *(_line((5 + 3.2 * k, 7.2 - 0.66 * k), (6.6 + 3.2 * k, 3.2 - 0.6 * k)) for k in range(5)),
        _line((10, 0), (10, 2.1)),
    )
    return Symbol(
        22, 8, shapes, Port((10, 0), "top"), (Port((22, 2.4), "right"), Port((2, 8), "foot"))
    )


def _cyclone() -> Symbol:
    """A cone with its apex down; what is fine leaves through the pipe at its top."""
    shapes = (
        _closed((0, 3), (8, 3), (8, 6), (4.8, 14), (3.2, 14), (0, 6)),
        _line((5.6, 4.6), (5.6, 1.4), (11, 1.4), width=0.35),
        _line((2, 0), (2, 3), width=0.35),
    )
    return Symbol(
        11, 14, shapes, Port((2, 0), "top"), (Port((4, 14), "foot"), Port((11, 1.4), "right"))
    )


def _upflow() -> Symbol:
    """A column with water rising from its foot; what is fine flows over its rim."""
    shapes = (
        _closed((0, 0), (11, 0), (11, 8), (6.8, 13), (4.2, 13), (0, 8)),
        _line((5.5, 0), (5.5, 4), width=0.35),
        *(Stroke(((x, 9), (x, 6.4)), "machine", DETAIL, arrow=True) for x in (2.8, 5.5, 8.2)),
    )
    return Symbol(
        11, 13, shapes, Port((5.5, 0), "top"), (Port((5.5, 13), "foot"), Port((11, 2), "right"))
    )


def _thickener() -> Symbol:
    """A wide tank with a rake; clear water flows over its rim."""
    shapes = (
        _closed((0, 0), (24, 0), (24, 4), (13.4, 9), (10.6, 9), (0, 4)),
        _line((12, 0), (12, 7), width=0.35),
        _line((3.5, 4.2), (12, 7.6), (20.5, 4.2), width=0.35),
    )
    return Symbol(
        24, 9, shapes, Port((12, 0), "top"), (Port((12, 9), "foot"), Port((24, 1.4), "right"))
    )


def _sump() -> Symbol:
    return _through(
        11,
        8,
        _line((0, 0), (0, 5), (4, 8), (7, 8), (11, 5), (11, 0), width=OUTLINE),
        _line((0, 2), (11, 2), dash="dashed"),
    )


def _pump() -> Symbol:
    return _through(8, 8, _circle(4, 4, 4), _line((1.2, 1.2), (4, 8), (6.8, 1.2), width=0.35))


def _splitter(outlets: int) -> Symbol:
    """A chute that widens to its outlets."""
    width = max(8.0, SPLIT_PITCH * outlets)
    middle = width / 2
    shape = _closed((middle - 2, 0), (middle + 2, 0), (width, 4.5), (0, 4.5))
    pitch = width / outlets
    ports = tuple(Port((pitch * (k + 0.5), 4.5), "foot") for k in range(outlets))
    return Symbol(width, 4.5, (shape,), Port((middle, 0), "top"), ports, free=True)


def _blend() -> Symbol:
    return _through(4, 4, _circle(2, 2, 2))


def _magnet() -> Symbol:
    """Two poles beside the line."""
    poles = _closed((0, 0), (7, 0), (7, 6), (4.8, 6), (4.8, 2.4), (2.2, 2.4), (2.2, 6), (0, 6))
    return _through(7, 6, poles, _line((3.5, 0), (3.5, 6)))


def _detector() -> Symbol:
    """A coil round the line."""
    return _through(
        7, 5, _closed((0, 0), (7, 0), (7, 5), (0, 5)), _circle(3.5, 2.5, 1.4, wide=0.35)
    )


def _instrument() -> Symbol:
    return _through(6, 6, _circle(3, 3, 3), _line((0, 3), (6, 3)))


def _water() -> Symbol:
    """A supply of water, or where water leaves."""
    drop = _closed((3, 0), (5.4, 4), (5, 6), (3, 7), (1, 6), (0.6, 4))
    return Symbol(6, 7, (drop,), Port((3, 0), "top"), (Port((3, 7), "foot"),))


def _section(outlets: int) -> Symbol:
    """A part of the plant that is drawn on a sheet of its own; its words are in it."""
    width = max(SECTION_WIDTH, SPLIT_PITCH * outlets)
    shape = _closed((0, 0), (width, 0), (width, SECTION_HEIGHT), (0, SECTION_HEIGHT))
    ports = tuple(
        Port((width * (k + 0.5) / outlets, SECTION_HEIGHT), "foot") for k in range(outlets)
    )
    return Symbol(width, SECTION_HEIGHT, (shape,), Port((width / 2, 0), "top"), ports, free=True)


_PLAIN: dict[str, Callable[[], Symbol]] = {
    "feed": _feed,
    "product": _product,
    "jaw": _jaw,
    "cone": lambda: _mantled(12, 11, 3.4),
    "gyratory": _gyratory,
    "impactor": _impactor,
    "shaft_impactor": _shaft_impactor,
    "rolls": _rolls,
    "press_rolls": _press_rolls,
    "belt": _belt,
    "belt_feeder": _belt_feeder,
    "pan_feeder": _pan_feeder,
    "screw": _screw,
    "cyclone": _cyclone,
    "upflow": _upflow,
    "thickener": _thickener,
    "sump": _sump,
    "pump": _pump,
    "blend": _blend,
    "magnet": _magnet,
    "metal_detector": _detector,
    "instrument": _instrument,
    "water": _water,
}
_COUNTED: dict[str, Callable[[int], Symbol]] = {
    "screen": _screen,
    "drying_screen": _drying_screen,
    "grizzly_feeder": _grizzly_feeder,
    "splitter": _splitter,
    "section": _section,
    "bin": _bin,
    "pile": _pile,
}
