"""Capacities against the published forms, worked again from other sides."""

import numpy as np
import pytest

from hoggin.models.capacity import (
    choke_zone_capacity,
    critical_nutations_rpm,
    critical_speed_rpm,
    jaw_capacity,
    layer_capacity,
    rated_capacity,
    rotor_capacity,
)

ROCK = {"solid_density_t_m3": 2.7, "bulk_density_t_m3": 1.6}
JAW = {"gape": 1100.0, "width": 1300.0, "css": 130.0, "throw": 54.0, "packing": 1.0}
R = 1100.0 / 130.0


def test_jaw_below_critical_speed_is_the_stroke_limited_formula() -> None:
    # Rose & English (1967), as in Gupta & Yan (2006), ch. 4, from memory:
    # Q = 60 T v w (2 Lmin + T) (R / (R - 1)) rho, lengths in m.
    expected = 60.0 * 0.054 * 120.0 * 1.3 * (2 * 0.130 + 0.054) * R / (R - 1.0) * 2.7
    assert jaw_capacity(**ROCK, **JAW, speed=120.0) == pytest.approx(expected, rel=1e-12)


def test_jaw_above_critical_speed_is_the_fall_limited_formula() -> None:
    # Gupta & Yan (2006), from memory: Q = 132 000 w (2 Lmin + T) rho / v; 60 x 47^2 = 132 540.
    expected = 132_000.0 * 1.3 * (2 * 0.130 + 0.054) / 280.0 * 2.7
    assert jaw_capacity(**ROCK, **JAW, speed=280.0) == pytest.approx(expected, rel=0.005)


def test_jaw_without_a_speed_runs_at_its_critical_speed_and_no_speed_gives_more() -> None:
    critical = critical_speed_rpm(gape=1100.0, css=130.0, throw=54.0)
    # By hand: 47 / sqrt(0.054) x sqrt(7.4615 / 8.4615) = 202.26 x 0.93905 = 189.9.
    assert critical == pytest.approx(189.9, abs=0.1)
    most = jaw_capacity(**ROCK, **JAW)
    assert jaw_capacity(**ROCK, **JAW, speed=critical) == pytest.approx(most)
    speeds = np.linspace(60.0, 400.0, 35)
    assert np.all(jaw_capacity(**ROCK, **JAW, speed=speeds) <= most)


def test_jaw_as_wide_open_as_its_gape_is_refused() -> None:
    with pytest.raises(ValueError, match="gape"):
        jaw_capacity(**ROCK, **{**JAW, "css": 1100.0})


ZONE = {"css": 30.0, "throw": 20.0, "mean_diameter": 1000.0, "nip_angle": 20.0}


def test_fast_choke_zone_is_the_annulus_times_the_free_fall_of_half_a_turn() -> None:
    # By hand: 300 rpm, half a turn is 0.1 s, fall 0.5 x 9.80665 x 0.01 = 0.04903 m, less than the
    # 0.02 / tan 20 = 0.0549 m that the stroke lets it; annulus pi x 1 m x (0.030 + 0.010) m =
    # 0.12566 m2; 300 x 60 x 0.0061618 m3 x 1.6 t/m3 = 177.5 t/h.
    assert choke_zone_capacity(**ROCK, **ZONE, speed=300.0) == pytest.approx(177.5, abs=0.1)


def test_a_choke_zone_filled_to_a_share_passes_that_share() -> None:
    # Conservation of volume, by hand: 80 % of the 177.5 t/h above are 142.0 t/h.
    found = choke_zone_capacity(**ROCK, **ZONE, speed=300.0, fill=0.8)
    assert found == pytest.approx(142.0, abs=0.1)


def test_slow_choke_zone_is_the_annulus_times_what_the_stroke_lets_through() -> None:
    # By hand: 0.02 m / tan 20 deg = 0.05495 m x 0.12566 m2 = 0.0069052 m3 a turn, at 200 a minute
    # x 60 x 1.6 t/m3 = 132.6 t/h; the fall of half a turn, 0.110 m, would be twice as much.
    assert choke_zone_capacity(**ROCK, **ZONE, speed=200.0) == pytest.approx(132.6, abs=0.1)


def test_choke_zone_without_a_throw_lets_nothing_through() -> None:
    # Conservation of volume: liners that do not open let no rock pass.
    assert choke_zone_capacity(**ROCK, **{**ZONE, "throw": 0.0}, speed=150.0) == 0.0


def test_choke_zone_takes_most_at_its_critical_speed() -> None:
    # Below it the stroke is the limit, above it the fall, whose flow goes as 1 / speed: Rose &
    # English (1967) for jaws, Evertsson (2000) for cones, both from memory.
    critical = critical_nutations_rpm(throw=20.0, nip_angle=20.0)
    speeds = critical * np.array([0.5, 1.0, 2.0])
    half, most, twice = choke_zone_capacity(**ROCK, **ZONE, speed=speeds)
    assert half == pytest.approx(most / 2) and twice == pytest.approx(most / 2)


@pytest.mark.parametrize("speed", [100.0, 300.0])
def test_an_annulus_rolled_out_is_a_jaw(speed: float) -> None:
    """Rose & English (1967), as in Gupta & Yan (2006), ch. 4, from memory: a jaw as wide as the
    annulus is long, with the same angle. Their jaw is twice as deep as its gape, so
    tan(angle) = (R - 1) / 2 R; its loose rock is packing x solid density."""
    jaw = {**JAW, "packing": 1.6 / 2.7, "width": np.pi * 1650.0}
    angle = np.degrees(np.arctan((R - 1.0) / (2.0 * R)))
    zone = {"css": 130.0, "throw": 54.0, "mean_diameter": 1650.0, "nip_angle": angle}
    rolled_out = jaw_capacity(**ROCK, **jaw, speed=speed)
    assert choke_zone_capacity(**ROCK, **zone, speed=speed) == pytest.approx(rolled_out, rel=2e-3)
    critical = critical_speed_rpm(gape=1100.0, css=130.0, throw=54.0)
    found = critical_nutations_rpm(throw=54.0, nip_angle=angle)
    assert found == pytest.approx(critical, rel=1e-3)  # 47 is rounded


def test_rotor_and_layer_conserve_volume() -> None:
    # By hand: 1 m x 0.05 m x 30 m/s x 5 % = 0.075 m3/s = 270 m3/h = 432 t/h; more could enter.
    inlet = {"inlet": 4000.0, "drop": 500.0, "inlet_fill": 0.05}
    rotor = rotor_capacity(**ROCK, **inlet, width=1000.0, gap=50.0, tip_speed=30.0, fill=0.05)
    assert rotor == pytest.approx(432.0)
    # 1 m x 0.3 m x 0.2 m/s = 0.06 m3/s = 216 m3/h = 345.6 t/h.
    layer = layer_capacity(**ROCK, width=1000.0, depth=300.0, travel_speed=0.2)
    assert layer == pytest.approx(345.6)


def test_a_stated_capacity_holds_at_its_density_and_scales_with_it() -> None:
    assert rated_capacity(**ROCK, rated=300.0) == pytest.approx(300.0)
    lighter = {**ROCK, "bulk_density_t_m3": 1.2}
    assert rated_capacity(**lighter, rated=300.0) == pytest.approx(225.0)


def test_a_batch_of_settings_gives_a_capacity_each() -> None:
    speeds = np.array([150.0, 230.0, 300.0])
    together = jaw_capacity(**ROCK, **JAW, speed=speeds)
    assert together.shape == (3,)
    assert together[1] == pytest.approx(jaw_capacity(**ROCK, **JAW, speed=230.0)[0], rel=1e-14)
