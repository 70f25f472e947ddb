"""What the plots of studies draw, read back from their SVG: places by hand, texts escaped."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree

import pytest

from hoggin.report import contour_plot, ranking_plot, sweep_plot
from hoggin.report.axes import Axis, decimals, ticks
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
                text="a.rate <= 60 t/h", unit="t/h", slack=1e-9, margins=margins, met=met
            ),
        ),
        refused=tuple("a loop can't settle" if v is None else "" for v in values),
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
    (band,) = of(root, "rect", fill="url(#met)")
    points = [float(n.get("cx", "nan")) for n in of(root, "circle", r="3.2")]
    start, width = float(band.get("x", "nan")), float(band.get("width", "nan"))
    assert start == pytest.approx(points[0], abs=0.02)  # from 10 % ...
    assert start + width == pytest.approx(points[2], abs=0.02)  # ... to 30 %
    assert NASTY in "".join(root.itertext())


def test_the_curve_breaks_at_a_step_without_a_balance() -> None:
    root = drawn(sweep_plot.plot(LINE))
    assert len(of(root, "circle", r="3.2")) == 4
    assert len(of(root, "path", stroke="#111111")) == 2, "10 to 20 % and 20 to 30 %, none beyond"
    text = "".join(root.itertext())
    assert "for want of a balance: 1 of 5 steps" in text
    assert "at most 60 t/h" in text


def test_steps_of_a_list_are_not_joined() -> None:
    (setting,) = LINE.settings
    listed = LINE.model_copy(
        update={"settings": (setting.model_copy(update={"scale": "steps"}),), "feasible": ()}
    )
    root = drawn(sweep_plot.plot(listed))
    assert of(root, "path", stroke="#111111") == []


def test_lines_of_equal_value_and_the_limit_lie_where_the_formula_puts_them() -> None:
    """The result is x y; on a line of 60 the product is 60, at every point."""
    ((name, text),) = contour_plot.plots(GRID).items()
    assert name == "a.rate.svg"
    root = drawn(text)
    (limit,) = of(root, "path", **{"stroke-dasharray": "9 5"})
    numbers = [float(n) for n in re.findall(r"[\d.]+", limit.get("d", ""))]
    left, right = contour_plot.LEFT, contour_plot.WIDTH - contour_plot.RIGHT
    foot, top = contour_plot.TOP + contour_plot.HEIGHT, contour_plot.TOP
    for across, up in zip(numbers[::2], numbers[1::2], strict=True):
        x = 1 + 2 * (across - left) / (right - left)
        y = 10 + 20 * (foot - up) / (foot - top)
        assert x * y == pytest.approx(60.0, rel=2e-3)
    assert len(of(root, "circle", r="1.8")) == 9


def test_a_result_that_is_the_same_everywhere_is_told_in_words() -> None:
    level = GRID.outputs[0].model_copy(update={"values": (42.0,) * 9})
    (text,) = contour_plot.plots(GRID.model_copy(update={"outputs": (level,)})).values()
    assert "The same everywhere: 42 t/h." in "".join(drawn(text).itertext())


def test_steps_without_a_balance_are_crosses_on_a_field() -> None:
    values = tuple(None if n == 4 else v for n, v in enumerate(GRID.outputs[0].values))
    holed = sweep(values, GRID.settings)
    (text,) = contour_plot.plots(holed).values()
    root = drawn(text)
    assert len(of(root, "circle", r="1.8")) == 8
    assert "no balance, at 1 of 9" in "".join(root.itertext())


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
        ranked=100,
        reasons=(),
        numbers=(),
        outputs=(spread, still),
        chances=(Chance(text="r", met=1, samples=2, chance=0.5, low=0.1, high=0.9),),
        all_together=None,
    )
    root = drawn(ranking_plot.plot(study, ["a.rate", "b.rate", "a.rate"]))
    totals = [float(n.get("width", "nan")) for n in of(root, "rect", fill="url(#total)")]
    assert totals[:-1] == pytest.approx([0.75 * 120, 0.25 * 120]), "the last is the key's"
    text = "".join(root.itertext())
    assert NASTY in text and "75 %, alone 60 %" in text and "idle" not in text
    assert "b.rate" not in text


@pytest.mark.parametrize(
    ("low", "high", "about", "expected"),
    [
        (0.0, 1.0, 5, [0.0, 0.2, 0.4, 0.6, 0.8, 1.0]),
        (34.0, 50.0, 6, [35, 40, 45, 50]),
        (-3.0, 7.0, 4, [-2.5, 0, 2.5, 5]),
        (0.0012, 0.0018, 3, [0.0012, 0.0014, 0.0016, 0.0018]),
    ],
)
def test_ticks_are_round(low: float, high: float, about: int, expected: list[float]) -> None:
    assert ticks(low, high, about) == pytest.approx(expected)
    assert Axis(low, high, 0.0, 100.0).at((low + high) / 2) == pytest.approx(50.0)


def test_numbers_have_four_figures_of_the_largest() -> None:
    assert [decimals([v]) for v in (450.0, 52.768, 1.4, 0.00169, 12345.0)] == [1, 2, 3, 6, 0]
    assert decimals([None, 3.0, 250.0]) == 1
