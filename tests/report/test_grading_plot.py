"""Grading plots, read back from the SVG: is the curve where its numbers say?"""

from __future__ import annotations

import itertools
import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from hoggin.balancing import balanced
from hoggin.check.checker import check_file
from hoggin.report import grading_plot
from hoggin.schema.results import Results

EXAMPLES = Path(__file__).parents[2] / "examples"
SVG = "{http://www.w3.org/2000/svg}"
Root = ElementTree.Element


def texts(root: Root) -> list[tuple[float, float, str]]:
    """Every horizontal text: x, y and words."""
    return [
        (float(node.attrib["x"]), float(node.attrib["y"]), node.text or "")
        for node in root.iter(f"{SVG}text")
        if "x" in node.attrib
    ]


def points(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", path)]


def curves(root: Root) -> list[list[tuple[float, float]]]:
    """The curves in the panel; those of the key come after."""
    found = [points(p.attrib["d"]) for p in root.iter(f"{SVG}path") if p.get("class") == "series"]
    return found[: len(found) // 2]


def axes(root: Root) -> tuple[list[tuple[float, float]], list[tuple[float, float]]]:
    """(size mm, x) and (per cent, y) pairs read off the numbers along the axes."""
    numbers = list(root.iter(f"{SVG}text"))
    across = [
        (float(n.text or ""), float(n.attrib["x"])) for n in numbers if n.get("class") == "across"
    ]
    up = [
        (float(n.text or ""), float(n.attrib["y"]) - 4) for n in numbers if n.get("class") == "up"
    ]
    return across, up


def product_plot(results: Results, tag: str) -> Root:
    product = next(p for p in results.products if p.tag == tag)
    return ElementTree.fromstring(grading_plot.one(results, product))


@pytest.mark.parametrize("tag", ["chips", "grit", "fines", "ballast", "base"])
def test_the_curve_read_off_the_axes_gives_the_products_passing(quarry: Results, tag: str) -> None:
    """Read as an engineer would: size on the log axis, per cent on the linear one."""
    root = product_plot(quarry, tag)
    across, up = axes(root)
    ticks_mm, ticks_x = np.array(across).T
    percents, ticks_y = np.array(up).T
    (curve,) = curves(root)
    xs, ys = np.array(curve).T
    product = next(p for p in quarry.products if p.tag == tag)
    for size_mm, passing in zip(quarry.sieves_mm, product.passing, strict=True):
        if ticks_mm[0] <= size_mm <= ticks_mm[-1]:
            x = np.interp(np.log(size_mm), np.log(ticks_mm), ticks_x)
            read = np.interp(-np.interp(x, xs, ys), -ticks_y, percents)
            assert read == pytest.approx(100 * passing, abs=0.1)


def test_the_size_axis_is_logarithmic(quarry: Results) -> None:
    across, _ = axes(product_plot(quarry, "base"))
    steps = [(x1 - x0) / np.log10(d1 / d0) for (d0, x0), (d1, x1) in itertools.pairwise(across)]
    assert steps == pytest.approx([steps[0]] * len(steps), rel=2e-3)


def test_a_band_is_drawn_as_a_closed_hatched_region_through_its_limits(quarry: Results) -> None:
    root = product_plot(quarry, "chips")
    region, _swatch = [p for p in root.iter(f"{SVG}path") if p.get("class") == "area"]
    assert region.attrib["d"].endswith("Z")
    band = next(p for p in quarry.products if p.tag == "chips").bands[0]
    _, up = axes(root)
    percents, ticks_y = np.array(up).T
    read = [np.interp(-y, -ticks_y, percents) / 100 for _, y in points(region.attrib["d"])]
    assert read == pytest.approx([*band.high, *reversed(band.low)], abs=1e-3)


def test_the_worst_sieve_is_told_in_words(quarry: Results) -> None:
    said = " ".join(words for *_, words in texts(product_plot(quarry, "grit")))
    # top size 8 mm, slope 2: (4/8)^2 = 25 % passes 4 mm; the band there is 17 % to 23 %
    assert "worst sieve 4 mm: 25.0 % passing, 17.0 % to 23.0 % wanted, OUTSIDE by 2.0" in said
    assert "NOT MET: Grit 4/8 band" in said


def test_a_product_without_a_band_says_so(quarry: Results) -> None:
    root = product_plot(quarry, "base")
    assert any("No specification" in words for *_, words in texts(root))
    assert not [p for p in root.iter(f"{SVG}path") if p.get("class") == "area"]


@pytest.mark.parametrize("sample", ["quarry", "small", "large", "hostile"])
def test_no_text_lies_on_another_or_leaves_the_sheet(
    sample: str, request: pytest.FixtureRequest
) -> None:
    results: Results = request.getfixturevalue(sample)
    plots = [grading_plot.one(results, p) for p in results.products]
    for plot in (*plots, grading_plot.together(results)):
        root = ElementTree.fromstring(plot)
        boxes = [_box(node) for node in root.iter(f"{SVG}text") if "x" in node.attrib]
        width, height = float(root.attrib["width"]), float(root.attrib["height"])
        for left, top, right, bottom in boxes:
            assert left >= 0 and right <= width and top >= 0 and bottom <= height
        for a, b in itertools.combinations(boxes, 2):
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (a, b)


def _box(node: Root) -> tuple[float, float, float, float]:
    """Room a text takes: about 0.5 em a character in Helvetica (from memory)."""
    size = float(node.get("font-size", "12"))
    wide = 0.5 * size * len(node.text or "")
    shift = {"middle": 0.5, "end": 1.0}.get(node.get("text-anchor", ""), 0.0)
    x, y = float(node.attrib["x"]), float(node.attrib["y"])
    return x - shift * wide, y - 0.75 * size, x - shift * wide + wide, y + 0.2 * size


@pytest.mark.slow
def test_numbered_marks_keep_clear_of_one_another(large: Results) -> None:
    root = ElementTree.fromstring(grading_plot.together(large))
    badges = [
        (float(c.attrib["x"]) + 9, float(c.attrib["y"]) + 9)
        for c in root.iter(f"{SVG}rect")
        if c.get("class") == "badge"
    ]
    assert len(badges) == 2 * len(large.products)  # on the curve and in the key
    for one, other in itertools.combinations(badges, 2):
        assert np.hypot(one[0] - other[0], one[1] - other[1]) > 18  # two radii


def test_text_is_escaped(hostile: Results) -> None:
    for product in hostile.products:
        root = ElementTree.fromstring(grading_plot.one(hostile, product))
        assert not list(root.iter(f"{SVG}script"))
        assert any("</text><script>" in words for *_, words in texts(root))


def test_numbers_in_paths_have_two_decimals(quarry: Results) -> None:
    plot = grading_plot.together(quarry)
    for path in re.findall(r' d="([^"]+)"', plot):
        assert re.fullmatch(r"(M[-\d.]+,[-\d.]+( L[-\d.]+,[-\d.]+)*( Z)? ?)+", path)
        assert all(re.fullmatch(r"-?\d+\.\d\d", n) for n in re.findall(r"-?[\d.]+", path))


def test_a_curve_is_not_drawn_finer_than_it_is_known(quarry: Results) -> None:
    """The sand passes 15 % at 0.063 mm, the finest size here; the axis starts at 0.05 mm."""
    product = next(p for p in quarry.products if p.tag == "fines")
    known = tuple((mm, p) for mm, p in product.curve if mm >= 0.063)
    short = product.model_copy(update={"curve": known})
    root = ElementTree.fromstring(grading_plot.one(quarry, short))
    across, _ = axes(root)
    assert across[0][0] == 0.05
    (curve,) = curves(root)
    x = np.interp(np.log(0.063), *np.array([(np.log(mm), x) for mm, x in across]).T)
    assert curve[0][0] == pytest.approx(x, abs=0.5)


@pytest.mark.parametrize("tag", ["chips", "grit", "fines", "ballast", "base"])
def test_the_curve_is_drawn_to_100_per_cent(quarry: Results, tag: str) -> None:
    root = product_plot(quarry, tag)
    _, up = axes(root)
    (curve,) = curves(root)
    top = next(y for percent, y in up if percent == 100.0)
    assert min(y for _, y in curve) == pytest.approx(top, abs=0.05)


def test_what_the_plant_requires_of_a_sieve_is_marked_where_no_band_is_asked() -> None:
    """`gravel.passing(16 mm) <= 20 %` points down from 20 % at 16 mm, on either axis."""
    plant = balanced(check_file(EXAMPLES / "cookbook" / "washed_gravel.hog"))
    assert plant is not None
    gravel = next(product for product in plant.products if product.tag == "gravel")
    assert not gravel.bands
    root = product_plot(plant, "gravel")
    across, up = axes(root)
    said = [text for _, _, text in texts(root) if text.startswith("required: ")]
    assert said == [
        f"required: gravel.passing({at}" for at in ("16 mm) <= 20 %", "31.5 mm) >= 85 %")
    ]
    ticks_mm, ticks_x = np.array(across).T
    percents, ticks_y = np.array(up).T
    marks = [
        points(p.attrib["d"]) for p in root.iter(f"{SVG}path") if p.get("class") in ("up", "down")
    ]
    for size_mm, percent in ((16.0, 20.0), (31.5, 85.0)):
        x = np.interp(np.log(size_mm), np.log(ticks_mm), ticks_x)
        y = np.interp(percent, percents, ticks_y)
        middles = [np.mean(mark, axis=0) for mark in marks]
        assert any(abs(mx - x) < 3.0 and abs(my - y) < 6.0 for mx, my in middles), size_mm


@pytest.mark.slow
def test_a_feed_has_a_mark_at_each_sieve_that_the_plant_states() -> None:
    plant = balanced(check_file(EXAMPLES / "quarry.hog"))
    assert plant is not None and plant.plant is not None
    root = ElementTree.fromstring(grading_plot.feeds(plant))
    (feed,) = plant.plant.feeds
    (curve,) = curves(root)
    assert len(curve) == len(feed.grading) == 9
