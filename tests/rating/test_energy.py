"""Energy, motors and liner wear of a rated plant. References are named beside each check."""

from __future__ import annotations

from math import sqrt

import pytest

from hoggin.schema.results import MachineResult, Results
from tests.rating.conftest import Rate

PLANT = """
material granite { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t; abrasion_index 0.45 }
material soft { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t; abrasion_index 0.05 }
plant "worn" {
  sieves sieves.quarry
  feed f { rock %MATERIAL%; rate 250 t/h
           passing { 250 mm: 100 %, 150 mm: 80 %, 75 mm: 40 %, 10 mm: 5 % } }
  %MORE%
  crusher c: cones.high_speed(head: 1500 mm) { duty secondary; chamber coarse; css 30 mm }
  f -> c -> product p
  require c.liner_life >= 100 h
  require c.specific_energy <= 2 kWh/t
}
"""  # noqa: E501


def plant(material: str = "granite", more: str = "") -> str:
    return PLANT.replace("%MATERIAL%", material).replace("%MORE%", more)


def crusher(results: Results) -> MachineResult:
    return next(machine for machine in results.machines if machine.kind == "crusher")


def test_liner_life_is_bonds_wear_on_bonds_net_energy(rate_plant: Rate) -> None:
    """Bond (1952): W = 10 Wi (1/sqrt P80 - 1/sqrt F80), with the P80 of the balance. Bond (1963):
    (0.45 + 0.22) / 11 lb/kWh, looked up. Liners as stdlib/cones.hog states them: 1.1 t x 1.5^2.5,
    half of which may wear."""
    machine = crusher(rate_plant(plant()))
    wear = machine.wear
    assert wear is not None and machine.p80_mm is not None
    energy = 10 * 15 * (1 / sqrt(1000 * machine.p80_mm) - 1 / sqrt(150_000))
    grams_a_tonne = energy * 0.67 / 11 * 453.59237
    hours = 0.5 * 1.1e6 * 1.5**2.5 / (grams_a_tonne * 250)
    assert wear.metal_g_t == pytest.approx(grams_a_tonne, rel=1e-8)
    assert wear.life_h == pytest.approx(hours, rel=1e-8)


def test_the_motor_is_the_next_size_for_the_class_and_energy_is_power_over_feed(
    rate_plant: Rate,
) -> None:
    """Definition of specific energy; sizes of the common series from memory (IEC 60072-1). The
    class is designed for 180 kW x 1.5^2 = 405 kW."""
    machine = crusher(rate_plant(plant()))
    drive, drawn = machine.drive, machine.power_kw
    assert drive is not None and drawn is not None and drive.motor_kw is not None
    assert drive.motor_kw == machine.installed_power_kw == 450
    assert drive.energy_kwh_t == pytest.approx(drawn / 250)


def test_requirements_read_liner_life_and_specific_energy(rate_plant: Rate) -> None:
    results = rate_plant(plant())
    life, energy = results.requirements
    machine = crusher(results)
    assert machine.wear is not None and machine.wear.life_h is not None
    assert machine.drive is not None and machine.drive.energy_kwh_t is not None
    assert life.margin == pytest.approx(machine.wear.life_h - 100)
    assert energy.margin == pytest.approx(2 - machine.drive.energy_kwh_t)
    assert life.met and energy.met


def test_without_an_abrasion_index_there_is_no_wear_and_the_requirement_is_missed(
    rate_plant: Rate,
) -> None:
    results = rate_plant(plant("rock"))
    assert crusher(results).wear is None
    assert not results.requirements[0].met
    assert results.requirements[0].value_text == "no value"


