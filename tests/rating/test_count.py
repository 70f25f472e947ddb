"""Equal machines in parallel: what is said of them is what single ones behind an equal splitter
have, summed or each. The plants are of our own."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest

from hoggin.balance import balance
from hoggin.rating.rate import rate
from hoggin.schema.plant import Plant
from hoggin.schema.results import MachineResult, Results
from tests.balance.written_out import written_out

pytestmark = pytest.mark.slow

HEAD = """
use std.feeders
use std.conveyors
use std.magnets
use std.washing
let price = 4 EUR/kg
material ore {
  solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t
  moisture 2 %; abrasion_index 0.3
}
"""
PLANT = (
    HEAD
    + """
plant "two of each" {
  sieves sieves.quarry
  currency EUR
  feed f {
    rock ore; rate 640 t/h; tramp 40 mm
    passing { 160 mm: 100 %, 63 mm: 45 %, 16 mm: 15 %, 2 mm: 4 % }
  }
  feeder tunnel: feeders.belt(width: 1000 mm) { COUNT }
  conveyor belt: conveyors.troughed(width: 800 mm, length: 60 m, lift: 9 m) { COUNT }
  magnet iron: magnets.suspended(width: 800 mm) { COUNT }
  crusher cone: cones.high_speed(head: 1300 mm) {
    duty secondary; chamber medium; css 30 mm; operation { liner_price price }; COUNT
  }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) {
    water spray; deck top 32 mm; deck bottom 5 mm { spray 40 m3/h }; COUNT
  }
  classifier screw: washing.screw(diameter: 1500 mm) { cut 0.1 mm; added_water 30 m3/h; COUNT }
  f -> tunnel -> belt -> iron -> sizing
  sizing.top.over -> cone -> sizing
  sizing.bottom.over -> product chips
  sizing.under -> screw
  screw.coarse -> product sand
  screw.fine -> product silt
}
"""
)
SUMMED = ("feed_t_h", "capacity_t_h", "power_kw", "installed_power_kw")
EACH = ("load", "power_use", "f80_mm", "p80_mm", "reduction_ratio", "moisture_of_feed")
OF_DECKS_SUMMED = ("feed_t_h", "oversize_t_h", "undersize_t_h", "area_m2", "area_needed_m2")
OF_DECKS_EACH = ("cut_size_mm", "undersize_efficiency", "near_size", "area_use", "bed_depth_mm")
SHARED = ("load", "installed power", "deck area", "bed depth", "pool", "water")
Checked = Callable[[str], Plant]
Pair = tuple[Results, Results]


def rated(plant: Plant) -> Results:
    return rate(plant, balance(plant), "plant.hog")


@pytest.fixture
def both(check_plant: Checked) -> Pair:
    plant = check_plant(PLANT.replace("COUNT", "count 2"))
    return rated(plant), rated(written_out(plant))


def pairs(both: Pair) -> Iterator[tuple[MachineResult, MachineResult]]:
    """Each machine of which there are two, and the first of the two written out."""
    together, apart = both
    single = {machine.tag: machine for machine in apart.machines}
    for machine in together.machines:
        assert machine.count == 2
        yield machine, single[f"{machine.tag}_1"]


def test_rates_capacity_and_power_are_of_all(both: Pair) -> None:
    known = 0
    for machine, one in pairs(both):
        for name in SUMMED:
            value, each = getattr(machine, name), getattr(one, name)
            known += each is not None
            assert (value is None) == (each is None)
            assert value is None or value == pytest.approx(2 * each, rel=1e-8), (machine.tag, name)
    assert known >= 12


def test_loads_and_sizes_are_of_each(both: Pair) -> None:
    for machine, one in pairs(both):
        for name in EACH:
            value, each = getattr(machine, name), getattr(one, name)
            assert (value is None) == (each is None)
            assert value is None or value == pytest.approx(each, rel=1e-8), (machine.tag, name)


def test_decks_add_their_areas_and_share_the_bed(both: Pair) -> None:
    for machine, one in pairs(both):
        for deck, single in zip(machine.decks, one.decks, strict=True):
            for name in OF_DECKS_SUMMED:
                assert getattr(deck, name) == pytest.approx(2 * getattr(single, name), rel=1e-8)
            for name in OF_DECKS_EACH:
                assert getattr(deck, name) == pytest.approx(getattr(single, name), rel=1e-8)


def test_motor_liners_and_belt_are_those_of_each(both: Pair) -> None:
    by_tag = {machine.tag: (machine, one) for machine, one in pairs(both)}
    cone, one = by_tag["cone"]
    assert cone.drive and one.drive and cone.wear and one.wear
    assert cone.drive.motor_kw == one.drive.motor_kw
    assert cone.drive.energy_kwh_t == pytest.approx(one.drive.energy_kwh_t, rel=1e-8)
    assert cone.wear.life_h == pytest.approx(one.wear.life_h, rel=1e-8)
    assert cone.wear.cost and one.wear.cost
    assert cone.wear.cost.set_price_money == one.wear.cost.set_price_money
    assert cone.wear.cost.cost_money_h == pytest.approx(2 * one.wear.cost.cost_money_h, rel=1e-8)
    belt, single = by_tag["belt"]
    assert belt.belt and single.belt
    assert belt.belt.pull_n == pytest.approx(single.belt.pull_n, rel=1e-8)
    assert belt.belt.rock_kg_m == pytest.approx(single.belt.rock_kg_m, rel=1e-8)


def test_verdicts_are_those_of_each_and_say_so(both: Pair) -> None:
    said = 0
    for machine, one in pairs(both):
        of_decks = zip(machine.decks, one.decks, strict=True)
        listed = [(machine.checks, one.checks), *((d.checks, s.checks) for d, s in of_decks)]
        for found, single in listed:
            for check, alone in zip(found, single, strict=True):
                shared = check.name in SHARED
                assert check.text == ("each of 2: " if shared else "") + alone.text
                assert (check.name, check.verdict, check.code) == (
                    *(alone.name, alone.verdict, alone.code),
                )
                assert check.value == pytest.approx(alone.value, rel=1e-8)
                said += shared
    assert said == 13


def test_totals_of_the_plant_count_all(both: Pair) -> None:
    together, apart = both
    for name in ("power_kw", "installed_power_kw", "energy_kwh_t"):
        assert getattr(together, name) == pytest.approx(getattr(apart, name), rel=1e-8)
    assert together.water and apart.water
    # By hand: two decks sprayed with 40 m3/h each, two tubs with 30 m3/h each.
    assert together.water.added_m3_h == pytest.approx(140.0)
    for name in ("with_feeds_m3_h", "added_m3_h", "with_products_m3_h"):
        assert getattr(together.water, name) == pytest.approx(getattr(apart.water, name), rel=1e-8)
    assert {p.tag: p.moisture for p in together.products} == pytest.approx(
        {p.tag: p.moisture for p in apart.products}, rel=1e-8
    )
    raised = sum(source.pm_kg_h for source in apart.dust if source.source in ("cone_1", "cone_2"))
    (cone,) = (source for source in together.dust if source.source == "cone")
    assert cone.pm_kg_h == pytest.approx(raised, rel=1e-8)


def test_products_are_the_same(both: Pair) -> None:
    together, apart = both
    for one, other in zip(
        sorted(together.products, key=lambda product: product.tag),
        sorted(apart.products, key=lambda product: product.tag),
        strict=True,
    ):
        assert one.rate_t_h == pytest.approx(other.rate_t_h, rel=1e-8)
        assert one.passing == pytest.approx(other.passing, rel=1e-8)


def test_a_chamber_that_is_full_as_one_is_not_as_six(check_plant: Checked) -> None:
    one, six = (rated(check_plant(PLANT.replace("COUNT", f"count {number}"))) for number in (1, 6))
    loads = [m.load for r in (one, six) for m in r.machines if m.tag == "cone"]
    assert loads[0] is not None and loads[1] is not None and loads[1] < loads[0] / 5
    texts = [w.text for w in six.warnings if w.subject == "cone" and w.code == "W0506"]
    assert texts and all("each of 6: load" in text for text in texts)


def test_the_number_of_machines_can_be_required(check_plant: Checked) -> None:
    text = PLANT.replace("COUNT", "count 2").replace(
        "f -> tunnel", "require cone.count <= 1\n  f -> tunnel"
    )
    (asked,) = rated(check_plant(text)).requirements
    assert not asked.met and asked.value == 2.0
