"""The flowsheet as a part of the page: each feed, machine, product and stream can be selected."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from hoggin.report import flowsheet
from hoggin.report.wording import clean
from hoggin.schema.results import Results
from hoggin.view.items import Item, items

_SVG = "http://www.w3.org/2000/svg"
_ARROW = "->"


def drawing(results: Results) -> str:
    """The drawing as SVG for a page. Raises: HogginError when it cannot be drawn."""
    root = ElementTree.fromstring(flowsheet.svg(flowsheet.dot(results)))
    found = items(results)
    boxes = {clean(item.key): item for item in found if item.kind != "stream"}
    words = {clean(f"stream {item.key}"): item for item in found if item.kind == "stream"}
    marks = {clean(f"mark stream {item.key}"): item for item in found if item.kind == "stream"}
    for group in list(root.iter(f"{{{_SVG}}}g")):
        name = _title(group)
        if group.get("class") == "edge":
            _line(group, next(_ends(name, {**words, **marks}), None))
        elif name in boxes or name in words:
            _button(group, boxes.get(name) or words[name])
        elif name in marks:
            _line(group, marks[name])
    _frame(root, results)
    ElementTree.register_namespace("", _SVG)
    return ElementTree.tostring(root, encoding="unicode")


def _title(group: Element) -> str:
    """The engine's name of a group; it goes, for a browser would show it as a hint."""
    title = group.find(f"{{{_SVG}}}title")
    if title is None:
        return ""
    group.remove(title)
    return title.text or ""


def _ends(edge: str, streams: dict[str, Item]) -> Iterator[Item]:
    """The stream that an edge is a piece of: its words, or its mark, are at one of the ends."""
    for name, item in streams.items():
        if edge.startswith(f"{name}{_ARROW}") or edge.endswith(f"{_ARROW}{name}"):
            yield item


def _button(group: Element, item: Item) -> None:
    group.attrib.pop("id", None)
    group.set("class", f"item {item.kind}")
    group.set("role", "button")
    group.set("tabindex", "-1")  # the page lets one at a time be reached by Tab
    group.set("aria-label", item.label)
    group.set("data-key", item.key)


def _line(group: Element, item: Item | None) -> None:
    """Pieces of a stream beside its words: for the pointer only, they add no information."""
    group.attrib.pop("id", None)
    group.set("aria-hidden", "true")
    if item is None:
        return
    group.set("class", "piece")
    group.set("data-key", item.key)
    for path in group.findall(f"{{{_SVG}}}path"):
        grip = Element(f"{{{_SVG}}}path", {"class": "grip", "d": path.get("d", ""), "fill": "none"})
        group.append(grip)


def _frame(root: Element, results: Results) -> None:
    for size in ("width", "height"):
        root.attrib.pop(size, None)  # the page fits it into its place
    root.set("role", "group")
    root.set("aria-label", f"Flowsheet of {clean(results.title)}")
    root.set("aria-describedby", "keys")
