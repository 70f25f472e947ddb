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
  crusher cone: cones.high_pivot(head: 1300 mm) { duty secondary; chamber coarse; css 36 mm }
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
    return _value("aim least plant.power")


def test_a_result_is_told_in_its_trade_unit() -> None:
    assert _aim("aim most left.rate").unit == "t/h"
    assert _value("aim most left.rate") == pytest.approx(50.0)  # a quarter of 200 t/h
    assert _aim("aim least plant.power").unit == "kW"
    assert _aim("aim least cone.p80").unit == "mm"
    assert _aim("aim most left.share").unit == ""


def test_pure_numbers_weigh_products_against_each_other() -> None:
    line = "aim most 12 * left.rate + right.rate * 2 - right.rate / 10"
    assert _aim(line).unit == "t/h as weighed"
    assert _value(line) == pytest.approx(12 * 50 + 150 * 2 - 15)


def test_prices_make_money_an_hour() -> None:
    line = "aim most 12 per_t * left.rate + 0.5 per_kg * right.rate - 0.15 / 1 kWh * plant.power"
    assert _aim(line).unit == "per hour"
    assert _value(line) == pytest.approx(12 * 50 + 500 * 150 - 0.15 * _power())


def test_money_over_tonnes_is_a_price() -> None:
    line = "aim most (12 per_t * left.rate - 0.15 / 1 kWh * plant.power) / plant.rate"
    assert _aim(line).unit == "per tonne"
    assert _value(line) == pytest.approx((600 - 0.15 * _power()) / 200)


def test_money_is_told_in_the_plants_currency() -> None:
    assert _aim('currency "EUR"\n  aim most 12 per_t * left.rate').unit == "EUR per hour"
    assert "W0520" not in codes(
        small_plant(f'{_HALVES}  currency "EUR"\n  aim most 12 per_t * left.rate\n')
    )


def test_a_price_may_have_a_name() -> None:
    aim = _aim("aim most price * left.rate", "let price = 12 per_t\n")
    assert aim.unit == "per hour"


def test_unlike_scales_of_one_kind_add_up() -> None:
    line = "aim least plant.power / 1 kW * 1 t/h + left.rate"
    assert _value(line) == pytest.approx(_power() + 50)


def test_signs_and_weights() -> None:
    text = small_plant(f"{_HALVES}  aim most -left.rate\n  aim least plant.power / 2 weight 3\n")
    second, first = plant_of(text).aims  # the weightiest first
    assert (first.direction, first.unit, first.weight) == ("most", "t/h", 1.0)
    assert (second.direction, second.unit, second.weight) == ("least", "kW as weighed", 3.0)
    assert second.text == "aim least plant.power / 2 weight 3"
    assert _value("aim most -left.rate") == pytest.approx(-50)


@pytest.mark.parametrize(
    "line",
    [
        "aim most left.rate + plant.power",
        "aim most left.rate + 3",
        "aim most left.rate * right.rate",
        "aim most 3",
        "aim best left.rate",
    ],
)
def test_what_has_no_meaning_is_refused(line: str) -> None:
    found = codes(small_plant(f"{_HALVES}  {line}\n"))
    assert [code for code in found if code.startswith("E")] == ["E0308"]


def test_the_words_of_an_aim_may_still_be_names() -> None:
    lines = _HALVES.replace("left", "aim").replace("right", "choose")
    text = small_plant(f"{lines}  aim most weight * aim.rate + choose.rate\n", "let weight = 3\n")
    assert plant_of(text).aims[0].unit == "t/h as weighed"
