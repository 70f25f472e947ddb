"""Troughed belts against geometry and against ISO 5048 worked by hand (equations from memory)."""

from math import asin, cos, degrees, log, pi, radians, sin, sqrt, tan

import numpy as np
import pytest
from scipy.integrate import quad

from hoggin.models.conveyors import (
    belt_force_n,
    belt_power,
    cap_share,
    secondary_coefficient,
    section_m2,
    slope_deg,
    slope_factor,
    trough_capacity,
    usable_width_m,
)


def test_the_usable_width_of_a_1000_mm_belt_is_850_mm() -> None:
    # ISO 5048 (1989), from memory: 0.9 x 1 - 0.05 = 0.85 m; over 2 m B - 0.25.
    assert usable_width_m([1000.0, 2000.0, 2400.0]) == pytest.approx([0.85, 1.75, 2.15])


def test_a_flat_belt_carries_a_parabola_of_the_surcharge_angle() -> None:
    # Geometry: a parabola that meets the belt at the surcharge angle, width b, is b^2 tan / 6;
    # y = tan(20) (b^2/4 - x^2) / b integrated by scipy.
    b = 0.85
    cap, _ = quad(lambda x: tan(radians(20)) * (b**2 / 4 - x**2) / b, -b / 2, b / 2)
    assert section_m2(1000.0, 380.0, 0.0, 20.0) == pytest.approx(cap, rel=1e-9)


def test_without_surcharge_the_trough_is_a_trapezium() -> None:
    # Geometry by hand, 45 degrees: sides (0.85 - 0.38) / 2 = 0.235 m, high and out 0.1661701;
    # (0.38 + 0.1661701) x 0.1661701.
    side = 0.235 / sqrt(2)
    by_hand = (0.38 + side) * side
    assert section_m2(1000.0, 380.0, 45.0, 0.0) == pytest.approx(by_hand, rel=1e-9)


def test_the_section_of_a_1000_mm_belt_troughed_by_30_degrees() -> None:
    # ISO 5048 (1989), from memory, by hand for l 0.38, b 0.85, trough 30, surcharge 15 degrees:
    # top 0.38 + 0.47 cos 30 = 0.78703; cap 0.78703^2 tan 15 / 6 = 0.027662;
    # trough (0.38 + 0.235 cos 30) 0.235 sin 30 = 0.068563; together 0.09622 m2.
    assert section_m2(1000.0, 380.0, 30.0, 15.0) == pytest.approx(0.09622, abs=2e-5)


def test_an_empty_section_carries_nothing_on_any_slope() -> None:
    # A flat belt of rock without surcharge: geometry.
    assert cap_share(1000.0, 380.0, 0.0, [0.0, 20.0]) == pytest.approx([0.0, 1.0])


def test_capacity_on_the_level_is_section_times_speed_times_density() -> None:
    # By hand: 0.09622 m2 x 1.5 m/s x 3600 s/h x 1.6 t/m3 x 80 % = 665.1 t/h.
    flow = trough_capacity(
        width=1000.0,
        middle_roll=380.0,
        trough_angle=30.0,
        surcharge_angle=15.0,
        travel_speed=1.5,
        length=50.0,
        lift=0.0,
        solid_density_t_m3=2.7,
        bulk_density_t_m3=1.6,
        fill=0.8,
    )
    assert flow == pytest.approx(665.1, abs=0.2)


def test_a_slope_takes_from_the_cap_only_and_all_of_it_at_the_surcharge_angle() -> None:
    # ISO 5048 (1989), from memory: k1 = sqrt((cos^2 d - cos^2 s) / (1 - cos^2 s)); by hand for
    # d 10, s 20 degrees: sqrt((0.969846 - 0.883022) / 0.116978) = 0.861521.
    lift = 100 * sin(radians(10))
    assert slope_factor(100.0, lift, 20.0, 1.0) == pytest.approx(0.861521, abs=1e-5)
    assert slope_factor(100.0, lift, 20.0, 0.3) == pytest.approx(1 - 0.3 * 0.138479, abs=1e-5)
    assert slope_factor(100.0, [0.0, 100 * sin(radians(25))], 20.0, 0.3) == pytest.approx([1, 0.7])


# Coefficient C by length, m: DIN 22101 below 80 m, ISO 5048 (1989) from there. All of both tables
# up to 2000 m, from memory.
C = {
    **{3: 9.0, 4: 7.6, 5: 6.6, 6: 5.9, 8: 5.1, 10: 4.5, 13: 4.0, 16: 3.6, 20: 3.2, 25: 2.9},
    **{32: 2.6, 40: 2.4, 50: 2.2, 63: 2.0, 80: 1.92, 90: 1.86, 100: 1.78, 120: 1.70, 140: 1.63},
    **{160: 1.56, 180: 1.50, 200: 1.45, 250: 1.38, 300: 1.31, 350: 1.27, 400: 1.25, 450: 1.22},
    **{500: 1.20, 600: 1.17, 700: 1.14, 800: 1.12, 900: 1.10, 1000: 1.09, 1500: 1.06, 2000: 1.05},
}


def test_coefficient_c_is_that_of_the_table() -> None:
    lengths = np.array([*C], dtype=float)
    assert secondary_coefficient(lengths) == pytest.approx([*C.values()], rel=1e-12)


def test_coefficient_c_falls_with_length_and_is_read_in_the_logarithm() -> None:
    falling = secondary_coefficient(np.linspace(3, 3000, 500))
    assert (np.diff(falling) <= 0).all()
    share = log(150 / 140) / log(160 / 140)  # by hand, between 140 m: 1.63 and 160 m: 1.56
    assert secondary_coefficient(150.0) == pytest.approx(1.63 - share * 0.07)


def test_a_conveyor_worked_by_hand() -> None:
    """ISO 5048 (1989), from memory: 100 m at 10 m lift, 360 t/h at 2 m/s, so 50 kg/m; belt 2.4 t,
    rolls 1.8 t. cos(asin 0.1) = 0.994987. F = 1.78 x 0.02 x 9.81 x (1800 + (2400 + 5000) x
    0.994987) + 50 x 10 x 9.81 = 3200.0 + 4905 N; 8105 N x 2 m/s / 0.9 = 18.01 kW."""
    run = {"travel_speed": 2.0, "length": 100.0, "lift": 10.0, "belt_mass": 2.4, "roll_mass": 1.8}
    moved = 1800 + 7400 * cos(asin(0.1))
    force = 1.78 * 0.02 * 9.81 * moved + 4905
    assert belt_force_n(360.0, **run) == pytest.approx(force, rel=1e-9)
    assert belt_force_n(360.0, **run) == pytest.approx(8105, abs=2)
    assert belt_power(360.0, **run) == pytest.approx(18.01, abs=0.01)


def test_without_friction_the_power_is_that_of_lifting() -> None:
    # Mechanics by hand: 360 t/h is 100 kg/s; 100 x 9.81 x 10 m = 9.81 kW, at any speed.
    run = {"length": 100.0, "lift": 10.0, "belt_mass": 2.4, "roll_mass": 1.8, "friction": 0.0}
    powers = belt_power([360.0, 360.0], travel_speed=[1.0, 3.0], efficiency=1.0, **run)
    assert powers == pytest.approx([9.81, 9.81])


def test_the_slope_is_that_of_a_right_triangle() -> None:
    assert slope_deg([2.0, 10.0], [1.0, 0.0]) == pytest.approx([30.0, 0.0])
    assert slope_deg(5.0, 8.0) == pytest.approx(degrees(pi / 2))  # no belt, but no error either
