"""The flowsheet, checked on the drawing itself: Graphviz's own layout, the SVG and the PNG."""

from __future__ import annotations

import itertools
import json
import re
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from xml.etree import ElementTree

import networkx
import pytest

from hoggin.errors import HogginError
from hoggin.report import engine, flowsheet
from hoggin.report.layout import fold
from hoggin.schema.results import Results

SVG = "{http://www.w3.org/2000/svg}"
A3_LANDSCAPE_PT = (420 / 25.4 * 72, 297 / 25.4 * 72)  # ISO 216: 420 mm by 297 mm
SAMPLES = ("quarry", "small", "large", "hostile")


@dataclass(frozen=True)
class Rectangle:
    left: float
    bottom: float
    right: float
    top: float

    def overlaps(self, other: Rectangle) -> bool:
        across = self.left < other.right and other.left < self.right
        return across and self.bottom < other.top and other.bottom < self.top

    def shrunk(self, by: float) -> Rectangle:
        return Rectangle(self.left + by, self.bottom + by, self.right - by, self.top - by)

    def holds(self, x: float, y: float) -> bool:
        return self.left < x < self.right and self.bottom < y < self.top


@dataclass(frozen=True)
class Layout:
    boxes: dict[str, Rectangle]
    edges: list[tuple[str, str, list[tuple[float, float]]]]  # tail, head, points along the line
    styles: dict[tuple[str, str], str]
    title_block: Rectangle


def layout_of(results: Results) -> Layout:
    """The layout of the flowsheet as the engine reports it, in points."""
    drawn: dict[str, Any] = json.loads(engine.draw(flowsheet.dot(results), "json"))
    boxes: dict[str, Rectangle] = {}
    names: dict[int, str] = {}
    for node in drawn["objects"]:
        if "pos" not in node:
            continue
        x, y = (float(part) for part in node["pos"].split(","))
        half_width, half_height = 36 * float(node["width"]), 36 * float(node["height"])
        names[node["_gvid"]] = node["name"]
        boxes[node["name"]] = Rectangle(
            x - half_width, y - half_height, x + half_width, y + half_height
        )
    edges, styles = [], {}
    for edge in drawn["edges"]:
        ends = names[edge["tail"]], names[edge["head"]]
        if edge.get("style") != "invis":
            edges.append((*ends, list(_along(edge["pos"]))))
            styles[ends] = edge.get("style", "")
    x, y = (float(part) for part in drawn["lp"].split(","))
    half_width, half_height = 36 * float(drawn["lwidth"]), 36 * float(drawn["lheight"])
    block = Rectangle(x - half_width, y - half_height, x + half_width, y + half_height)
    return Layout(boxes, edges, styles, block)


def _along(pos: str) -> Iterator[tuple[float, float]]:
    """Points on the cubic Bezier pieces of an edge's `pos` attribute."""
    numbers = [tuple(map(float, point.split(","))) for point in pos.split() if point[0] not in "se"]
    for start in range(0, len(numbers) - 1, 3):
        p0, p1, p2, p3 = numbers[start : start + 4]
        for step in range(21):
            t = step / 20
            a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
            yield (
                a * p0[0] + b * p1[0] + c * p2[0] + d * p3[0],
                a * p0[1] + b * p1[1] + c * p2[1] + d * p3[1],
            )


@pytest.fixture(scope="module", params=SAMPLES)
def plant(request: pytest.FixtureRequest) -> Results:
    results: Results = request.getfixturevalue(request.param)
    return results


@pytest.fixture(scope="module")
def layout(plant: Results) -> Layout:
    return layout_of(plant)


def texts(svg: bytes) -> str:
    return " ".join(node.text or "" for node in ElementTree.fromstring(svg).iter(f"{SVG}text"))


def test_no_box_or_label_overlaps_another(layout: Layout) -> None:
    rectangles = {**layout.boxes, "title block": layout.title_block}
    clashes = [
        (a, b)
        for (a, one), (b, other) in itertools.combinations(rectangles.items(), 2)
        if one.overlaps(other)
    ]
    assert clashes == []


def test_no_line_runs_through_a_box_or_label_that_is_not_its_own(layout: Layout) -> None:
    struck = {
        (f"{tail} -> {head}", name)
        for tail, head, points in layout.edges
        for name, rectangle in layout.boxes.items()
        if name not in (tail, head)
        for x, y in points
        if rectangle.shrunk(1.0).holds(x, y)
    }
    assert struck == set()


