"""Rates by the year: tonnes over the hours that a plant runs. The numbers are divided by hand."""

from __future__ import annotations

import pytest

from hoggin.balancing import rated
from hoggin.check.checker import Checked
from hoggin.schema.results import Results
from tests.check.reading import MATERIAL, check_text, codes, plant_of

HOURS = "operation { hours_per_year 4000 h; availability 85 % }"  # 3400 h of running


def plant(rate: str, more: str = "", hours: str = HOURS, before: str = "") -> str:
    feed = f"feed rock {{ rock granite; rate {rate}; passing {{ 100 mm: 100 %, 4 mm: 20 % }} }}"
    return f"""\
use std.sieves
{MATERIAL}{before}plant "year" {{
  sieves sieves.quarry
  {hours}
  {feed}
  rock -> product all
{more}
}}
"""


@pytest.mark.parametrize(
    ("rate", "t_h"),
    [
        ("0.8 Mt/y", 800_000 / 3400),
        ("850 kt/y", 250.0),
        ("680000 t/y", 200.0),
        ("2 * 0.34 Mt/y", 200.0),
        (
            "2000000 st/y",
            2_000_000 * 0.90718474 / 3400,
        ),  # a short ton is 2000 lb, 907.18474 kg (NIST SP 811)
    ],
)
def test_a_rate_by_the_year_is_over_the_hours_that_the_plant_runs(rate: str, t_h: float) -> None:
    assert plant_of(plant(rate)).feeds[0].rate_t_h == pytest.approx(t_h, rel=1e-9)


def test_a_plant_that_states_no_availability_runs_all_its_hours() -> None:
    found = plant_of(plant("0.8 Mt/y", hours="operation { hours_per_year 4000 h }"))
    assert found.feeds[0].rate_t_h == pytest.approx(200.0)


def test_a_let_by_the_year_means_the_same_wherever_it_stands() -> None:
    outside = plant_of(plant("target", before="let target = 0.68 Mt/y\n"))
    inside = plant_of(plant("target", more="  let target = 0.68 Mt/y"))
    assert outside.feeds[0].rate_t_h == pytest.approx(200.0)
    assert inside.feeds[0].rate_t_h == pytest.approx(200.0)


def test_hours_may_be_named_by_a_let_of_the_plant() -> None:
    hours = "let run = 3400 h\n  operation { hours_per_year run }"
    assert plant_of(plant("0.68 Mt/y", hours=hours)).feeds[0].rate_t_h == pytest.approx(200.0)


@pytest.mark.parametrize("hours", ["", "operation { availability 85 % }"])
def test_a_plant_without_hours_can_not_be_fed_by_the_year(hours: str) -> None:
    assert codes(plant("0.8 Mt/y", hours=hours)) == ["E0310"]


def test_other_rates_do_not_need_hours() -> None:
    assert codes(plant("200 t/h", hours="")) == []


def results_of(checked: Checked) -> Results:
    found = rated(checked)
    assert isinstance(found, Results)
    return found


CASES = """\
  require all.rate >= 0.05 Mt/y
  require all.rate >= 0.05 Mt/y in wet
  case wet  { hours 600 h; rock.rate 0.0765 Mt/y }
  case late: wet { hours 100 h }
  case dry  { rock.rate 0.34 Mt/y }
"""


def test_a_case_is_fed_by_its_own_hours_and_the_rest_means_what_it_meant() -> None:
    checked = check_text(plant("0.68 Mt/y", CASES))
    fed = {name: one.plant.feeds[0].rate_t_h for name, one in checked.cases.items() if one.plant}
    assert fed["wet"] == pytest.approx(76_500 / (600 * 0.85))
    assert fed["late"] == pytest.approx(fed["wet"])  # a line of `wet`, by the hours of `wet`
    assert fed["dry"] == pytest.approx(340_000 / 3400)  # it states no hours
    whole = plant_of(plant("0.68 Mt/y", "  case short { hours 10 h; rock.tramp 20 mm }"))
    assert whole.feeds[0].rate_t_h == pytest.approx(200.0)


def test_what_is_asked_of_one_case_is_by_the_hours_of_that_case() -> None:
    checked = check_text(plant("0.68 Mt/y", CASES)).in_case("wet")
    results = results_of(checked)
    assert [(one.unit, one.limit_text, one.met) for one in results.requirements] == [
        ("Mt/y", ">= 0.05 Mt/y", True),
        ("Mt/y", ">= 0.05 Mt/y", True),
    ]
    rate = 76_500 / 510
    assert sorted(one.value or 0 for one in results.requirements) == pytest.approx(
        sorted([rate * 3400 / 1e6, rate * 510 / 1e6])
    )


@pytest.mark.parametrize(
    ("asked", "value", "limit"),
    [
        ("all.per_year >= 0.5 Mt/y", "0.68 Mt/y", ">= 0.5 Mt/y"),
        ("all.rate >= 0.5 Mt/y", "0.68 Mt/y", ">= 0.5 Mt/y"),
        ("all.per_year >= 100 t/h", "680000 t/y", ">= 340000 t/y"),
        ("all.per_year - 0.18 Mt/y >= 0.1 Mt/y", "0.5 Mt/y", ">= 0.1 Mt/y"),
        ("all.rate >= 100 t/h", "200 t/h", ">= 100 t/h"),
    ],
)
def test_tonnes_a_year_and_rates_meet_by_the_running_hours(
    asked: str, value: str, limit: str
) -> None:
    (found,) = results_of(check_text(plant("0.68 Mt/y", f"  require {asked}"))).requirements
    assert (found.value_text, found.limit_text) == (value, limit)


def test_results_give_the_year_beside_the_hour() -> None:
    results = results_of(check_text(plant("0.68 Mt/y")))
    (feed,), (product,) = results.feeds, results.products
    assert (feed.rate_t_h, feed.per_year_t_y) == pytest.approx((200.0, 680_000.0))
    assert (product.rate_t_h, product.per_year_t_y) == pytest.approx((200.0, 680_000.0))
    assert results.per_year_t_y == pytest.approx(680_000.0)
    assert results.running_h == pytest.approx(3400.0)
