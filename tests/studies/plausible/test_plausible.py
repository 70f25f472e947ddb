"""The plausible range of results, worked by hand.

The sum of independent deviations is the root of their squares, that of deviations which move
together their plain sum (JCGM 100:2008, 5.1.2 and 5.2.2, from memory).
"""

from __future__ import annotations

from math import hypot
from pathlib import Path

import pytest
from tests.check.reading import check_text, codes
from tests.rating.conftest import HEAD

from hoggin.balancing import balanced
from hoggin.check.checker import check_file
from hoggin.studies.plausible.document import Plausible, PlausibleResult
from hoggin.studies.plausible.plausible import plausible

CLASSES = """
class crusher small: jaws.single_toggle {
  design_power    2000 kW  # so that the chamber bounds its capacity
  capacity_spread between(0.5 to 2)
  power_spread    between(0.8 to 1.3)
  size_spread     between(1 to 1)
}
class crusher other: jaws.double_toggle {
  capacity_spread between(1 to 1)
  power_spread    between(0.9 to 1.1)
  size_spread     between(1 to 1)
}
"""


def plant(first: str, second: str, required: str = "") -> str:
    return f"""{HEAD}{CLASSES}
plant "p" {{
  sieves {{ 300 mm, 100 mm, 40 mm, 20 mm }}
  feed rock {{ rock rock; rate 120 t/h; passing {{ 400 mm: 100 %, 100 mm: 40 %, 10 mm: 5 % }} }}
  splitter gate {{ out a 50 %; out b rest }}
  crusher one: {first}(gape: 700 mm, width: 900 mm) {{ css 90 mm }}
  crusher two: {second}(gape: 700 mm, width: 900 mm) {{ css 90 mm }}
  rock -> gate
  gate.a -> one -> product x
  gate.b -> two -> product y
  {required}
}}
"""


def ranges(text: str) -> Plausible:
    results = balanced(check_text(text))
    assert results.plant is not None
    return plausible(results.plant, results)


def named(found: Plausible, name: str) -> PlausibleResult:
    return next(one for one in found.results if one.name == name)


@pytest.mark.slow
def test_a_machine_rated_by_a_table_has_a_plausible_range() -> None:
    checked = check_file(Path(__file__).parents[3] / "examples" / "tabulated.hog")
    results = balanced(checked)
    assert results.plant is not None
    found = plausible(results.plant, results)
    assert any(one.name.startswith("primary.") for one in found.results)


def test_a_load_is_over_what_the_capacity_may_be() -> None:
    load = named(ranges(plant("small", "other")), "one.load")
    assert load.low == pytest.approx(load.value / 2)
    assert load.high == pytest.approx(load.value / 0.5)
    assert load.cause == "small: capacity"


def test_independent_causes_add_as_the_root_of_their_squares() -> None:
    found = ranges(plant("small", "other"))
    one, two = named(found, "one.power").value, named(found, "two.power").value
    total = named(found, "plant.power")
    assert total.value == pytest.approx(one + two)
    assert total.high - total.value == pytest.approx(hypot(0.3 * one, 0.1 * two))
    assert total.value - total.low == pytest.approx(hypot(0.2 * one, 0.1 * two))


def test_machines_of_one_class_move_together() -> None:
    found = ranges(plant("small", "small"))
    total = named(found, "plant.power")
    assert total.high == pytest.approx(1.3 * total.value)
    assert total.low == pytest.approx(0.8 * total.value)


@pytest.mark.slow
def test_the_cases_are_the_plant_and_either_end_of_each_figure() -> None:
    assert ranges(plant("small", "small")).cases == 1 + 2 * 3
    assert ranges(plant("small", "other")).cases == 1 + 2 * 6


@pytest.mark.slow
@pytest.mark.parametrize(
    ("limit", "standing"),
    [
        ("<= 1.05 *", "met in the middle only"),  # the power may be 1.3 times as much
        ("<= 1.35 *", "met"),
        ("<= 0.95 *", "not met in the middle only"),  # or 0.8 times
        ("<= 0.75 *", "not met"),
    ],
)
def test_a_requirement_says_whether_it_is_met_over_the_whole_range(
    limit: str, standing: str
) -> None:
    roomy = CLASSES.replace("between(0.5 to 2)", "between(0.9 to 1.1)")
    text = plant("small", "small").replace(CLASSES, roomy)
    kw = named(ranges(text), "plant.power").value
    most = float(limit.split()[1]) * kw
    asked = text.replace('plant "p" {', f'plant "p" {{\n  require plant.power <= {most} kW')
    assert ranges(asked).requirements[0].standing == standing


@pytest.mark.slow
def test_what_an_end_overloads_is_met_in_the_middle_only() -> None:
    """Half the capacity is less than the feed of the machine."""
    base = plant("small", "other").replace("rate 120 t/h", "rate 300 t/h")
    load = named(ranges(base), "one.load").value
    assert 50 < load < 100
    asked = base.replace('plant "p" {', 'plant "p" {\n  require x.rate >= 1 t/h')
    one = ranges(asked).requirements[0]
    assert one.standing == "met in the middle only" and "overloads `one`" in one.reason


def test_a_finer_product_takes_more_power() -> None:
    """Bond (1952): the energy rises as the P80 falls. So a product size that is uncertain widens
    the range of the power beyond that of the power itself, 0.8 to 1.3."""
    wide = CLASSES.replace("between(1 to 1)", "between(0.8 to 1.2)")
    power = named(ranges(plant("small", "small").replace(CLASSES, wide)), "one.power")
    assert power.high > 1.301 * power.value and power.low < 0.799 * power.value


@pytest.mark.parametrize("stated", ["0.8", "between(0.8 to 0.9)", "between(0.01 to 2)"])
def test_a_spread_that_is_no_range_around_1_is_reported(stated: str) -> None:
    text = f"{HEAD}class crusher odd: jaws.single_toggle {{ capacity_spread {stated} }}\n"
    assert "E0404" in codes(text)
