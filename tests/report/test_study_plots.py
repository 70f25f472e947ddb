"""What the plots of studies draw, read back from their SVG: places by hand, texts escaped."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree

import pytest

from hoggin.report import contour_plot, ranking_plot, sweep_plot
from hoggin.studies.sweep.document import (
    Sweep,
    SweptLimit,
    SweptOutput,
    SweptRequirement,
    SweptSetting,
)
from hoggin.studies.uncertainty.document import Cause, Chance, OutputSpread, Uncertainty

SVG = "{http://www.w3.org/2000/svg}"
NASTY = 'a<b & "c"'


def sweep(
    values: tuple[float | None, ...],
    settings: tuple[SweptSetting, ...],
    feasible: tuple[tuple[float, float], ...] = (),
) -> Sweep:
    margins = tuple(None if v is None else 60.0 - v for v in values)
    met = tuple(m is not None and m >= 0 for m in margins)
    return Sweep(
        title=NASTY,
        revision="A",
        source_file="p.hog",
        compiler_version="0",
        settings=settings,
        outputs=(
            SweptOutput(
                name="a.rate",
                unit="t/h",
                values=values,
                limits=(SweptLimit(requirement=0, low=None, high=60.0),),
            ),
        ),
        requirements=(
            SweptRequirement(
                text="a.rate <= 60 t/h",
                unit="t/h",
                slack=1e-9,
                margins=margins,
                verdicts=tuple("met" if one else "not met" for one in met),
            ),
        ),
        refused=tuple("a loop can't settle" if v is None else "" for v in values),
        overloaded=((),) * len(values),
        all_met=met,
        feasible=feasible,
    )


LINE = sweep(
    (20.0, 40.0, 60.0, None, 100.0),
    (SweptSetting(name="s.cut", unit="%", values=(10, 20, 30, 40, 50)),),
    ((10.0, 30.0),),
)
GRID = sweep(
    tuple(float(x * y) for x in (1, 2, 3) for y in (10, 20, 30)),
    (
        SweptSetting(name="x", unit="", values=(1, 2, 3)),
        SweptSetting(name="y", unit="mm", values=(10, 20, 30)),
    ),
)


def drawn(text: str) -> ElementTree.Element:
    return ElementTree.fromstring(text)


def of(root: ElementTree.Element, tag: str, **attributes: str) -> list[ElementTree.Element]:
    found = root.iter(f"{SVG}{tag}")
    return [n for n in found if all(n.get(k) == v for k, v in attributes.items())]


def test_the_stretch_that_meets_all_is_hatched_where_it_lies() -> None:
    root = drawn(sweep_plot.plot(LINE))
    areas = of(root, "path", **{"class": "area"})
    corners = [float(n) for n in re.findall(r"([\d.]+),", areas[0].get("d", ""))]
    points = [float(n.get("cx", "nan")) for n in of(root, "circle", r="3.20")]
    assert min(corners) == pytest.approx(points[0], abs=0.02)  # from 10 % ...
    assert max(corners) == pytest.approx(points[2], abs=0.02)  # ... to 30 %
    assert NASTY in "".join(root.itertext())


def test_the_curve_breaks_at_a_step_without_a_balance() -> None:
    root = drawn(sweep_plot.plot(LINE))
    points = [float(n.get("cx", "nan")) for n in of(root, "circle", r="3.20")]
    assert len(points) == 4
    (first, last) = of(root, "path", **{"class": "series"})
    places = [float(x) for x in re.findall(r"([\d.]+),", first.get("d", ""))]
    assert places == sorted(points)[:3], "from 10 to 30 %, none beyond"
    assert " L" not in last.get("d", ""), "the last step stands alone"
    text = "".join(root.itertext())
    assert "no balance: 1 of 5 steps" in text
    assert "at most 60 t/h" in text


def test_steps_of_a_list_are_not_joined() -> None:
    (setting,) = LINE.settings
    listed = LINE.model_copy(
        update={"settings": (setting.model_copy(update={"scale": "steps"}),), "feasible": ()}
    )
    root = drawn(sweep_plot.plot(listed))
    assert of(root, "path", **{"class": "series"}) == []


def test_lines_of_equal_value_and_the_limit_lie_where_the_formula_puts_them() -> None:
    """The result is x y; on a line of 60 the product is 60, at every point."""
    ((name, text),) = contour_plot.plots(GRID).items()
    assert name == "a.rate.svg"
    root = drawn(text)
    limit, *_swatch = of(root, "path", **{"stroke-dasharray": "9 5"})
    numbers = [float(n) for n in re.findall(r"[\d.]+", limit.get("d", ""))]
    (frame,) = of(root, "rect", **{"class": "frame-edge"})
    left, top, wide, high = (float(frame.get(n, "nan")) for n in ("x", "y", "width", "height"))
    right, foot = left + wide, top + high
    for across, up in zip(numbers[::2], numbers[1::2], strict=True):
        x = 1 + 2 * (across - left) / (right - left)
        y = 10 + 20 * (foot - up) / (foot - top)
        assert x * y == pytest.approx(60.0, rel=2e-3)
    assert len(of(root, "circle", r="1.80")) == 9


def test_a_result_that_is_the_same_everywhere_is_told_in_words() -> None:
    level = GRID.outputs[0].model_copy(update={"values": (42.0,) * 9})
    (text,) = contour_plot.plots(GRID.model_copy(update={"outputs": (level,)})).values()
    assert "The same at every step: 42 t/h." in "".join(drawn(text).itertext())


def test_steps_without_a_balance_are_crosses_on_a_field() -> None:
    values = tuple(None if n == 4 else v for n, v in enumerate(GRID.outputs[0].values))
    holed = sweep(values, GRID.settings)
    (text,) = contour_plot.plots(holed).values()
    root = drawn(text)
    assert len(of(root, "circle", r="1.80")) == 8
    assert "balance, at 1 of 9" in "".join(root.itertext())


def test_what_holds_wherever_there_is_a_balance_is_not_called_missed() -> None:
    values = tuple(None if n == 4 else 10.0 + n for n in range(9))
    (text,) = contour_plot.plots(sweep(values, GRID.settings)).values()
    said = "".join(drawn(text).itertext())
    assert "a.rate <= 60 t/h: met wherever there is a balance" in said
    (text,) = contour_plot.plots(sweep((99.0,) * 9, GRID.settings)).values()
    assert "a.rate <= 60 t/h: NOT MET anywhere" in "".join(drawn(text).itertext())


def test_bars_are_as_long_as_their_indices() -> None:
    causes = tuple(
        Cause(number=name, first=first, first_error=0.02, total=total, total_error=0.05)
        for name, first, total in ((NASTY, 0.6, 0.75), ("css", 0.2, 0.25), ("idle", 0.0, 0.001))
    )
    spread = OutputSpread(
        name="a.rate",
        unit="t/h",
        at_start=60.0,
        count=100,
        mean=60.0,
        deviation=3.0,
        p10=56.0,
        p50=60.0,
        p90=64.0,
        causes=causes,
        foremost=True,
    )
    still = spread.model_copy(update={"name": "b.rate", "causes": ()})
    study = Uncertainty(
        title="t",
        revision="",
        source_file="p.hog",
        compiler_version="0",
        method="latin",
        seed=0,
        samples=100,
        cases=400,
        left_out=0,
        unsettled=0,
        missing=0,
        ranked=100,
        reasons=(),
        numbers=(),
        outputs=(spread, still),
        chances=(Chance(text="r", met=1, not_judged=0, samples=2, chance=0.5, low=0.1, high=0.9),),
        all_together=None,
        overloaded=(),
    )
    root = drawn(ranking_plot.plot(study, ["a.rate", "b.rate", "a.rate"]))
    totals = [
        max(places) - min(places)
        for bar in of(root, "path", fill="url(#slant)")
        for places in [[float(x) for x in re.findall(r"([\d.]+),", bar.get("d", ""))]]
    ]
    assert len(totals) == 3, "two bars, and the last is the key's"
    assert totals[0] / totals[1] == pytest.approx(0.75 / 0.25, rel=1e-3)
    text = "".join(root.itertext())
    assert NASTY in text and "75 %, alone 60 %" in text and "idle" not in text
    assert "b.rate" not in text