def test_a_line_never_crosses_its_own_words(layout: Layout) -> None:
    struck = {
        f"{tail} -> {head}"
        for tail, head, points in layout.edges
        for end in (tail, head)
        if end.startswith(("stream ", "mark "))
        for x, y in points
        if layout.boxes[end].shrunk(1.0).holds(x, y)
    }
    assert struck == set()


def test_every_feed_machine_product_and_stream_is_drawn_once(
    plant: Results, layout: Layout
) -> None:
    tags = [t.tag for group in (plant.feeds, plant.machines, plant.products) for t in group]
    expected = {*tags, *(f"stream {stream.name}" for stream in plant.streams)}
    assert {name for name in layout.boxes if not name.startswith("mark ")} == expected


def test_dashed_lines_are_the_recirculating_streams(plant: Results, layout: Layout) -> None:
    dashed = {end for ends, style in layout.styles.items() if style == "dashed" for end in ends}
    drawn_dashed = {name for name in dashed if name.startswith("stream ")}
    assert drawn_dashed == {f"stream {s.name}" for s in plant.streams if s.recirculating}


def test_the_quarry_reads_on_an_a3_sheet(quarry: Results) -> None:
    root = ElementTree.fromstring(flowsheet.svg(flowsheet.dot(quarry)))
    width, height = (float(root.attrib[side].removesuffix("pt")) for side in ("width", "height"))
    scale = min(A3_LANDSCAPE_PT[0] / width, A3_LANDSCAPE_PT[1] / height)
    smallest = min(float(node.attrib["font-size"]) for node in root.iter(f"{SVG}text"))
    assert scale * smallest >= 6.0


@pytest.mark.parametrize(("sample", "sheet"), [("small", "A4"), ("quarry", "A3"), ("large", "A2")])
def test_the_drawing_names_a_sheet_on_which_its_text_is_legible(
    sample: str, sheet: str, request: pytest.FixtureRequest
) -> None:
    svg = flowsheet.svg(flowsheet.dot(request.getfixturevalue(sample)))
    root = ElementTree.fromstring(svg)
    width, height = (float(root.attrib[side].removesuffix("pt")) for side in ("width", "height"))
    across, down = {"A4": (297, 210), "A3": (420, 297), "A2": (594, 420)}[sheet]  # ISO 216, mm
    assert f"on {sheet} landscape" in texts(svg)
    assert 9 * min(across / 25.4 * 72 / width, down / 25.4 * 72 / height) >= 6.0


def test_an_overload_is_told_in_words_and_by_a_heavy_outline(quarry: Results) -> None:
    root = ElementTree.fromstring(flowsheet.svg(flowsheet.dot(quarry)))
    nodes = {
        group.findtext(f"{SVG}title"): group
        for group in root.iter(f"{SVG}g")
        if group.get("class") == "node"
    }

    def said(tag: str) -> str:
        return " ".join(node.text or "" for node in nodes[tag].iter(f"{SVG}text"))

    def heaviest(tag: str) -> float:
        shapes = nodes[tag].iter(f"{SVG}polygon")
        return max(float(shape.get("stroke-width", "1")) for shape in shapes)

    overloaded = [m.tag for m in quarry.machines if m.load is not None and m.load > 1]
    assert overloaded == ["secondary", "tertiary"]
    for tag in overloaded:
        assert "OVER LIMIT" in said(tag)
    assert "OVER LIMIT" not in said("primary")
    assert heaviest("secondary") > heaviest("primary")


def test_streams_show_rate_p80_and_a_key_sieve(quarry: Results) -> None:
    said = texts(flowsheet.svg(flowsheet.dot(quarry)))
    by_name = {stream.name: stream for stream in quarry.streams}
    chips = by_name["finishing.second.over -> chips"]
    assert f"{chips.rate_t_h:.1f} t/h" in said
    assert f"P80 {chips.p80_mm:.1f} mm" in said
    # P50 is 11.7 mm: of the R20/3 sieves 11.2 mm is nearest
    passing = chips.passing[quarry.sieves_mm.index(11.2)]
    assert f"{100 * passing:.0f} % < 11.2 mm" in said


def test_the_title_block_defers_and_promises_nothing(plant: Results) -> None:
    said = texts(flowsheet.svg(flowsheet.dot(plant)))
    assert "Results are predictions for design, not guarantees." in said
    assert "Revision" in said


