"""The flowsheet as a part of the page: each feed, machine, product and stream can be selected.

The diagrams are those of the documents, without their frames, which hold what the page has below.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from hoggin.report.drawing.block import THIN, outline
from hoggin.report.drawing.diagram import Box, Diagram, Label, Route
from hoggin.report.drawing.figure import figure
from hoggin.report.drawing.layout import diagrams
from hoggin.report.drawing.lettering import width_of
from hoggin.report.drawing.measures import LINE as LEADING
from hoggin.report.drawing.measures import TEXT, connector_box, flag_box
from hoggin.report.drawing.model import Drawing, Sheet, Stroke
from hoggin.report.drawing.model import Item as Drawn
from hoggin.report.drawing.sheet import symbols_of
from hoggin.report.drawing.svg import svg
from hoggin.report.wording import clean, rate
from hoggin.schema.results import Results
from hoggin.view.items import Item, items, water_key
from hoggin.view.rates import labelled, rate_boxes, rate_words

MARGIN = 3.0  # mm around a diagram
PLATE = 0.5  # mm that the plate behind a tag is wider on each side
_SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True, slots=True)
class ShownSheet:
    """One sheet of the drawing: its name, and its SVG."""

    title: str
    drawing: str


@dataclass(frozen=True, slots=True)
class _Part:
    """What a group of the SVG is: what can be selected; the line of a stream; a way to another
    sheet, of which it has the number."""

    kind: Literal["item", "line", "way", "plain"]
    key: str = ""
    sheet: int = 0


def sheets(results: Results, changed: Mapping[str, str]) -> tuple[ShownSheet, ...]:
    """The sheets of the drawing. `changed` are the items that the last save changed, by their keys,
    each with the words for it. Raises: HogginError when it cannot be drawn."""
    found = diagrams(results)
    plant = _Plant.of(results, changed)
    return tuple(
        ShownSheet(clean(diagram.title), _Making(plant, found, n).svg())
        for n, diagram in enumerate(found)
    )


@dataclass(frozen=True, slots=True)
class _Plant:
    """What all sheets need: the items by their keys, the keys and rates of streams by numbers."""

    title: str
    items: Mapping[str, Item]
    keys: Mapping[str, str]
    rates: Mapping[str, str]
    changed: Mapping[str, str]

    @classmethod
    def of(cls, results: Results, changed: Mapping[str, str]) -> _Plant:
        rock, water = results.streams, results.water_streams
        return cls(
            title=clean(results.title),
            items={item.key: item for item in items(results)},
            keys={s.number: s.name for s in rock} | {w.number: water_key(w) for w in water},
            rates={s.number: rate(s.rate_t_h) for s in rock}
            | {w.number: rate(w.water_m3_h) for w in water},
            changed=changed,
        )


class _Making:
    """One sheet while it is made."""

    def __init__(self, plant: _Plant, found: tuple[Diagram, ...], n: int) -> None:
        self._plant = plant
        self._diagram = found[n]
        self._number = n + 1
        self._several = len(found) > 1
        sheets = {one.title: k for k, one in enumerate(found, start=1)}
        placed = self._diagram.placed
        self._ways = {p.name: sheets[p.name] for p in placed if p.symbol.startswith("section_")}
        self._things = [p for p in placed if p.name in plant.items and p.name not in self._ways]
        self._rooms = rate_boxes(self._diagram, plant.rates)
        self._parts: dict[_Part, int] = {}

    def svg(self) -> str:
        drawn = tuple(self._drawn())
        width, height = self._diagram.width, self._diagram.height
        sheet = Sheet("", width, height, "", drawn)
        (text,) = svg(Drawing("", (sheet,), symbols_of((sheet,))))
        root = ElementTree.fromstring(text)
        self._frame(root)
        parts = list(self._parts)
        boxes = self._boxes()
        for group in root.iter(f"{_SVG}g"):
            if "data-of" in group.attrib:
                self._group(group, parts[int(group.attrib.pop("data-of"))], boxes)
        ElementTree.register_namespace("", _SVG.strip("{}"))
        return ElementTree.tostring(root, encoding="unicode")

    # --- what is drawn

    def _drawn(self) -> Iterator[Drawn]:
        """The figure, and a rate beside each number. What belongs together has the place of its
        part in `of`."""
        for placed in self._things:
            if placed.name in self._plant.changed:
                yield self._owned(_plate(placed.label), _Part("item", placed.name))
        for item in figure(self._diagram).items:
            part = self._part(item)
            if part.kind == "item" and part.key in self._plant.changed and item.layer == "number":
                item = replace(item, fill="ink") if isinstance(item, Stroke) else item
            yield self._owned(item, part)
        for number, room in self._rooms.items():
            words = rate_words(self._plant.rates[number], room)
            yield self._owned(words, _Part("item", self._plant.keys[number]))

    def _owned(self, item: Drawn, part: _Part) -> Drawn:
        return replace(item, of=str(self._parts.setdefault(part, len(self._parts))))

    def _part(self, item: Drawn) -> _Part:
        kind, _, name = item.of.partition(" ")
        if kind == "machine":
            if name in self._ways:
                return _Part("way", sheet=self._ways[name])
            return _Part("item", name) if name in self._plant.items else _Part("plain")
        key = self._plant.keys.get(
            name, ""
        )  # the line between two sheets may be of several streams
        if not key:  # the line between two parts of a plant may be of several streams
            return _Part("plain")
        match item.layer:
            case "number":
                return _Part("item", key)
            case "connector":
                return _Part("way", key, self._beyond(name))
            case _:
                return _Part("line", key)

    def _beyond(self, number: str) -> int:
        return next(c.sheet for c in self._diagram.connectors if c.number == number)

    def _boxes(self) -> Mapping[str, tuple[Box, ...]]:
        """What one points at to select an item: its words and its symbol, or its number and
        its rate."""
        named = {p.name: (_up_to(labelled(p), p.box), p.box) for p in self._things}
        numbered = {
            self._plant.keys.get(r.flag.number, ""): self._flag(r) for r in self._diagram.routes
        }
        return {**named, **numbered}

    def _flag(self, route: Route) -> tuple[Box, ...]:
        number = route.flag.number
        flag = flag_box(number, route.flag.centre)
        return (flag, self._rooms[number]) if number in self._rooms else (flag,)

    # --- what the page can do with it

    def _frame(self, root: Element) -> None:
        """Without what a file needs: the page has the styles, and fits the size."""
        for name in ("title", "style", "rect"):
            for found in root.findall(f"{_SVG}{name}"):
                root.remove(found)
        for size in ("width", "height"):
            root.attrib.pop(size)
        width, height = self._diagram.width + 2 * MARGIN, self._diagram.height + 2 * MARGIN
        box = f"{-MARGIN:g} {-MARGIN:g} {width:g} {height:g}"
        root.set("viewBox", box)
        root.set("data-box", box)  # the page looks at pieces of it
        root.set("role", "group")
        title = f"Flowsheet of {self._plant.title}"
        if self._several:
            title += f", sheet {self._number}: {clean(self._diagram.title)}"
        root.set("aria-label", title)
        root.set("aria-describedby", "keys")
        for symbol in root.iter(f"{_SVG}g"):
            if "id" in symbol.attrib:  # of the sheet, for the page may have several
                symbol.set("id", f"sheet-{self._number}-{symbol.attrib['id']}")
        for use in root.iter(f"{_SVG}use"):
            use.set("href", f"#sheet-{self._number}-{use.attrib['href'].removeprefix('#')}")

    def _group(self, group: Element, part: _Part, boxes: Mapping[str, tuple[Box, ...]]) -> None:
        match part.kind:
            case "item":
                item = self._plant.items[part.key]
                _button(group, item, self._plant.changed.get(item.key, ""))
                group[:0] = map(_hit, boxes[item.key])
                return
            case "line":
                group.set("class", "piece")
                group.set("data-key", part.key)
                group.append(self._grip(part.key))
            case "way":
                group.set("class", "way")
                group.set("data-sheet", str(part.sheet))
                group.set("data-key", part.key)
                group[:0] = map(_hit, self._plates(part.key))
        group.set("aria-hidden", "true")  # the sheet's list and the items say the same

    def _plates(self, key: str) -> Iterator[Box]:
        """The plates of a stream that goes on, on another sheet."""
        for connector in self._diagram.connectors:
            if key and self._plant.keys.get(connector.number) == key:
                yield connector_box(connector)

    def _grip(self, key: str) -> Element:
        """A wide line that nobody sees, for the pointer."""
        route = next(r for r in self._diagram.routes if self._plant.keys.get(r.flag.number) == key)
        points = " L".join(f"{x:g} {y:g}" for x, y in route.points)
        return Element(f"{_SVG}path", {"class": "grip", "d": f"M{points}"})


def _up_to(label: Box, symbol: Box) -> Box:
    """The room of a label that is left of its symbol or below it, with the gap between them."""
    if label.y > symbol.y + symbol.height:
        gap = label.y - symbol.y - symbol.height
        return replace(label, y=label.y - gap, height=label.height + gap)
    return replace(label, width=max(label.width, symbol.x - label.x))


def _plate(label: Label) -> Drawn:
    """Behind the tag of what the last save changed; the page's styles turn the tag's colour."""
    box = label.box
    width = width_of(label.lines[0], TEXT, bold=True) + 2 * PLATE
    room = box.width + 2 * PLATE - width
    left = box.x - PLATE + {"start": 0.0, "middle": room / 2, "end": room}[label.anchor]
    plate = Box(left, box.y, width, LEADING)
    return replace(outline(plate, THIN, "tag"), fill="ink")


def _button(group: Element, item: Item, changed: str) -> None:
    group.set("class", f"item {item.kind}{' changed' if changed else ''}")
    group.set("role", "button")
    group.set("tabindex", "-1")  # the page lets one at a time be reached by Tab
    group.set("aria-label", ", ".join(filter(None, (item.label, changed))))
    group.set("data-key", item.key)


def _hit(box: Box) -> Element:
    size = {"x": box.x, "y": box.y, "width": box.width, "height": box.height}
    return Element(
        f"{_SVG}rect", {"class": "hit", **{name: f"{value:g}" for name, value in size.items()}}
    )
