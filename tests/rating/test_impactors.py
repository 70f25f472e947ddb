"""Impactors of the library: power, capacity, cascade and wear, against mechanics."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoggin.schema.results import MachineResult
from tests.rating.conftest import Rate

FEED = "passing { 31.5 mm: 100 %, 16 mm: 55 %, 8 mm: 20 %, 4 mm: 8 %, 1 mm: 2 % }"
LUMPS = "passing { 400 mm: 100 %, 200 mm: 60 %, 80 mm: 25 %, 20 mm: 8 %, 5 mm: 3 % }"

UNHURRIED = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def plant(machine: str, rate_t_h: float, passing: str = FEED, rock: str = "rock") -> str:
    return f"""
use std.impactors
material hard {{
  solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t; abrasion_index 0.4
}}
plant "One impactor, a scenario of our own" {{
  sieves sieves.iso_r20_3
  feed face {{ rock {rock}; rate {rate_t_h} t/h; {passing} }}
  crusher c: impactors.{machine}
  face -> c -> product all
}}
"""


def vertical(speed: float = 60.0, more: str = "", rotor: int = 900) -> str:
    return f"vertical_shaft(rotor: {rotor} mm) {{ tip_speed {speed} m/s; {more} }}"


def horizontal(rotor: int, width: int, gap: float, speed: float = 35.0) -> str:
    size = f"rotor: {rotor} mm, width: {width} mm"
    return f"horizontal_shaft({size}) {{ gap {gap} mm; tip_speed {speed} m/s }}"


def rated(rate_plant: Rate, *given: object, **more: object) -> MachineResult:
    return rate_plant(plant(*given, **more)).machines[0]  # type: ignore[arg-type]


def power_kw(machine: MachineResult) -> float:
    assert machine.power_kw is not None
    return machine.power_kw


def verdict(machine: MachineResult, name: str) -> str:
    (found,) = (check.verdict for check in machine.checks if check.name == name)
    return found


# --- power ---------------------------------------------------------------------------------------


def kinetic_kw(rate_t_h: float, speed: float) -> float:
    """m v^2 / 2, mechanics: t/h over 3.6 is kg/s."""
    return rate_t_h / 3.6 * speed**2 / 2.0 / 1000.0


def test_the_kinetic_energy_by_hand() -> None:
    # 177 t/h = 49.17 kg/s; x 75^2 / 2 = 138.3 kW.
    assert kinetic_kw(177.0, 75.0) == pytest.approx(138.3, abs=0.05)


@pytest.mark.slow
@UNHURRIED
@given(
    rate=st.floats(5.0, 400.0),
    speed=st.floats(40.0, 80.0),
    rotor=st.sampled_from([500, 900, 1200]),
    lining=st.sampled_from(["rock", "anvils"]),
)
def test_a_vertical_shaft_never_draws_less_than_it_gives_the_rock(
    rate_plant: Rate, rate: float, speed: float, rotor: int, lining: str
) -> None:
    """Conservation of energy. Rock leaves a rotor with the tip's speed along the rim and about as
    much outwards, so the shaft gives m v^2 (Euler's equation of turbomachines: torque is mass flow
    x radius x tangential speed)."""
    drawn = power_kw(rated(rate_plant, vertical(speed, f"lining {lining}", rotor), rate))
    assert drawn >= 2.0 * kinetic_kw(rate, speed)


def test_a_vertical_shaft_draws_about_the_mass_flow_times_its_speed_squared(
    rate_plant: Rate,
) -> None:
    """177 t/h at 75 m/s: 277 kW, and some windage and losses in bearings and belts on top."""
    drawn = power_kw(rated(rate_plant, vertical(75.0), 177))
    assert 277.0 < drawn < 1.35 * 277.0


@pytest.mark.slow
@UNHURRIED
@given(
    rate=st.floats(5.0, 600.0),
    speed=st.floats(22.0, 50.0),
    gap=st.floats(20.0, 150.0),
    passing=st.sampled_from([FEED, LUMPS]),
)
def test_a_horizontal_shaft_never_draws_less_than_it_gives_the_rock(
    rate_plant: Rate, rate: float, speed: float, gap: float, passing: str
) -> None:
    drawn = power_kw(rated(rate_plant, horizontal(1300, 1300, gap, speed), rate, passing))
    assert drawn >= kinetic_kw(rate, speed)


def test_a_horizontal_shaft_draws_what_the_trade_expects(rate_plant: Rate) -> None:
    """0.4 to 1.2 kWh/t on quarried rock: common practice, no source."""
    machine = rated(rate_plant, horizontal(1300, 1300, 50, 35), 250, LUMPS)
    assert 0.4 < power_kw(machine) / 250.0 < 1.2


def test_more_rock_than_the_motor_can_throw_is_over(rate_plant: Rate) -> None:
    """A rotor of 900 mm has 446 kW. By hand 220 t/h at 60 m/s takes m v^2 = 220 kW, at 80 m/s
    391 kW; over 90 % efficiency 244 and 435 kW, and windage on top."""
    slow, fast = (rated(rate_plant, vertical(speed), 220) for speed in (60.0, 80.0))
    assert verdict(slow, "installed power") == "ok"
    assert verdict(fast, "installed power") == "over"


# --- cascade and lining --------------------------------------------------------------------------


def passing(machine: MachineResult) -> float:
    assert machine.p80_mm is not None
    return machine.p80_mm


def test_cascaded_rock_takes_no_energy_from_the_rotor(rate_plant: Rate) -> None:
    """By conservation the shaft gives the thrown 70 % its v^2, and nothing to the rest."""
    none, some = (rated(rate_plant, vertical(60.0, f"cascade {c} %"), 150) for c in (0, 30))
    idle = power_kw(rated(rate_plant, vertical(60.0), 1e-6))
    assert power_kw(some) - idle == pytest.approx(0.7 * (power_kw(none) - idle))


def test_cascaded_rock_is_broken_little(rate_plant: Rate) -> None:
    """A direction; common practice, no source."""
    sizes = [passing(rated(rate_plant, vertical(60.0, f"cascade {c} %"), 150)) for c in (0, 15, 30)]
    assert sizes[0] < sizes[1] < sizes[2] < 24.0  # the feed's P80 is about 24 mm


def test_rock_that_falls_around_the_rotor_does_not_load_it(rate_plant: Rate) -> None:
    """The rotor passes what it passes: with 20 % around it the machine takes 1 / 0.8 of that."""
    none, some = (rated(rate_plant, vertical(60.0, f"cascade {c} %"), 150) for c in (0, 20))
    assert none.capacity_t_h is not None and some.capacity_t_h is not None
    assert some.capacity_t_h == pytest.approx(none.capacity_t_h / 0.8)


def test_anvils_break_finer_than_a_bed_of_rock_and_cost_more_metal(rate_plant: Rate) -> None:
    """A direction; common practice, no source."""
    rock, anvils = (
        rated(rate_plant, vertical(60.0, f"lining {lining}"), 150, rock="hard")
        for lining in ("rock", "anvils")
    )
    assert passing(anvils) < passing(rock)
    assert power_kw(anvils) == pytest.approx(power_kw(rock))  # the rotor is the same
    assert rock.wear is not None and anvils.wear is not None
    assert anvils.wear.metal_g_t > rock.wear.metal_g_t


# --- capacity ------------------------------------------------------------------------------------


def capacity(rate_plant: Rate, *given: float) -> float:
    found = rated(rate_plant, horizontal(*given), 100, LUMPS).capacity_t_h  # type: ignore[arg-type]
    assert found is not None
    return found


def test_a_larger_rotor_takes_more_rock_through_a_wide_gap(rate_plant: Rate) -> None:
    assert capacity(rate_plant, 2000, 700, 150) > 1.5 * capacity(rate_plant, 1300, 700, 150)


def test_a_wide_gap_does_not_let_a_rotor_take_more_than_enters_it(rate_plant: Rate) -> None:
    """Some 300 to 600 t/h for a rotor of 1300 x 1400 mm: common practice, no source."""
    assert 300.0 < capacity(rate_plant, 1300, 1400, 150) < 600.0


def test_capacity_grows_with_the_five_halves_power_of_size(rate_plant: Rate) -> None:
    """Rock enters by free fall: at similar geometry volume flow goes as L^2 sqrt(g L) (Froude)."""
    ratio = capacity(rate_plant, 2000, 2000, 150) / capacity(rate_plant, 1000, 1000, 150)
    assert ratio == pytest.approx(2.0**2.5, rel=1e-6)


def test_a_feed_over_the_capacity_is_over(rate_plant: Rate) -> None:
    machine = rated(rate_plant, horizontal(1300, 700, 150), 600, LUMPS)
    assert verdict(machine, "load") == "over"


# --- gradings ------------------------------------------------------------------------------------


def test_limestone_has_its_usual_fines(rate_plant: Rate) -> None:
    """15 to 25 % under 5 mm from a horizontal shaft at its usual speed: memory."""
    text = plant(horizontal(1300, 1300, 40, 35), 200, LUMPS)
    text = text.replace("sieves sieves.iso_r20_3", "sieves { 40 mm, 5 mm, 1 mm }")
    passing = rate_plant(text).products[0].passing
    assert 0.15 < passing[1] < 0.25


# --- wear ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("machine", [horizontal(1200, 1200, 40), vertical()])
def test_metal_worn_goes_as_abrasiveness_and_as_the_energy_given(
    rate_plant: Rate, machine: str
) -> None:
    """Erosion by impact: metal in proportion to the kinetic energy (Finnie 1960, from memory)."""
    slow = rated(rate_plant, machine, 100, rock="hard").wear
    assert slow is not None and slow.life_h is not None
    assert slow.metal_g_t == pytest.approx(slow.metal_g_kwh * slow.net_energy_kwh_t)
    softer = plant(machine, 100, rock="hard").replace("index 0.4", "index 0.1")
    soft = rate_plant(softer).machines[0].wear
    assert soft is not None and soft.metal_g_t == pytest.approx(slow.metal_g_t / 4.0)


def test_metal_worn_off_a_rotor_goes_as_its_speed_squared(rate_plant: Rate) -> None:
    slow, fast = (
        rated(rate_plant, vertical(speed), 100, rock="hard").wear for speed in (40.0, 80.0)
    )
    assert slow is not None and fast is not None
    assert fast.metal_g_t == pytest.approx(4.0 * slow.metal_g_t)


def test_blow_bars_wear_as_the_trade_knows_them(rate_plant: Rate) -> None:
    """On rock of Ai 0.4, 50 to 250 g/t: common practice, no source."""
    wear = rated(rate_plant, horizontal(1300, 1300, 50), 250, LUMPS, rock="hard").wear
    assert wear is not None and 50.0 < wear.metal_g_t < 250.0


# --- feed rate -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("machine", "passed"), [(vertical(), FEED), (horizontal(1300, 1300, 40), LUMPS)]
)
def test_the_product_is_coarser_the_more_is_fed(
    rate_plant: Rate, machine: str, passed: str
) -> None:
    """The least size broken rises with the feed rate, and the share of fines follows it: Nikolov
    (2002), abstract looked up; the direction of the second from memory."""
    capacity_t_h = rated(rate_plant, machine, 10, passed).capacity_t_h
    assert capacity_t_h is not None
    sizes = [
        passing(rated(rate_plant, machine, share * capacity_t_h, passed))
        for share in (0.05, 0.4, 0.95)
    ]
    assert sizes[0] < sizes[1] < sizes[2] < 1.2 * sizes[0]


def test_a_crowded_rotor_still_gives_all_of_the_energy(rate_plant: Rate) -> None:
    """Conservation: rock that lies in rock's way is thrown as well. Power over the idle power is
    in proportion to the feed, however full the rotor is."""
    idle, half, full = (power_kw(rated(rate_plant, vertical(), rate)) for rate in (1e-6, 110, 220))
    assert full - idle == pytest.approx(2.0 * (half - idle))
