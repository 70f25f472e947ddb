"""Charts read back from their SVG: places by hand, words clear of lines and of one another."""

from __future__ import annotations

import itertools
import re
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.report.chart.ink import PAGE
from hoggin.report.chart.model import (
    Axis,
    Callout,
    Chart,
    Item,
    Key,
    Limit,
    Markers,
    Panel,
    Series,
    box,
)
from hoggin.report.chart.scale import linear
from hoggin.report.chart.svg import svg

SVG = "{http://www.w3.org/2000/svg}"
Root = ElementTree.Element
Box = tuple[float, float, float, float]


def sheet(*items: Item, keys: tuple[Key, ...] = (), up: Axis | None = None) -> Chart:
    across = linear(0.0, 10.0, 5, "hours")
    panel = Panel(across, up or linear(0.0, 100.0, 5, "tonnes"), items, height=200)
    return Chart("A title", "of a plant", (panel,), keys)


def read(chart: Chart) -> Root:
    return ElementTree.fromstring(svg(chart))


def of(root: Root, kind: str) -> list[Root]:
    return [node for node in root.iter() if node.get("class") == kind]


def points(node: Root) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"([\d.]+),([\d.]+)", node.get("d", ""))]


def room(node: Root) -> Box:
    """About half an em a character in Helvetica (from memory)."""
    size = float(node.get("font-size", "12"))
    wide = 0.5 * size * len(node.text or "")
    shift = {"middle": 0.5, "end": 1.0}.get(node.get("text-anchor", ""), 0.0)
    x, y = float(node.attrib["x"]), float(node.attrib["y"])
    return x - shift * wide, y - 0.75 * size, x - shift * wide + wide, y + 0.2 * size


def apart(a: Box, b: Box) -> bool:
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_point_stands_where_the_ticks_put_it() -> None:
    """By hand: 5 of 10 is midway across, 25 of 100 a quarter of the way up."""
    root = read(sheet(Markers(((5.0, 25.0),))))
    (frame,), (disc,) = of(root, "frame-edge"), of(root, "disc")
    left, top, wide, high = (float(frame.attrib[n]) for n in ("x", "y", "width", "height"))
    assert float(disc.attrib["cx"]) == pytest.approx(left + 0.5 * wide, abs=0.01)
    assert float(disc.attrib["cy"]) == pytest.approx(top + 0.75 * high, abs=0.01)


def test_a_decade_is_as_long_as_any_other_on_a_log_axis() -> None:
    up = Axis(0.1, 100.0, log=True)
    root = read(sheet(Series(((0, 0.1), (1, 1.0), (2, 10.0), (3, 100.0))), up=up))
    (line,) = of(root, "series")
    heights = [y for _, y in points(line)]
    steps = [a - b for a, b in itertools.pairwise(heights)]
    assert steps == pytest.approx([200 / 3] * 3, abs=0.02)


def test_what_lies_beyond_an_axis_stays_in_the_frame() -> None:
    root = read(sheet(Series(((-5.0, 50.0), (20.0, 500.0)))))
    (frame,), (line,) = of(root, "frame-edge"), of(root, "series")
    left, top = float(frame.attrib["x"]), float(frame.attrib["y"])
    right = left + float(frame.attrib["width"])
    assert points(line)[0][0] == pytest.approx(left, abs=0.01)
    assert points(line)[1] == pytest.approx((right, top), abs=0.01)


curves = st.lists(st.lists(st.floats(2.0, 98.0), min_size=4, max_size=4), min_size=1, max_size=6)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(curves, st.floats(5.0, 95.0))
def test_words_in_a_panel_keep_clear_of_lines_and_of_one_another(
    heights: list[list[float]], limit: float
) -> None:
    lines = [
        Series(tuple(zip((0.0, 3.0, 7.0, 10.0), ys, strict=True)), tag=f"{n}.5")
        for n, ys in enumerate(heights)
    ]
    callouts = [Callout(f"p{n}", (5.0, ys[1])) for n, ys in enumerate(heights)]
    root = read(sheet(*lines, *callouts, Limit(limit)))
    words = of(root, "label")
    boxes = [room(node) for node in words]
    for a, b in itertools.combinations(boxes, 2):
        assert apart(a, b)
    drawn = [points(node) for node in (*of(root, "series"), *of(root, "limit"))]
    for node, it in zip(words, boxes, strict=True):
        own = int((node.text or "").split(".")[0]) if "." in (node.text or "") else None
        for place, line in enumerate(drawn):
            if place != own:
                assert not any(_crosses(it, a, b) for a, b in itertools.pairwise(line))


def _crosses(it: Box, a: tuple[float, float], b: tuple[float, float]) -> bool:
    """Whether a segment, looked at in 200 places, enters a box."""
    places = ((a[0] + (b[0] - a[0]) * n / 200, a[1] + (b[1] - a[1]) * n / 200) for n in range(201))
    return any(it[0] < x < it[2] and it[1] < y < it[3] for x, y in places)


@pytest.mark.slow
def test_a_badge_stands_even_where_nothing_is_clear() -> None:
    same = ((0.0, 50.0), (10.0, 50.0))
    lines = [Series(same, tag=str(n), badge=True) for n in range(1, 9)]
    badges = [node.text for node in of(read(sheet(*lines)), "in-badge")]
    assert badges == ["1", "2", "3", "4", "5", "6", "7", "8"]


def test_a_badge_of_a_line_along_the_frame_stands_inside() -> None:
    root = read(sheet(Series(((0.0, 100.0), (10.0, 100.0)), tag="1", badge=True)))
    (frame,), (badge,) = of(root, "frame-edge"), of(root, "badge")
    assert float(badge.attrib["y"]) >= float(frame.attrib["y"])


def test_the_legend_shows_what_it_explains_and_wraps_within_the_sheet() -> None:
    dashed = Series(((0.0, 1.0), (5.0, 20.0)), dash="9 4")
    keys = (Key("word " * 60, (dashed,)), *(Key(f"state {n}", inline=True) for n in range(20)))
    root = read(sheet(dashed, keys=keys))
    assert [node.get("stroke-dasharray") for node in of(root, "series")] == ["9 4", "9 4"]
    boxes = [room(node) for node in root.iter(f"{SVG}text") if "x" in node.attrib]
    assert all(
        it[0] >= 0 and it[2] <= 820 and it[3] <= float(root.attrib["height"]) for it in boxes
    )
    assert all(apart(a, b) for a, b in itertools.combinations(boxes, 2))


def test_a_number_and_its_unit_stay_on_one_line() -> None:
    words = " ".join(["makes 1200 t more"] * 20)
    root = read(sheet(keys=(Key(words),)))
    lines = [node.text or "" for node in root.iter(f"{SVG}text")]
    assert not [line for line in lines if re.search(r"makes 1200$", line)]


@pytest.mark.slow
@given(st.text(max_size=40))
def test_any_text_is_escaped(text: str) -> None:
    nasty = f'</text><script>&"{text}'
    chart = Chart(nasty, nasty, sheet(Limit(50.0, nasty)).panels, (Key(nasty),), said=nasty)
    for drawing in (svg(chart), svg(chart, PAGE)):
        assert not list(ElementTree.fromstring(drawing).iter(f"{SVG}script"))


def test_a_page_gives_a_drawing_its_own_colours() -> None:
    drawing = svg(sheet(Series(((0, 0), (1, 1))), box(0, 1, 1, 0, "tint"), Limit(3.0, "x")), PAGE)
    assert "#" not in drawing and "style" not in drawing and "var(--ink)" in drawing
