"""`aim` lines: what they are told in, and what they come to by hand."""

from __future__ import annotations

import pytest

from hoggin.balance import balance
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.schema.plant import Aim
from tests.check.reading import codes, plant_of, small_plant

_HALVES = """
  splitter halves { out left 25 %; out right rest }
  crusher cone: cones.high_speed(head: 1300 mm) { duty secondary; chamber coarse; css 36 mm }
  rock -> halves
  halves.left  -> product left
  halves.right -> cone -> product right
"""


def _aim(line: str, above: str = "") -> Aim:
    (aim,) = plant_of(small_plant(f"{_HALVES}  {line}\n", above)).aims
    return aim


def _value(line: str) -> float:
    plant = plant_of(small_plant(f"{_HALVES}  {line}\n"))
    (aim,) = plant.aims
    readings = Readings(Rated(plant, balance(plant)))
    return float(readings.value(aim.expression)[0]) / aim.unit_size


def _power() -> float:
    return _value("minimize plant.power")


@pytest.mark.slow
def test_a_result_is_told_in_its_trade_unit() -> None:
    assert _aim("maximize left.rate").unit == "t/h"
    assert _value("maximize left.rate") == pytest.approx(50.0)  # a quarter of 200 t/h
    assert _aim("minimize plant.power").unit == "kW"
    assert _aim("minimize cone.p80").unit == "mm"
    assert _aim("maximize left.share").unit == ""


def test_pure_numbers_weigh_products_against_each_other() -> None:
    line = "maximize 12 * left.rate + right.rate * 2 - right.rate / 10"
    assert _aim(line).unit == "t/h as weighed"
    assert _value(line) == pytest.approx(12 * 50 + 150 * 2 - 15)


def test_prices_make_money_an_hour() -> None:
    line = (
        "currency EUR; maximize 12 EUR/t * left.rate + 0.5 EUR/kg * right.rate "
        "- 0.15 EUR/kWh * plant.power"
    )
    assert _aim(line).unit == "EUR/h"
    assert _value(line) == pytest.approx(12 * 50 + 500 * 150 - 0.15 * _power())


def test_money_over_tonnes_is_a_price() -> None:
    line = "currency EUR; maximize (12 EUR/t * left.rate - 0.15 EUR/kWh * plant.power) / plant.rate"
    assert _aim(line).unit == "EUR/t"
    assert _value(line) == pytest.approx((600 - 0.15 * _power()) / 200)


def test_money_is_told_in_the_plants_currency() -> None:
    assert _aim("currency EUR\n  maximize 12 EUR/t * left.rate").unit == "EUR/h"
    assert "W0520" not in codes(
        small_plant(f"{_HALVES}  currency EUR\n  maximize 12 EUR/t * left.rate\n")
    )


def test_a_price_may_have_a_name() -> None:
    aim = _aim("currency EUR; maximize price * left.rate", "let price = 12 EUR/t\n")
    assert aim.unit == "EUR/h"


def test_unlike_scales_of_one_kind_add_up() -> None:
    line = "minimize plant.power / 1 kW * 1 t/h + left.rate"
    assert _value(line) == pytest.approx(_power() + 50)


def test_signs_and_weights() -> None:
    text = small_plant(f"{_HALVES}  maximize -left.rate\n  minimize plant.power / 2 weight 3\n")
    second, first = plant_of(text).aims  # the weightiest first
    assert (first.direction, first.unit, first.weight) == ("most", "t/h", 1.0)
    assert (second.direction, second.unit, second.weight) == ("least", "kW as weighed", 3.0)
    assert second.text == "minimize plant.power / 2 weight 3"
    assert _value("maximize -left.rate") == pytest.approx(-50)


@pytest.mark.parametrize(
    "line",
    [
        "maximize left.rate + plant.power",
        "maximize left.rate + 3",
        "maximize left.rate * right.rate",
        "maximize 3",
        "minimize left.rate ^ 2",
    ],
)
def test_what_has_no_meaning_is_refused(line: str) -> None:
    found = codes(small_plant(f"{_HALVES}  {line}\n"))
    assert [code for code in found if code.startswith("E")] == ["E0308"]


def test_the_words_of_an_aim_may_still_be_names() -> None:
    lines = _HALVES.replace("left", "minimize").replace("right", "choose")
    text = small_plant(
        f"{lines}  maximize weight * minimize.rate + choose.rate\n", "let weight = 3\n"
    )
    assert plant_of(text).aims[0].unit == "t/h as weighed"