def test_a_mixture_wears_by_the_mean_of_its_abrasion_indices(rate_plant: Rate) -> None:
    """By hand: 250 t/h at 0.45 and 750 t/h at 0.05 are (0.1125 + 0.0375) = 0.15."""
    more = """feed g { rock soft; rate 750 t/h
           passing { 250 mm: 100 %, 150 mm: 80 %, 75 mm: 40 %, 10 mm: 5 % } }
           g -> c"""
    wear = crusher(rate_plant(plant(more=more))).wear
    assert wear is not None and wear.abrasion_index == pytest.approx(0.15)


def test_a_mixture_with_a_rock_of_unknown_index_has_no_wear(rate_plant: Rate) -> None:
    more = """feed g { rock rock; rate 10 t/h; passing { 250 mm: 100 %, 10 mm: 5 % } }
           g -> c"""
    assert crusher(rate_plant(plant(more=more))).wear is None


def test_an_impactor_wears_by_its_own_rate_not_by_the_law_for_squeezed_rock(
    rate_plant: Rate,
) -> None:
    """Rate x Ai: the class's 500 g/kWh x 0.45 = 225 g/kWh, by hand."""
    text = "use std.impactors\n" + plant().replace(
        "cones.high_speed(head: 1500 mm) { duty secondary; chamber coarse; css 30 mm }",
        "impactors.horizontal_shaft(rotor: 1200 mm, width: 1200 mm) { gap 40 mm }",
    )
    wear = crusher(rate_plant(text)).wear
    assert wear is not None and wear.metal_g_kwh == pytest.approx(225.0)


def priced(**more: str) -> str:
    text = plant(**more).replace("css 30 mm }", "css 30 mm; operation { liner_price 4 EUR/kg } }")
    text = text.replace("  sieves sieves.quarry", "  currency EUR\n  sieves sieves.quarry")
    asked = "require c.liner_cost <= 0.1 EUR/t\n  require c.liner_life"
    return text.replace("require c.liner_life", asked)


def test_liner_cost_is_the_price_of_a_set_over_the_tonnes_of_its_life(rate_plant: Rate) -> None:
    """Bond (1952) and (1963) as above, with the P80 of the balance: the set is 1.1 t x 1.5^2.5 at
    4 EUR/kg, its life that of half of it at energy x 0.67 / 11 lb/kWh."""
    results = rate_plant(priced())
    machine = crusher(results)
    assert machine.wear is not None and machine.p80_mm is not None
    cost = machine.wear.cost
    assert cost is not None
    energy = 10 * 15 * (1 / sqrt(1000 * machine.p80_mm) - 1 / sqrt(150_000))
    grams_a_tonne = energy * 0.67 / 11 * 453.59237
    set_kg = 1100 * 1.5**2.5
    tonnes = 0.5 * 1000 * set_kg / grams_a_tonne
    assert cost.currency == "EUR" and cost.price_money_kg == pytest.approx(4.0)
    assert cost.set_price_money == pytest.approx(4 * set_kg)
    assert cost.cost_money_t == pytest.approx(4 * set_kg / tonnes, rel=1e-8)
    assert cost.cost_money_h == pytest.approx(250 * 4 * set_kg / tonnes, rel=1e-8)
    assert results.requirements[0].margin == pytest.approx(0.1 - cost.cost_money_t, abs=1e-9)


def test_cost_a_tonne_of_plant_feed_counts_what_passes_the_crusher_by(rate_plant: Rate) -> None:
    """By definition: 250 t/h of 1000 t/h go through the crusher, so a quarter of its own cost."""
    more = """feed g { rock soft; rate 750 t/h
           passing { 250 mm: 100 %, 150 mm: 80 %, 75 mm: 40 %, 10 mm: 5 % } }
           g -> product other"""
    wear = crusher(rate_plant(priced(more=more))).wear
    assert wear is not None and wear.cost is not None
    assert wear.cost.cost_of_plant_feed_money_t == pytest.approx(wear.cost.cost_money_t / 4)


def test_without_a_price_there_is_no_cost(rate_plant: Rate) -> None:
    wear = crusher(rate_plant(plant())).wear
    assert wear is not None and wear.cost is None
