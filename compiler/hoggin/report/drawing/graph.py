"""Results -> what is drawn of them: the nodes and lines of a flowsheet, without places.

Nothing here depends on a number that a setting changes, so that a changed setting keeps its layout.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from hoggin.report import wording
from hoggin.report.drawing.diagram import Revised, StreamKind
from hoggin.report.drawing.equipment_list import description
from hoggin.report.wording import clean, shorten
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Machine
from hoggin.schema.results import (
    FeedResult,
    MachineResult,
    ProductResult,
    Results,
    StreamResult,
    WaterStreamResult,
)

LONGEST = 28  # letters of a line of a label
MOST_LINES = 2  # of a name, or of what is said of it
Attention = Literal["", "watch", "over", "void"]


@dataclass(frozen=True, slots=True)
class Node:
    """A feed, machine or product. `symbol` is a name of `symbols`."""

    name: str
    symbol: str
    words: tuple[str, ...]
    decks: int = 0
    several: bool = False
    attention: Attention = ""
    sheet: str = ""  # that the plant puts it on
    revised: Revised = ""
    said: tuple[str, ...] = ()  # below its words: what differs from an earlier revision


@dataclass(frozen=True, slots=True)
class Line:
    """A stream. `outlet` is the place of its outlet among those of its source."""

    stream: str
    number: str
    source: str
    outlet: int
    target: str
    kind: StreamKind = "rock"
    returns: bool = False
    revised: Revised = ""


@dataclass(frozen=True, slots=True)
class Graph:
    """Nodes in the order of flow, and the lines between them."""

    nodes: tuple[Node, ...]
    lines: tuple[Line, ...]


def graph_of(results: Results) -> Graph:
    """All that is drawn of a plant."""
    outlets = _outlets(results)
    stated = {m.tag: m for m in results.plant.machines} if results.plant is not None else {}
    nodes = [
        *map(_feed, results.feeds),
        *(
            _machine(machine, stated.get(machine.tag), outlets.get(machine.tag, ()))
            for machine in results.machines
        ),
        *map(_product, results.products),
    ]
    flowing = [water for water in results.water_streams if water.water_m3_h > 0]
    lines = (
        *(_line(stream, outlets[stream.source], results) for stream in results.streams),
        *map(_water, flowing),
    )
    known = {node.name for node in nodes}
    ends = dict.fromkeys(end for line in lines for end in (line.source, line.target))
    called = {machine.tag: f"{machine.shown_tag}, clear water" for machine in results.machines}
    supplies = {_supply(water): called.get(water.source, water.source) for water in flowing}
    goes_to = {line.source: line.target for line in lines}
    before: dict[str, list[Node]] = {}  # by what it goes to: a supply is drawn above it
    for end in ends:
        if end not in known:
            supply = _node(end, "water", (supplies.get(end, end),))
            before.setdefault(goes_to.get(end, ""), []).append(supply)
    ordered = [one for node in nodes for one in (*before.pop(node.name, ()), node)]
    return Graph((*ordered, *(one for rest in before.values() for one in rest)), lines)


def _outlets(results: Results) -> dict[str, tuple[str, ...]]:
    """The outlets of each source of a stream: those that its kind has, then all others in use."""
    found: dict[str, dict[str, None]] = {}
    for machine in results.machines:
        own = found.setdefault(machine.tag, {})
        if KINDS[machine.kind].decked:
            own |= dict.fromkeys(f"{deck.name}.over" for deck in machine.decks)
            own["under"] = None
        else:
            own |= dict.fromkeys(KINDS[machine.kind].outlets if not _has_draw(machine) else ())
    for stream in results.streams:
        found.setdefault(stream.source, {})[stream.outlet] = None
    return {tag: tuple(names) for tag, names in found.items()}


def _has_draw(machine: MachineResult) -> bool:
    return KINDS[machine.kind].stores


def _line(stream: StreamResult, outlets: Sequence[str], results: Results) -> Line:
    wet = {m.tag for m in results.machines if KINDS[m.kind].slurry}
    slurry = stream.source in wet or stream.target in wet
    return Line(
        stream=stream.name,
        number=stream.number,
        source=stream.source,
        outlet=outlets.index(stream.outlet),
        target=stream.target,
        kind="slurry" if slurry else "rock",
        returns=stream.recirculating,
    )


def _water(water: WaterStreamResult) -> Line:
    """A stream of water alone, to a machine, though it be sprayed on a deck of it."""
    machine, _, _ = water.target.rpartition(".")
    return Line(
        stream=water.number,
        number=water.number,
        source=_supply(water),
        outlet=0,
        target=machine if water.kind == "spray" else water.target,
        kind="water",
    )


def _supply(water: WaterStreamResult) -> str:
    """The node that a stream of water comes from: one of its own, so that no lines run from one
    supply to all over the sheet."""
    return f"{water.source} {water.number}"


def _node(
    name: str,
    symbol: str,
    lines: tuple[str, ...],
    decks: int = 0,
    several: bool = False,
    attention: Attention = "",
    sheet: str = "",
) -> Node:
    words = tuple(row for line in dict.fromkeys(lines) for row in folded(line))
    return Node(name, symbol, words, decks, several, attention, sheet)


def folded(text: str) -> list[str]:
    """A text on few lines, of which none is long; a text that needs more is cut short."""
    return textwrap.wrap(shorten(text, LONGEST * MOST_LINES), LONGEST)[:MOST_LINES]


def _feed(feed: FeedResult) -> Node:
    return _node(feed.tag, "feed", (feed.shown_tag, feed.title or feed.material))


def _product(product: ProductResult) -> Node:
    attention: Attention = "void" if product.void_by else ""
    if not attention and any(not band.met for band in product.bands):
        attention = "over"
    lines = (product.shown_tag, product.title)
    return _node(product.tag, "product", lines, attention=attention)


def _machine(machine: MachineResult, stated: Machine | None, outlets: Sequence[str]) -> Node:
    several = machine.count > 1
    what = description(machine)
    return _node(
        machine.tag,
        _symbol(machine, stated, max(1, len(outlets))),
        (machine.shown_tag, f"{machine.count} x {what}" if several else what),
        len(machine.decks),
        several,
        _attention(machine),
        clean(machine.sheet),
    )


def _attention(machine: MachineResult) -> Attention:
    if machine.void_by:
        return "void"
    worst = wording.worst_verdict([check for _, check in wording.all_checks(machine)])
    found: Mapping[str, Attention] = {"OVER LIMIT": "over", "WATCH": "watch"}
    return found.get(worst, "")


def _symbol(machine: MachineResult, stated: Machine | None, outlets: int) -> str:
    """The symbol of a machine. Its class is known by the models it uses: a class of the plant's
    own, whatever it is called, uses those of the one that it extends."""
    models = {role: use.model for role, use in stated.models.items()} if stated else {}
    match machine.kind:
        case "crusher":
            return _crusher(models, machine.about)
        case "screen":
            drying = "dewatering" in machine.about.lower()
            return f"{'drying_screen' if drying else 'screen'}_{len(machine.decks)}"
        case "grizzly_feeder":
            return f"grizzly_feeder_{len(machine.decks)}"
        case "feeder":
            return "pan_feeder" if models.get("drive") == "vibrating" else "belt_feeder"
        case "classifier":
            return {"spiral": "screw", "rated": "upflow"}.get(models.get("capacity", ""), "cyclone")
        case "splitter":
            return f"splitter_{outlets}"
        case "bin":
            return f"bin_{outlets}"
        case "stockpile":
            return f"pile_{outlets}"
        case "conveyor":
            return "belt"
        case kind:
            return kind


def _crusher(models: Mapping[str, str], about: str) -> str:
    breakage, capacity = models.get("breakage", ""), models.get("capacity", "")
    if breakage == "impact":
        return "impactor" if capacity == "rotor" else "shaft_impactor"
    if capacity == "roll":
        return "press_rolls" if breakage == "pressed_bed" else "rolls"
    if capacity == "jaw":
        return "jaw"
    return "gyratory" if "gyratory" in about.lower() else "cone"
