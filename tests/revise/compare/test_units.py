"""Values are shown in the units that the plant is written in. Conversions are by definition: an
inch is 25.4 mm, a foot 0.3048 m (international yard and pound, 1959), a short ton 0.90718474 t."""

from __future__ import annotations

import pytest
from tests.check.reading import plant_of

from hoggin.balance import balance
from hoggin.rating.rate import rate
from hoggin.report import comparison as report
from hoggin.report.results_json import results_json
from hoggin.revise.compare import Comparison, Side, compare
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results

US = """
use std.sieves
use std.cones
use std.screens
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
let most = 8 in
plant "invented" {
  sieves { 8 in, 2 in, 1 in, 0.5 in, 0.25 in }
  feed f { rock rock; rate 300 stph; passing { most: 100 %, 2 in: 40 %, 0.25 in: 10 % } }
  crusher cone: cones.high_speed(head: 1200 mm) { duty secondary; chamber medium; css 1 in }
  screen sizing: screens.inclined(width: 8 ft, length: 20 ft) { deck top 1 in; deck bottom 0.5 in }
  stockpile pile { height 30 ft }
  f -> cone -> sizing
  sizing.top.over -> product coarse
  sizing.bottom.over -> pile -> product middle
  sizing.under -> product fine
  require fine.rate >= 20 stph
}
"""


def side(plant: Plant) -> Side:
    return Side("x", plant, rate(plant, balance(plant), "x.hog"))


def of(before: str, after: str) -> Comparison:
    return compare(side(plant_of(before)), side(plant_of(after)), 0.0)


def test_a_plant_knows_the_units_it_is_written_in() -> None:
    assert plant_of(US).units == {"m": "ft", "mm": "in", "t/h": "stph"}
    metric = US.replace("stph", "t/h").replace(" in", " mm").replace(" ft", " m")
    metric = metric.replace("8 m,", "2.4 m,").replace("20 m)", "6 m)")
    for small, large in (("8 mm", "200 mm"), ("2 mm", "50 mm"), ("1 mm", "25 mm")):
        metric = metric.replace(small, large)
    assert plant_of(metric).units == {}


def test_order_and_place_of_lines_make_no_difference() -> None:
    head, feed = US.index("  feed f"), US.index("  crusher cone")
    moved = US[:head] + US[feed : US.rindex("}")] + US[head:feed] + "}\n"
    assert plant_of(moved).units == plant_of(US).units


@pytest.mark.slow
def test_units_alone_are_no_difference() -> None:
    """The same plant in inches and in millimetres: nothing was changed."""
    other = US.replace("css 1 in", "css 25.4 mm").replace(
        "8 in, 2 in, 1 in", "203.2 mm, 50.8 mm, 1 in"
    )
    assert of(US, other).changes == ()
    assert of(US, other).same


@pytest.mark.slow
def test_rates_and_sizes_are_shown_as_they_are_written() -> None:
    after = US.replace("300 stph", "330 stph").replace(
        "1 in; deck bottom 0.5", "1 in; deck bottom 0.6"
    )
    found = of(US, after)
    changed = {(c.subject, c.what): (c.before, c.after) for c in found.changes}
    assert changed["feed f", "rate"] == ("300 stph", "330 stph")
    assert changed["screen sizing", "deck bottom aperture"] == ("0.5 in", "0.6 in")
    results = rate(plant := plant_of(after), balance(plant), "x.hog")
    fine = next(p for p in results.products if p.tag == "fine")
    told = {(c.subject, c.what): c for c in found.consequences}
    rate_of = told["product fine", "rate"]
    assert rate_of.unit == "stph"
    assert rate_of.after == pytest.approx(fine.rate_t_h / 0.90718474, rel=1e-8)
    p80 = told["product fine", "P80"]
    assert fine.p80_mm is not None
    assert p80.unit == "in"
    assert p80.after == pytest.approx(fine.p80_mm / 25.4, rel=1e-8)
    assert told["product fine", "passing 0.25 in"].unit == "%"
    assert not [c for c in found.consequences if c.unit in ("mm", "t/h", "m")]


def test_weights_do_not_depend_on_the_units() -> None:
    """300 stph to 330 stph: a tenth more of everything, 1/11 of the larger feed at the most."""
    found = of(US, US.replace("300 stph", "330 stph"))
    fed = next(c for c in found.consequences if c.subject == "plant" and c.what == "feed")
    assert fed.weight == pytest.approx(100 * 30 / 330, rel=1e-6)


@pytest.mark.slow
def test_units_of_the_later_revision_hold() -> None:
    metric = US.replace("rate 300 stph", "rate 272.155422 t/h").replace(">= 20 stph", ">= 18 t/h")
    found = of(US.replace("300 stph", "330 stph"), metric)
    changed = {(c.subject, c.what): (c.before, c.after) for c in found.changes}
    assert changed["feed f", "rate"] == ("299.4 t/h", "272.2 t/h")


def test_a_settings_own_unit_goes_first() -> None:
    """The class takes inches as well; this setting is written in mm on both sides."""
    before, after = (US.replace("css 1 in", f"css {mm} mm") for mm in (25, 28))
    (change,) = (c for c in of(before, after).changes if c.what == "css")
    assert (change.before, change.after) == ("25 mm", "28 mm")


@pytest.mark.slow
def test_of_each_grading_the_worst_sieve_alone_is_shown_in_inches_too() -> None:
    found = of(US, US.replace("deck bottom 0.5", "deck bottom 0.6"))
    (table,) = (s.table for s in report.document(found).sections if s.heading == "Products")
    assert table is not None
    fine = [row for row in table.rows if str(row[0]).startswith("product fine")]
    rows = [row for row in fine if str(row[1]).startswith("passing ")]
    assert len(rows) == 1
    assert str(rows[0][1]).endswith(" in")


def test_a_results_document_compares_with_its_own_plant() -> None:
    plant = plant_of(US)
    results = rate(plant, balance(plant), "x.hog")
    again = Results.model_validate_json(results_json(results))
    assert again.plant is not None
    assert compare(Side("x", again.plant, again), side(plant), 0.0).same


PRICED = """
use std.cones
material rock {
  solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t; abrasion_index 0.3
}
plant "priced" {
  currency EUR
  sieves { 63 mm, 20 mm, 5 mm }
  feed f { rock rock; rate 90 t/h; passing { 60 mm: 100 %, 5 mm: 9 % } }
  crusher c: cones.high_speed(head: 900 mm) {
    duty tertiary; css 12 mm
    operation { liner_price 4 EUR/kg }
  }
  f -> c -> product chips
}
"""


def test_prices_are_shown_in_the_plants_currency() -> None:
    found = compare(side(plant_of(PRICED)), side(plant_of(PRICED.replace("4 EUR", "5 EUR"))), 0.0)
    assert [(c.what, c.before, c.after) for c in found.changes] == [
        ("liner price", "4000 EUR/t", "5000 EUR/t")
    ]
    assert {row.unit for row in found.consequences} == {"EUR/t", "EUR/kg", "EUR/h", "EUR"}


def test_prices_in_two_currencies_are_shown_in_neither() -> None:
    """Nothing is converted, so no row may say that 4 EUR/kg was 4 GBP/kg."""
    pounds = PRICED.replace("EUR", "GBP").replace("4 GBP", "5 GBP")
    found = compare(side(plant_of(PRICED)), side(plant_of(pounds)), 0.0)
    assert ("currency", "EUR", "GBP") in [(c.what, c.before, c.after) for c in found.changes]
    assert {row.unit for row in found.consequences} == {"money/t", "money/kg", "money/h", "money"}
