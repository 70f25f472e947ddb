"""Crushers under the feed they have: breakage by F80 and rock, capacity and packing by moisture.

References: worked by hand from the definitions; the figures in the plants are invented.
"""

from __future__ import annotations

import json

import pytest

from hoggin.schema.results import Check, MachineResult, Results
from tests.check.reading import FIXTURES
from tests.rating.conftest import Rate
from tests.report.shown import schedule_text

OWN = """
class crusher own() {
  setting css: 5 mm to 200 mm
  model breakage: MODEL
  model capacity: rated { rated 200 t/h }
  model power: bond
  FACTS
}
material moist { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t
                 moisture 6 % }
material hard { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t
                t10_limit 40 %; energy_scale 2 kWh/t }
plant "one" {
  sieves sieves.quarry
  feed f { rock MATERIAL; rate 100 t/h
           passing { 250 mm: 100 %, 150 mm: 80 %, 75 mm: 40 %, 10 mm: FINES } }
  crusher c: own() { SETTINGS }
  f -> c -> product p
}
"""
MATRIX = "matrix { k1 0.7 * css; k2 2.2 * css }"


def one(
    rate_plant: Rate,
    *,
    model: str = MATRIX,
    facts: str = "",
    material: str = "moist",
    fines: str = "5 %",
    settings: str = "css 40 mm",
) -> Results:
    text = OWN.replace("MODEL", model).replace("FACTS", facts).replace("MATERIAL", material)
    return rate_plant(text.replace("FINES", fines).replace("SETTINGS", settings))


def load(machine: MachineResult) -> Check:
    return next(check for check in machine.checks if check.name == "load")


LOSS = "moisture_limit 4 %; moisture_capacity_loss 10 %"


def test_two_per_cent_beyond_the_limit_take_a_fifth_of_capacity(rate_plant: Rate) -> None:
    """By hand: 6 % less 4 % is 2, times 10 %, of 200 t/h."""
    machine = one(rate_plant, facts=LOSS).machines[0]
    assert machine.capacity_t_h == pytest.approx(160.0)
    assert machine.load == pytest.approx(100.0 / 160.0)
    assert machine.moisture is not None
    assert machine.moisture.lost == pytest.approx(0.2)
    assert machine.moisture.dry_capacity_t_h == pytest.approx(200.0)
    told = load(machine)
    assert told.value == pytest.approx(62.5)
    assert "capacity is 20 % less for 6.0 % moisture" in told.text


def test_dry_rock_or_a_class_that_states_nothing_loses_nothing(rate_plant: Rate) -> None:
    dry = one(rate_plant, facts=LOSS, material="rock").machines[0]  # 2 %
    silent = one(rate_plant).machines[0]
    assert dry.capacity_t_h == silent.capacity_t_h == pytest.approx(200.0)
    assert "moisture" not in load(dry).text + load(silent).text
    assert silent.moisture is None


def test_an_under_fed_chamber_says_so_as_well(rate_plant: Rate) -> None:
    machine = one(rate_plant, facts=f"{LOSS}; min_load 70 %").machines[0]
    assert load(machine).code == "W0506" and "20 % less" in load(machine).text


def codes(results: Results) -> set[str]:
    return {warning.code for warning in results.warnings}


def test_moist_feed_with_fines_is_warned_of_and_neither_alone_is(rate_plant: Rate) -> None:
    """The rule is common practice, no source: over 4 % moisture, over 10 % finer than css / 4."""
    results = one(rate_plant, fines="14 %")
    assert "W0516" in codes(results)
    assert "W0516" not in codes(one(rate_plant, fines="5 %"))
    assert "W0516" not in codes(one(rate_plant, fines="14 %", material="rock"))
    packing = next(c for c in results.machines[0].checks if c.name == "packing")
    assert packing.verdict == "watch"
    assert packing.value == pytest.approx(14.0, abs=0.3)  # 10 mm, within a size class
    assert "W0516" in codes(
        one(rate_plant, fines="14 %", material="rock", facts="moisture_limit 1 %")
    )


def test_an_impactor_does_not_pack(rate_plant: Rate) -> None:
    impact = "impact { tip_speed 35 m/s; d_min 5 mm; d50 40 mm }"
    assert "W0516" not in codes(one(rate_plant, model=impact, fines="14 %"))


def test_k1_and_k2_of_the_feed_are_told(rate_plant: Rate) -> None:
    """F80 is 150 mm: k1 28 + 0.02 x 30 = 28.6, k2 88 + 0.1 x 30 = 91 mm, by hand."""
    model = "matrix { k1 0.7 * css; k2 2.2 * css; k1_feed 0.02; k2_feed 0.1; usual_f80 3 * css }"
    results = one(rate_plant, model=model)
    breakage = results.machines[0].breakage
    assert breakage is not None and breakage.follows_f80 and not breakage.follows_rock
    assert breakage.k1_mm == pytest.approx(28.6)
    assert breakage.k2_mm == pytest.approx(91.0)
    assert breakage.t10 is None
    shown = schedule_text(results)
    assert (
        "Breakage in c depends on the F80 of its feed: at F80 150 mm K1 is 28.6 mm, K2 91 mm."
        in shown
    )
    assert any("also follows its own feed" in line for line in results.assumptions)


T10 = (
    "matrix_t10 { k1 0.7 * css; k2 2.2 * css; t10_limit 50 %; energy_scale 1.2 kWh/t; "
    "specific_energy 0.2 kWh/t }"
)


def test_t10_of_the_rock_stands_in_for_that_of_the_class(rate_plant: Rate) -> None:
    """By hand: 0.4 (1 - exp(-0.2 / 2)) = 3.8065 %; the class's rock would have 7.676 %."""
    breakage = one(rate_plant, model=T10, material="hard").machines[0].breakage
    assert breakage is not None and breakage.follows_rock and not breakage.follows_f80
    assert breakage.t10 == pytest.approx(0.038065, abs=1e-6)
    hard, usual = (
        one(rate_plant, model=T10, material=m).products[0].p80_mm for m in ("hard", "moist")
    )
    assert hard is not None and usual is not None and hard > usual


def test_nothing_is_told_where_breakage_hangs_on_the_settings_alone(rate_plant: Rate) -> None:
    results = one(rate_plant, model=T10)
    assert results.machines[0].breakage is None
    assert "Breakage in" not in schedule_text(results)
    assert not any("follows its own feed" in line for line in results.assumptions)


def test_the_fixture_of_two_rocks_says_what_its_cone_makes_of_them(rate_plant: Rate) -> None:
    path = FIXTURES / "good" / "crushers_that_follow_their_feed.hog"
    results = rate_plant(path.read_text(encoding="utf-8").replace("use std.s", "# use std.s"))
    cone = results.machines[0]
    assert cone.breakage is not None and cone.breakage.t10 is not None
    low, high = 0.45 * 0.105161, 0.62 * 0.199263  # A (1 - exp(-0.2 / 1.8)); / 0.9
    assert low - 0.004 < cone.breakage.t10 < high
    assert json.loads(results.model_dump_json())["machines"][0]["moisture"]["lost"] > 0.05
