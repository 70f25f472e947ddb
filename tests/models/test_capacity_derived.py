"""Capacities against derivations of our own from the geometry the papers start from, and rolls."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from hoggin.models.capacity import (
    choke_zone_capacity,
    critical_speed_rpm,
    jaw_capacity,
    nipped_size_mm,
    roll_capacity,
    rotor_capacity,
)

ROCK = {"solid_density_t_m3": 2.7, "bulk_density_t_m3": 1.6}
GAPE, WIDTH, CSS, THROW = 1.0, 1.2, 0.10, 0.04  # m
DEPTH = 2 * GAPE  # Rose & English (1967) take a chamber twice as deep as its gape; from memory
G = 9.80665


def fall_between_strokes() -> float:
    """How far rock drops when the jaw opens from css to css + throw, m: similar triangles of a
    wedge that closes from gape to css over its depth."""
    return DEPTH * THROW / (GAPE - CSS)


def test_jaw_runs_best_where_rock_just_falls_its_way_in_half_a_stroke() -> None:
    """By hand: h = g t^2 / 2 with t = 30 / n, so n = 30 sqrt(g / (2 h)). With the depth of two
    gapes this is 46.97 / sqrt(T) sqrt((R - 1) / R): the published 47 is that number rounded."""
    by_hand = 30.0 * np.sqrt(G / (2.0 * fall_between_strokes()))
    ours = critical_speed_rpm(gape=1000 * GAPE, css=1000 * CSS, throw=1000 * THROW)
    assert ours == pytest.approx(by_hand, rel=0.001)


@pytest.mark.parametrize("speed", [90.0, 140.0])
def test_slow_jaw_passes_the_trapezoid_of_rock_that_drops_at_each_stroke(speed: float) -> None:
    """By hand: a stroke lets out a trapezoid css wide at the top of its fall's end and css + throw
    at the other, as deep as the fall and as wide as the jaw."""
    trapezoid = (CSS + CSS + THROW) / 2.0 * fall_between_strokes() * WIDTH
    by_hand = 60.0 * speed * trapezoid * 2.7
    ours = jaw_capacity(
        **ROCK,
        gape=1000 * GAPE,
        width=1000 * WIDTH,
        css=1000 * CSS,
        throw=1000 * THROW,
        speed=speed,
        packing=1.0,
    )
    assert ours == pytest.approx(by_hand, rel=0.002)


@pytest.mark.parametrize(
    ("css", "throw", "diameter", "speed"), [(20, 26, 1300, 290), (140, 33, 1650, 240)]
)
def test_fast_choke_zone_of_cone_and_gyratory_is_the_flow_through_a_gap_that_goes_round(
    css: float, throw: float, diameter: float, speed: float
) -> None:
    """Worked another way, by scipy: the gap css + throw (1 - cos phi) / 2 integrated round the
    circle, and the fall from Newton's law over half a turn of the head (Gauldie 1953, Evertsson
    2000, the idea; from memory)."""
    area_mm2, _ = quad(
        lambda phi: (css + throw * (1 - np.cos(phi)) / 2) * diameter / 2, 0, 2 * np.pi
    )
    half_turn_s = 30.0 / speed
    fall = solve_ivp(lambda _, y: [y[1], G], (0, half_turn_s), [0.0, 0.0], rtol=1e-10)
    volume_m3_h = area_mm2 / 1e6 * fall.y[0, -1] * 60.0 * speed
    ours = choke_zone_capacity(**ROCK, css=css, throw=throw, mean_diameter=diameter, speed=speed)
    assert ours == pytest.approx(volume_m3_h * 1.6, rel=1e-6)


_ROTOR = {"width": 1000.0, "gap": 40.0, "tip_speed": 30.0, "drop": 500.0, "inlet_fill": 0.03}


def test_impactor_passes_rock_in_proportion_to_tip_speed_gap_and_width() -> None:
    """Conservation of volume: what passes a gap is its section times the speed."""
    base = {**_ROTOR, "inlet": 3000.0}  # more enters than the gap passes
    once = rotor_capacity(**ROCK, **base)
    for name in ("width", "gap", "tip_speed"):
        twice = rotor_capacity(**ROCK, **{**base, name: 2 * base[name]})
        assert twice == pytest.approx(2 * once)


def test_impactor_takes_no_more_than_falls_into_its_rotor() -> None:
    """The fall from Newton's law, by scipy: speed after half a metre from rest."""

    def landed(_: float, y: np.ndarray) -> float:
        return float(y[0] - 0.5)

    landed.terminal = True  # type: ignore[attr-defined]
    fall = solve_ivp(lambda _, y: [y[1], G], (0, 1), [0.0, 0.0], events=landed, rtol=1e-10)
    volume_m3_h = 1.0 * 0.3 * fall.y[1, -1] * 0.03 * 3600.0  # 1 m wide, 0.3 m high, 3 % rock
    ours = rotor_capacity(**ROCK, **{**_ROTOR, "gap": 400.0}, inlet=300.0)
    assert ours == pytest.approx(volume_m3_h * 1.6, rel=1e-6)


