"""Setting from touching, filling, tramp over the setting range, nip. References beside."""

from __future__ import annotations

from math import radians, sin

import pytest

from hoggin.schema.results import Check, MachineResult, Results
from tests.rating.conftest import Rate

PLANT = """
use std.rolls
plant "setting" {
  sieves sieves.quarry
  feed f { rock rock; rate %RATE% t/h; tramp %TRAMP% mm
           passing { 60 mm: 100 %, 40 mm: 60 %, 20 mm: 10 %, 10 mm: 2 % } }
  crusher c: %MACHINE%
  f -> c -> product p
}
"""


def plant(machine: str, rate: float = 100, tramp: float = 10) -> str:
    text = PLANT.replace("%RATE%", str(rate)).replace("%TRAMP%", str(tramp))
    text = text.replace("%MACHINE%", machine)
    return text if "rolls." in machine else text.replace("use std.rolls\n", "")


def check_named(machine: MachineResult, name: str) -> Check:
    return next(check for check in machine.checks if check.name == name)


def codes(results: Results) -> set[str]:
    return {warning.code for warning in results.warnings}


def cone(name: str, more: str = "") -> str:
    duty = "" if name.startswith("low_speed") else "duty tertiary; "
    return f"cones.{name}(head: 1300 mm) {{ css 18 mm; {duty}{more} }}"


# --- from touching -----------------------------------------------------------------------------


def test_a_threaded_bowl_is_counted_in_turns_and_teeth_by_hand(rate_plant: Rate) -> None:
    """The class: 50 degrees, a pitch of 1 % of the head (13 mm), 72 teeth. By hand: 18 / sin 50 =
    18 / 0.76604 = 23.497 mm; / 13 = 1.8075 turns, x 72 = 130.14 teeth: 1 turn and 58; a tooth is
    13 / 72 x 0.76604 = 0.1383 mm of css."""
    found = rate_plant(plant(cone("low_speed_tertiary"))).machines[0].setting
    assert found is not None and found.turns is not None
    assert found.moves == "bowl_up"
    assert found.travel_mm == pytest.approx(23.497, abs=0.001)
    assert found.turns == pytest.approx(1.8075, abs=0.0001)
    assert (found.whole_turns, found.teeth, found.teeth_a_turn) == (1, 58, 72)
    assert found.css_a_tooth_mm == pytest.approx(0.1383, abs=0.0001)


def test_backing_off_by_the_teeth_told_gives_the_setting_back(rate_plant: Rate) -> None:
    """Definition: css = lift x sin(angle from the vertical), to half a tooth."""
    machine = rate_plant(plant(cone("high_speed"))).machines[0]
    found = machine.setting
    assert found is not None and found.whole_turns is not None and found.teeth is not None
    assert found.teeth_a_turn is not None and found.css_a_tooth_mm is not None
    lift = 13.0 * (found.whole_turns + found.teeth / found.teeth_a_turn)
    assert lift * sin(radians(45)) == pytest.approx(18.0, abs=found.css_a_tooth_mm / 2)


def test_a_supported_shaft_is_lowered_from_touching(rate_plant: Rate) -> None:
    # By hand: 18 / sin 38 = 18 / 0.61566 = 29.24 mm. No thread, so no turns.
    found = rate_plant(plant(cone("supported_shaft"))).machines[0].setting
    assert found is not None
    assert found.moves == "shaft_down"
    assert found.travel_mm == pytest.approx(29.24, abs=0.01)
    assert found.turns is None and found.teeth is None


def test_the_liners_to_fit_stand_with_the_setting(rate_plant: Rate) -> None:
    found = rate_plant(plant(cone("medium_speed", "chamber fine"))).machines[0].setting
    assert found is not None and found.liner_set.startswith("fine_tertiary")


def test_a_jaw_is_not_set_from_touching(rate_plant: Rate) -> None:
    jaw = "jaws.single_toggle(gape: 600 mm, width: 900 mm) { css 50 mm }"
    assert rate_plant(plant(jaw)).machines[0].setting is None


# --- filling -----------------------------------------------------------------------------------


def fed(rate_plant: Rate, load: float, more: str = "") -> Results:
    """A high-speed cone under a load."""
    capacity = rate_plant(plant(cone("high_speed"))).machines[0].capacity_t_h
    assert capacity is not None
    return rate_plant(plant(cone("high_speed", more), load * capacity))


@pytest.mark.slow
def test_a_chamber_is_under_fed_below_the_load_that_keeps_it_full(rate_plant: Rate) -> None:
    """The class keeps a high-speed chamber full from 75 % of its capacity on, and passes no more
    than all of it."""

    def load_code(share: float) -> str | None:
        return check_named(fed(rate_plant, share).machines[0], "load").code

    assert [load_code(share) for share in (0.74, 0.76, 1.01)] == ["W0506", None, "W0501"]


def test_an_under_fed_chamber_says_how_far_it_is_from_full(rate_plant: Rate) -> None:
    """By hand at 40 % of capacity, of 75 %: u = 8/15, u^3 (4 - 3 u) = 0.3641."""
    told = check_named(fed(rate_plant, 0.40).machines[0], "load").text
    assert "filling 36 %" in told
    assert "filling" not in check_named(fed(rate_plant, 0.9).machines[0], "load").text


