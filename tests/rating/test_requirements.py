"""Verdicts and margins of `require` lines, worked by hand."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.rating.flow import Flow
from hoggin.rating.readings import evaluate
from hoggin.rating.requirements import band_verdict
from hoggin.schema.plant import Band, BandPoint, Combination, Constant, Reading
from tests.rating.conftest import Rate

PLANT = """
use std.gradings.astm
plant "p" {
  sieves { 50 mm, 25 mm, 12.5 mm, 6.3 mm }
  feed f { rock rock; rate 200 t/h
           passing { 50 mm: 100 %, 25 mm: 75 %, 12.5 mm: 40 %, 3 mm: 10 % } }
  splitter s { out a 30 %; out b rest }
  f -> s
  s.a -> product a
  s.b -> product b
  %REQUIRE%
}
"""


def plant(*requirements: str) -> str:
    return PLANT.replace("%REQUIRE%", "\n  ".join(f"require {line}" for line in requirements))


@pytest.mark.parametrize(
    ("line", "met", "margin"),
    [
        ("a.rate >= 60 t/h", True, 0.0),
        ("a.rate >= 61 t/h", False, -1.0),
        ("a.rate <= 70 t/h", True, 10.0),
        ("70 t/h >= a.rate", True, 10.0),
        ("a.rate within 50 t/h to 65 t/h", True, 5.0),
        ("a.share <= 25 %", False, -5.0),
        ("a.rate + b.rate >= 200 t/h", True, 0.0),
        ("b.rate / a.rate >= 2", True, 1 / 3),
        ("b.rate >= 2 * a.rate", True, 20.0),
        ("a.passing(25 mm) >= 70 %", True, 5.0),
        ("a.retained(25 mm) <= 20 %", False, -5.0),
        ("a.p80 <= 1.5 in", True, None),
        ("a.rate >= 66.138 stph", True, None),  # 60 t/h; 1 short ton = 2000 lb = 0.90718474 t
        ("a.rate >= 66.140 stph", False, None),
        ("plant.rate >= 199 t/h", True, 1.0),
        ("-a.rate >= -70 t/h", True, 10.0),
        ("a.moisture <= 2 %", True, 0.0),
    ],
)
def test_a_limit_is_judged_with_its_margin_in_the_units_written(
    rate_plant: Rate, line: str, met: bool, margin: float | None
) -> None:
    verdict = rate_plant(plant(line)).requirements[0]
    assert verdict.met is met
    if margin is not None:
        assert verdict.margin == pytest.approx(margin, abs=1e-6)


@pytest.mark.parametrize(
    ("line", "value", "margin"),
    [
        ("a.rate <= 70 t/h", "60 t/h", "+10 t/h (+14.3 %)"),
        ("a.rate >= 80 t/h", "60 t/h", "-20 t/h (-25.0 %)"),
        ("a.rate within 50 t/h to 65 t/h", "60 t/h", "+5 t/h (+7.7 %)"),
        ("a.share <= 25 %", "30 %", "-5 points"),
        ("b.rate >= 137.5 t/h", "140 t/h", "+2.5 t/h (+1.8 %)"),
    ],
)
def test_a_margin_is_said_with_its_sign_and_its_share_of_the_nearest_limit(
    rate_plant: Rate, line: str, value: str, margin: str
) -> None:
    verdict = rate_plant(plant(line)).requirements[0]
    assert (verdict.value_text, verdict.margin_text) == (value, margin)


def test_and_makes_two_requirements(rate_plant: Rate) -> None:
    verdicts = rate_plant(plant("a.rate >= 10 t/h and a.rate <= 20 t/h")).requirements
    assert [(v.text, v.met) for v in verdicts] == [
        ("a.rate <= 20 t/h", False),
        ("a.rate >= 10 t/h", True),
    ]


def test_meets_names_the_worst_sieve(rate_plant: Rate) -> None:
    """ASTM C33 size 57 (looked up): 25 mm 95 to 100, 12.5 mm 25 to 60. The grading passes 75 %
    at 25 mm, 20 points short, and 40 % at 12.5 mm, inside."""
    verdict = rate_plant(plant("a meets astm.c33_57")).requirements[0]
    assert not verdict.met
    assert "worst at 25 mm" in verdict.value_text
    assert verdict.margin == pytest.approx(-20.0)


BAND = Band(
    name="b",
    about="",
    source="",
    points=(
        BandPoint(size_mm=20, low=1, high=1),
        BandPoint(size_mm=10, low=0.4, high=0.6),
        BandPoint(size_mm=5, low=0, high=0.1),
    ),
)


@given(st.floats(0, 1), st.floats(0, 1))
def test_a_grading_meets_a_band_exactly_when_every_sieve_lies_within(x: float, y: float) -> None:
    low, high = sorted((x, y))
    flow = Flow(np.array([20.0, 10.0, 5.0, 0.0]), 100 * np.array([[1 - high, high - low, low]]))
    inside = 0.4 <= high <= 0.6 and low <= 0.1
    clear = min(abs(high - 0.4), abs(high - 0.6), abs(low - 0.1)) > 0.001
    if clear:  # nearer, the stated slack of 0.05 % decides
        assert band_verdict(BAND, flow).met is inside


def test_all_that_must_pass_and_does_is_no_near_miss() -> None:
    """All passes 20 mm, as wanted; 45 % passes 10 mm, 5 points over the least; 2 % passes 5 mm, 8
    under the most. So the worst sieve is 10 mm."""
    flow = Flow(np.array([20.0, 10.0, 5.0, 0.0]), np.array([[55.0, 43.0, 2.0]]))
    found = band_verdict(BAND, flow)
    assert found.worst_size_mm == 10
    assert found.worst_margin == pytest.approx(0.05)
    coarse = Flow(np.array([40.0, 20.0, 10.0, 5.0, 0.0]), np.array([[3.0, 50.0, 45.0, 2.0]]))
    found = band_verdict(BAND, coarse)  # 3 % stays on 20 mm
    assert found.worst_size_mm == 20
    assert found.worst_margin == pytest.approx(-0.03)


def test_a_band_of_a_product_that_is_not_made_is_missed_by_all(rate_plant: Rate) -> None:
    text = plant("a meets astm.c33_57").replace("a 30 %; out b rest", "a 0 %; out b rest")
    verdict = rate_plant(text).requirements[0]
    assert (verdict.met, verdict.value_text, verdict.margin) == (False, "no material", -100.0)


def test_no_material_meets_nothing() -> None:
    empty = Flow(np.array([20.0, 10.0, 0.0]), np.zeros((1, 2)))
    assert not band_verdict(BAND, empty).met


def test_an_expression_over_a_missing_result_has_no_value() -> None:
    missing = Reading(subject="x", quantity="p80")
    total = Combination(operator="+", left=missing, right=Constant(value=1))
    ratio = Combination(operator="/", left=Constant(value=1), right=Constant(value=0))
    assert np.isnan(evaluate(total, lambda _: np.array([np.nan]))).all()
    assert np.isnan(evaluate(ratio, lambda _: np.array([np.nan]))).all()


def test_a_size_that_is_asked_about_is_judged_on_the_grid_itself(rate_plant: Rate) -> None:
    """No interpolation within a class: the plant's grid takes in the sizes of requirements, so
    splitting a stream by a screen at that very aperture passes all or nothing of it."""
    text = """
plant "exact" {
  sieves { 50 mm, 25 mm, 12.5 mm }
  feed f { rock rock; rate 100 t/h; passing { 50 mm: 100 %, 25 mm: 75 %, 5 mm: 20 % } }
  screen s: screens.inclined(width: 1.8 m, length: 4.8 m) { deck top 17 mm }
  f -> s
  s.over -> product o
  s.under -> product u
  require u.passing(17 mm) >= 100 %
  require u.passing(17.3 mm) >= 100 %
}
"""
    assert [r.met for r in rate_plant(text).requirements] == [True, True]