def test_rolls_pass_the_ribbon_by_the_formula_of_the_handbooks() -> None:
    """Taggart (1945), as in later handbooks, from memory: Q = 188.5 N D W s rho, t/h, with N a
    minute and D, W, s in m; of this about a quarter passes."""
    revolutions = 60.0
    peripheral = np.pi * 1.0 * revolutions / 60.0  # rolls 1 m across
    ours = roll_capacity(**ROCK, width=800.0, gap=12.0, peripheral_speed=peripheral, ribbon=0.25)
    assert ours == pytest.approx(0.25 * 188.5 * revolutions * 1.0 * 0.8 * 0.012 * 2.7, rel=1e-3)


def test_rolls_by_hand() -> None:
    # 1 m x 0.01 m x 2 m/s = 0.02 m3/s = 72 m3/h; x 2.7 t/m3 = 194.4 t/h; a quarter is 48.6 t/h.
    assert roll_capacity(**ROCK, width=1000.0, gap=10.0, peripheral_speed=2.0) == pytest.approx(
        48.6
    )


def test_nip_by_hand() -> None:
    # mu 0.3: half angle atan 0.3 = 16.70 deg, cos 0.95783; 1010 / 0.95783 - 1000 = 54.5 mm.
    assert nipped_size_mm(diameter=1000.0, gap=10.0, friction=0.3) == pytest.approx(54.5, abs=0.05)


@pytest.mark.parametrize("friction", [0.15, 0.25, 0.4])
def test_a_piece_of_the_nipped_size_is_just_held_by_friction(friction: float) -> None:
    """Statics, solved by scipy without the formula: a round piece rests on both rolls; the sum of
    the normal forces pushes it up, friction at its limit pulls it down. The largest piece nipped
    is the one where the two are equal."""
    roll, gap = 400.0, 8.0  # radius and gap, mm

    def net_upwards(diameter: float) -> float:
        sideways = roll + gap / 2.0  # from the middle to a roll's axis
        slope = np.arccos(sideways / (roll + diameter / 2.0))  # of the line of centres
        return float(np.sin(slope) - friction * np.cos(slope))

    by_statics = brentq(net_upwards, gap + 1e-9, 500.0)
    ours = nipped_size_mm(diameter=2 * roll, gap=gap, friction=friction)
    assert ours == pytest.approx(by_statics)


def test_without_friction_only_what_fits_the_gap_goes_through() -> None:
    assert nipped_size_mm(diameter=1000.0, gap=10.0, friction=0.0) == pytest.approx(10.0)


def test_impossible_rolls_are_refused() -> None:
    with pytest.raises(ValueError, match="diameter"):
        nipped_size_mm(diameter=0.0, gap=10.0, friction=0.3)