@pytest.mark.slow
def test_a_plant_at_40_per_cent_load_has_a_coarser_product_than_at_full_load(
    rate_plant: Rate,
) -> None:
    """Common practice, no source: starved against choke fed some 5 to 8 points at the setting, of
    which at 40 % the greater part is there. From 75 % on nothing changes."""

    def passing(load: float) -> float:
        curve = fed(rate_plant, load, "model breakage: setting_curve").products[0].curve
        return float(dict(curve)[20.0])

    at_40, at_75, at_100 = (passing(load) for load in (0.40, 0.75, 1.0))
    assert 0.03 < at_100 - at_40 < 0.07
    assert at_75 == pytest.approx(at_100, abs=1e-9)


@pytest.mark.slow
def test_a_starved_chamber_of_known_energy_spends_less_a_tonne(rate_plant: Rate) -> None:
    """It breaks less: the energy is that of what is broken."""
    energies = []
    for load in (0.05, 0.4, 1.0):
        results = fed(rate_plant, load, "model breakage: matrix_t10")
        machine = results.machines[0]
        assert machine.power_kw is not None and results.plant is not None
        idle = results.plant.machines[0].models["power"].coefficients
        energies.append((machine.power_kw - idle["no_load"]) / machine.feed_t_h)
    assert energies == sorted(energies) and energies[0] < 0.95 * energies[-1]


# --- tramp -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("tramp", "told"),
    [(34, set()), (35, {"W0513"}), (46, {"W0513"}), (47, {"W0505"})],
)
def test_tramp_is_checked_at_the_setting_and_over_its_range(
    rate_plant: Rate, tramp: float, told: set[str]
) -> None:
    """By hand: the class relieves by 40 mm along the axis, at 45 degrees 40 x 0.70711 = 28.3 mm of
    opening. Set to 18 mm it opens to 46.3 mm, at its closest setting of 6 mm to 34.3 mm."""
    results = rate_plant(plant(cone("high_speed"), 100, tramp))
    assert codes(results) & {"W0505", "W0513"} == told


def test_the_setting_from_which_tramp_passes_is_told(rate_plant: Rate) -> None:
    # 40 mm less the 28.3 mm of relief: 11.7, so from 12 mm up.
    machine = rate_plant(plant(cone("high_speed"), 100, 40)).machines[0]
    assert "css 12 mm or more" in check_named(machine, "tramp relief, closest setting").text


def test_an_apron_swings_back_by_its_stroke_itself(rate_plant: Rate) -> None:
    """No angle is stated, so the stroke is the opening: 40 mm gap + 10 % of a 1300 mm rotor."""
    impactor = "impactors.horizontal_shaft(rotor: 1300 mm, width: 1300 mm) { gap 40 mm }"
    text = "use std.impactors\n" + plant(impactor, 100, 169)
    check = check_named(rate_plant(text).machines[0], "tramp relief")
    assert check.verdict == "ok" and check.limit == pytest.approx(170)
    over = rate_plant("use std.impactors\n" + plant(impactor, 100, 171))
    assert "W0505" in codes(over)


# --- rolls -------------------------------------------------------------------------------------


def test_feed_that_the_rolls_cannot_nip_is_told(rate_plant: Rate) -> None:
    """98 % of the feed pass about 59 mm. By hand, friction 0.25 and so 1 / cos = sqrt(1.0625) =
    1.030776: 1040 x 1.030776 - 1020 = 52.0 mm, and 1310 x 1.030776 - 1290 = 60.3 mm."""
    rolls = "rolls.smooth_double(diameter: %D% mm, width: 800 mm) { gap 20 mm }"
    small, large = (rate_plant(plant(rolls.replace("%D%", d), 40)) for d in ("1020", "1290"))
    told = check_named(small.machines[0], "nip")
    assert told.verdict == "over" and told.limit == pytest.approx(52.0, abs=0.05)
    assert "W0514" in codes(small) and "W0503" not in codes(small)
    held = check_named(large.machines[0], "nip")
    assert held.verdict == "watch" and held.limit == pytest.approx(60.3, abs=0.05)


@pytest.mark.slow
def test_pieces_that_moving_rolls_may_let_slip_are_told(rate_plant: Rate) -> None:
    """Friction 0.25 at 3 m/s is 0.25 x 4.36 / 19 = 0.0574; 1310 x sqrt(1.00329) - 1290 = 22 mm."""
    rolls = "rolls.smooth_double(diameter: 1290 mm, width: 800 mm) { gap 20 mm }"
    slipping = rate_plant(plant(rolls, 40))
    told = check_named(slipping.machines[0], "nip")
    assert told.verdict == "watch" and "over 22 mm with slip" in told.text
    assert "W0514" in codes(slipping)
    fine = (
        plant(rolls, 40)
        .replace("60 mm: 100 %, 40 mm: 60 %, ", "")
        .replace("20 mm: 10", "20 mm: 100")
    )
    gripped = rate_plant(fine)
    assert check_named(gripped.machines[0], "nip").verdict == "ok"
