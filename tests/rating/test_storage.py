"""Storage of a rated plant, worked by hand: geometry, bulk density, and rate."""

from __future__ import annotations

from math import pi, radians, tan

import pytest

from hoggin.schema.results import Results, StorageResult
from tests.rating.conftest import Rate

PLANT = """
plant "stored" {
  sieves sieves.quarry
  feed f { rock rock; rate 400 t/h; passing { 250 mm: 100 %, 10 mm: 5 % } }
  %KIND% s { %FACTS% }
  f -> s -> product p
  %REQUIRE%
}
"""


def plant(kind: str, facts: str, require: str = "") -> str:
    text = PLANT.replace("%KIND%", kind).replace("%FACTS%", facts)
    return text.replace("%REQUIRE%", require)


def storage(results: Results) -> StorageResult:
    found = results.machines[0].storage
    assert found is not None
    return found


def test_a_stated_live_mass_lasts_its_tonnes_over_the_rate(rate_plant: Rate) -> None:
    """By hand: 3000 t / 400 t/h = 7.5 h."""
    found = storage(rate_plant(plant("stockpile", "live 3000 t")))
    assert found.surge_time_h == pytest.approx(7.5)
    assert found.held_t is None and found.live_share is None


def test_a_cone_holds_its_volume_at_bulk_density_and_a_quarter_is_live(rate_plant: Rate) -> None:
    """By hand: V = pi h^3 / (3 tan^2 a); rock of 1.6 t/m3; the same angle twice gives 1/4."""
    found = storage(rate_plant(plant("stockpile", "height 15 m; repose_angle 38 deg")))
    held = pi * 15**3 / 3 / tan(radians(38)) ** 2 * 1.6
    assert found.held_t == pytest.approx(held)
    assert found.live_t == pytest.approx(held / 4)
    assert found.surge_time_h == pytest.approx(held / 4 / 400)
    assert found.base_diameter_m == pytest.approx(2 * 15 / tan(radians(38)))


def test_a_steeper_crater_leaves_less_live(rate_plant: Rate) -> None:
    """By hand: share = (tan a / (tan a + tan b))^2; with 45 and 60 degrees 1 / (1 + sqrt 3)^2."""
    facts = "height 15 m; repose_angle 45 deg; drawdown_angle 60 deg"
    found = storage(rate_plant(plant("stockpile", facts)))
    assert found.live_share == pytest.approx(1 / (1 + 3**0.5) ** 2)


def test_a_stated_share_goes_before_the_cones(rate_plant: Rate) -> None:
    facts = "height 15 m; repose_angle 38 deg; live_share 40 %"
    found = storage(rate_plant(plant("stockpile", facts)))
    assert found.held_t is not None
    assert found.live_t == pytest.approx(0.4 * found.held_t)


def test_a_bin_holds_its_volume_at_bulk_density(rate_plant: Rate) -> None:
    """By hand: 100 m3 x 1.6 t/m3 = 160 t, 80 % of it 128 t, and 128 / 400 h."""
    found = storage(rate_plant(plant("bin", "volume 100 m3; live_share 80 %")))
    assert found.live_t == pytest.approx(128)
    assert found.surge_time_h == pytest.approx(0.32)


def test_more_live_than_the_pile_holds_is_told(rate_plant: Rate) -> None:
    """By hand: a cone of 5 m at 45 degrees holds 131 m3, 209 t."""
    results = rate_plant(plant("stockpile", "height 5 m; repose_angle 45 deg; live 210 t"))
    assert "W0517" in {warning.code for warning in results.warnings}
    results = rate_plant(plant("stockpile", "height 5 m; repose_angle 45 deg; live 209 t"))
    assert "W0517" not in {warning.code for warning in results.warnings}


def test_requirements_read_live_and_surge_time(rate_plant: Rate) -> None:
    lines = "require s.surge_time >= 20 min and s.live <= 150 t"
    most, longest = rate_plant(plant("bin", "live 160 t", lines)).requirements
    assert longest.met and longest.margin == pytest.approx(4)  # 160 / 400 h is 24 min
    assert not most.met and most.margin == pytest.approx(-10)


def test_a_bin_of_which_nothing_is_stated_has_no_storage(rate_plant: Rate) -> None:
    assert rate_plant(plant("bin", "")).machines[0].storage is None


STACKED = """
class conveyor boom(high: 1 m to 30 m = 10 m, arc: 0 m to 200 m = 0 m) {
  pile_height high
  pile_arc    arc
  model capacity: layer { width 800 mm; depth 200 mm; travel_speed 1.6 m/s }
  model belt_power: resistance {
    travel_speed 1.6 m/s; length 30 m; lift 9 m; belt_mass 1 t; roll_mass 1 t
  }
}
plant "stacked" {
  sieves sieves.quarry
  feed f { rock rock; rate 100 t/h; passing { 250 mm: 100 %, 10 mm: 5 % } }
  conveyor c: boom(%BOOM%)
  stockpile s { %FACTS% }
  f -> c -> s -> product p
}
"""


def stacked(boom: str = "", facts: str = "") -> str:
    return STACKED.replace("%BOOM%", boom).replace("%FACTS%", facts)


def test_a_pile_is_as_high_as_its_stacker_builds_it(rate_plant: Rate) -> None:
    """By hand: a cone of 10 m at the usual 37 degrees, filled by 100 t/h."""
    found = rate_plant(stacked()).machines[1].storage
    assert found is not None
    held = pi * 10**3 / 3 / tan(radians(37)) ** 2 * 1.6
    assert found.height_m == 10.0
    assert found.held_t == pytest.approx(held)
    assert found.live_share == pytest.approx(0.25)  # over one opening under its apex
    assert found.fill_time_h == pytest.approx(held / 100)


def test_a_stacker_moved_along_an_arc_adds_a_ridge_loaded_from_the_ground(rate_plant: Rate) -> None:
    """By hand: the cone, and a triangle of 10 m and 2 x 10 m / tan 37 deg along 40 m."""
    found = rate_plant(stacked("arc: 40 m")).machines[1].storage
    assert found is not None
    radius = 10 / tan(radians(37))
    assert found.volume_m3 == pytest.approx(pi * radius**2 * 10 / 3 + 10 * radius * 40)
    assert found.live_share == 1.0
    stated = rate_plant(stacked("arc: 40 m", "live_share 80 %")).machines[1].storage
    assert stated is not None and stated.live_share == 0.8


def test_a_pile_higher_than_its_stacker_builds_is_reported(rate_plant: Rate) -> None:
    for height, codes in (("11 m", {"W0531"}), ("9 m", set())):
        results = rate_plant(stacked(facts=f"height {height}"))
        found = results.machines[1].storage
        assert found is not None and found.height_m == float(height[:-2])
        assert {warning.code for warning in results.warnings} & {"W0531"} == codes
