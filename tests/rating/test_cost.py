"""Running cost, carbon and budget at prices that the plant states, by hand and by conservation.

The prices are invented. A machine's cost goes with its rock, so its part that ends in a product is
the chance of a tonne that leaves it to end there: an absorbing Markov chain (Kemeny & Snell 1960,
from memory), here followed step by step.
"""

from __future__ import annotations

import math

import pytest

from hoggin.schema.results import MachineResult, ProductResult, Results
from tests.rating.conftest import Rate

PLANT = """
use std.rocks
plant "p" {
  sieves { 100 mm, 40 mm, 20 mm, 10 mm }
  currency EUR
  operation { energy_price 0.15 EUR/kWh; labour_cost 120 EUR/h; grid_carbon 350 g/kWh }
  feed pit { rock rocks.granite; rate 150 t/h
             passing { 350 mm: 100 %, 100 mm: 40 %, 10 mm: 5 % } }
  screen scalp: screens.scalper(width: 1.5 m, length: 4.5 m) { deck top 80 mm square }
  crusher jaw: jaws.single_toggle(gape: 900 mm, width: 1100 mm) {
    css 90 mm
    operation { liner_price 4 EUR/kg; price 310000 EUR }
  }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) {
    deck top    40 mm square
    deck bottom 20 mm square
    operation { parts_cost 6 EUR/h; price 95000 EUR }
  }
  splitter gate { out drain 20 %; out back rest }
  crusher cone: cones.medium_speed(head: 1500 mm) {
    count 2; duty secondary; chamber coarse; css 25 mm
    operation { price 420000 EUR }
  }
  pit -> scalp
  scalp.under -> product base
  scalp.top.over -> jaw -> sizing
  sizing.top.over -> gate
  gate.drain -> product drain
  gate.back -> cone -> sizing
  sizing.bottom.over -> product stone
  sizing.under -> product fines
}
"""


@pytest.fixture
def plant(rate_plant: Rate) -> Results:
    return rate_plant(PLANT)


def _machine(results: Results, tag: str) -> MachineResult:
    return next(one for one in results.machines if one.tag == tag)


def _product(results: Results, tag: str) -> ProductResult:
    return next(one for one in results.products if one.tag == tag)


def test_energy_costs_what_the_motor_takes_at_its_price(plant: Results) -> None:
    """The meter is before the motor: its losses are paid for too. A four-pole motor of class IE3
    is some 96 % efficient from 110 kW on (IEC 60034-30-1, from memory)."""
    jaw = _machine(plant, "jaw")
    assert jaw.cost is not None and jaw.cost.energy_money_h is not None
    assert jaw.power_kw is not None and jaw.drive is not None and jaw.drive.demand_kw is not None
    assert jaw.cost.energy_money_h == pytest.approx(0.15 * jaw.drive.demand_kw)
    assert jaw.cost.energy_money_h == pytest.approx(0.15 * jaw.power_kw / 0.955, rel=0.01)
    assert jaw.wear is not None and jaw.wear.cost is not None
    assert jaw.cost.liners_money_h == pytest.approx(jaw.wear.cost.cost_money_h)


def test_the_plant_costs_what_its_machines_and_people_do(plant: Results) -> None:
    spent = [m.cost.total_money_h or 0.0 for m in plant.machines if m.cost is not None]
    assert plant.cost is not None and plant.cost.total_money_h is not None
    assert plant.cost.total_money_h == pytest.approx(math.fsum(spent) + 120)
    assert plant.cost.total_money_t == pytest.approx(plant.cost.total_money_h / 150)


def test_the_products_bear_the_whole_and_nothing_more(plant: Results) -> None:
    assert plant.cost is not None
    borne = math.fsum(p.rate_t_h * (p.cost_money_t or 0.0) for p in plant.products)
    assert borne == pytest.approx(plant.cost.total_money_h)
    energy = math.fsum(p.rate_t_h * (p.energy_kwh_t or 0.0) for p in plant.products)
    assert energy == pytest.approx(plant.power_kw)


def test_what_no_crusher_touches_bears_labour_and_the_energy_of_its_screens(
    plant: Results,
) -> None:
    base = _product(plant, "base")
    assert base.energy_kwh_t is not None and 0.0 < base.energy_kwh_t < 0.1
    scalp = _machine(plant, "scalp")
    assert scalp.drive is not None and scalp.power_kw and scalp.drive.demand_kw
    taken = base.energy_kwh_t * scalp.drive.demand_kw / scalp.power_kw
    assert base.cost_money_t == pytest.approx(120 / 150 + 0.15 * taken)


def _ends(results: Results, tag: str) -> dict[str, float]:
    """The share of what leaves a machine that ends in each product, followed round the loop."""
    products = {product.tag for product in results.products}
    here, ended = {tag: 1.0}, dict.fromkeys(products, 0.0)
    for _ in range(500):
        onward: dict[str, float] = {}
        for place, share in here.items():
            leaving = [stream for stream in results.streams if stream.source == place]
            total = math.fsum(stream.rate_t_h for stream in leaving)
            for stream in leaving:
                part = share * stream.rate_t_h / total
                to = ended if stream.target in products else onward
                to[stream.target] = to.get(stream.target, 0.0) + part
        here = onward
    return ended


def test_a_machine_s_energy_ends_where_its_rock_does(plant: Results) -> None:
    driven = [machine.tag for machine in plant.machines if machine.power_kw]
    ends = {tag: _ends(plant, tag) for tag in driven}
    for product in plant.products:
        kw = math.fsum(
            (_machine(plant, t).power_kw or 0.0) * e[product.tag] for t, e in ends.items()
        )
        assert product.energy_kwh_t == pytest.approx(kw / product.rate_t_h, rel=1e-6, abs=1e-9)


def test_carbon_is_the_energy_from_the_grid_times_its_factor(plant: Results) -> None:
    """350 g/kWh is 0.35 kg/kWh; the products bear all of it."""
    assert plant.demand_kw > plant.power_kw
    assert plant.co2_kg_t == pytest.approx(0.35 * plant.demand_kw / 150)
    borne = math.fsum(p.rate_t_h * (p.co2_kg_t or 0.0) for p in plant.products)
    assert borne == pytest.approx(0.35 * plant.demand_kw)


def test_the_budget_is_the_price_of_every_machine(plant: Results) -> None:
    assert plant.cost is not None
    assert plant.cost.budget_money == 310_000 + 95_000 + 2 * 420_000


def test_what_has_no_price_is_named(plant: Results) -> None:
    assert plant.cost is not None
    assert plant.cost.unpriced == ("liners of cone", "screening media of scalp")


@pytest.mark.slow
def test_there_is_no_price_that_the_plant_does_not_state(rate_plant: Rate) -> None:
    bare = PLANT.replace("energy_price 0.15 EUR/kWh; labour_cost 120 EUR/h; ", "")
    for priced in ("liner_price 4 EUR/kg; ", "parts_cost 6 EUR/h; "):
        bare = bare.replace(priced, "")
    bare = bare.replace("  currency EUR\n", "").replace("price 310000 EUR", "")
    bare = bare.replace("price 95000 EUR", "").replace("price 420000 EUR", "")
    found = rate_plant(bare)
    assert found.cost is None and all(one.cost_money_t is None for one in found.products)
    assert all(one.energy_kwh_t is not None for one in found.products)