def test_hostile_names_stay_text(hostile: Results) -> None:
    svg = flowsheet.svg(flowsheet.dot(hostile))
    root = ElementTree.fromstring(svg)
    assert not list(root.iter(f"{SVG}script")) and not list(root.iter(f"{SVG}a"))
    assert '<b>&amp; "quoted"' in texts(svg)
    assert "Größe" in texts(svg)
    assert "\x1b" not in svg.decode() and "\u202e" not in svg.decode()


def test_png_is_a_picture_of_the_same_proportions_as_the_svg(small: Results) -> None:
    dot = flowsheet.dot(small)
    png, root = flowsheet.png(dot), ElementTree.fromstring(flowsheet.svg(dot))
    assert png.startswith(b"\x89PNG\r\n\x1a\n")  # PNG specification (ISO/IEC 15948), clause 5.2
    width, height = struct.unpack(">II", png[16:24])
    points = [float(root.attrib[side].removesuffix("pt")) for side in ("width", "height")]
    assert width == pytest.approx(2 * points[0], abs=3)  # 144 pixels an inch, 72 points an inch
    assert height == pytest.approx(2 * points[1], abs=3)


def test_a_continued_stream_says_where_it_goes_and_where_it_comes_from(quarry: Results) -> None:
    said = texts(flowsheet.svg(flowsheet.dot(quarry)))
    assert "to secondary" in said and "from surge" in said
    dot = flowsheet.dot(quarry)
    assert len(re.findall(r"<B>to ", dot)) == len(re.findall(r"<B>from ", dot)) > 0


@pytest.mark.parametrize("columns", [1, 2, 3, 4])
def test_folding_never_sends_a_stream_back_a_column(quarry: Results, columns: int) -> None:
    folded = fold(quarry, columns)
    for stream in quarry.streams:
        if not stream.recirculating:
            assert folded.column[stream.source] <= folded.column[stream.target]
    assert len(set(folded.column.values())) <= columns


def test_folding_follows_the_longest_way_from_the_feed(quarry: Results) -> None:
    """Depths agree with networkx's longest path on the plant without its returns."""
    onward = networkx.DiGraph([(s.source, s.target) for s in quarry.streams if not s.recirculating])
    depth: dict[str, int] = {}
    for tag in networkx.topological_sort(onward):
        depth[tag] = max((depth[before] + 1 for before in onward.predecessors(tag)), default=0)
    folded = fold(quarry, 2)
    second = [depth[m.tag] for m in quarry.machines if folded.column[m.tag] == 1]
    first = [depth[m.tag] for m in quarry.machines if folded.column[m.tag] == 0]
    assert max(first) < min(second)


def test_a_missing_engine_is_a_plain_sentence(
    small: Results, monkeypatch: pytest.MonkeyPatch, tmp_path: Any
) -> None:
    monkeypatch.setattr("sys.executable", str(tmp_path / "python"))
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(HogginError, match="graphviz-pure"):
        flowsheet.dot(small)


def test_another_engine_is_used_only_when_asked_for(small: Results) -> None:
    with pytest.raises(HogginError, match="no-such-dot"):
        flowsheet.dot(small, other_engine="/nowhere/no-such-dot")


def test_a_text_the_engine_refuses_is_an_error() -> None:
    with pytest.raises(HogginError, match="could not draw"):
        engine.draw("digraph {", "svg")


@pytest.mark.parametrize("columns", [2, 3, 4])
def test_a_crusher_fed_only_by_a_return_stands_beside_the_screen_it_feeds(
    quarry: Results, columns: int
) -> None:
    """Feed to the screen first, its oversize crushed and returned: the usual closed circuit."""
    streams = tuple(
        s.model_copy(update={"name": "surge -> sizing", "target": "sizing"})
        if s.name == "surge -> secondary"
        else s
        for s in quarry.streams
    )
    folded = fold(quarry.model_copy(update={"streams": streams}), columns)
    assert folded.column["secondary"] == folded.column["sizing"]


def test_a_line_of_settings_breaks_between_settings_only(quarry: Results) -> None:
    svg = ElementTree.fromstring(flowsheet.svg(flowsheet.dot(quarry)))
    rows = [node.text for node in svg.iter(f"{SVG}text")]
    assert "chamber coarse, css 32 mm," in rows
    assert "speed 1050 rpm" in rows
