"""Power of screens, feeders and screws, against mechanics by hand and the published form."""

from math import pi

import numpy as np
import pytest
from scipy.integrate import quad

from hoggin.models.drives import hopper_power, screw_power, stated_power, vibrating_power

BESIDE = {"decks": 2.0, "bulk_density_t_m3": 1.6}
SCREEN = {
    **BESIDE,
    "box_mass": 4.0,
    "deck_mass": 1.5,
    "stroke": 10.0,
    "speed": 900.0,
    "shaft": 140.0,
    "length": 6000.0,
    "travel_speed": 0.5,
    "efficiency": 1.0,
}
FEEDER = {
    **BESIDE,
    "width": 1000.0,
    "length": 3000.0,
    "travel_speed": 0.2,
    "shear": 0.5,
    "own_mass": 1.0,
    "friction": 0.1,
    "efficiency": 0.8,
}


def test_an_empty_screen_draws_the_friction_of_its_bearings_under_its_own_inertia() -> None:
    # By hand: 7 t x 5 mm x (94.248 /s)^2 = 310.9 kN; x 0.005 x 70 mm x 94.248 /s = 10.25 kW.
    assert vibrating_power(0.0, **SCREEN) == pytest.approx(10.255, abs=0.005)


def test_rock_on_a_screen_takes_the_energy_of_its_throws() -> None:
    """Mechanics, by scipy: the mean square speed of a box that goes round is that of the rock it
    throws; 360 t/h over 6 m at 0.5 m/s is 1200 kg, thrown 15 times a second."""
    amplitude, turning = 0.005, 2 * pi * 15
    square, _ = quad(lambda t: (amplitude * turning * np.cos(turning * t)) ** 2, 0, 1 / 15)
    thrown_kw = 0.5 * 1200 * (2 * 15 * square) * 15 / 1000
    added = vibrating_power(360.0, **SCREEN) - vibrating_power(0.0, **SCREEN)
    assert added == pytest.approx(thrown_kw)


def test_power_of_an_exciter_goes_as_the_cube_of_its_speed() -> None:
    # Mechanics: its force goes as the square of the speed.
    fast = {**SCREEN, "speed": 1800.0}
    for moved in (0.0, 300.0):
        once = vibrating_power(moved, **SCREEN)
        assert vibrating_power(moved, **fast) == pytest.approx(8 * once)


def test_a_feeder_shears_the_rock_that_rests_on_it() -> None:
    # By hand, load in flow bulk density x g x length x width^2 (Reisner & Rothe 1971, Bruff 1969,
    # from memory): 1600 x 9.80665 x 3 = 47.07 kN; 0.5 x 47.07 + 0.1 x 9.807 = 24.52 kN; x 0.2 m/s
    # / 0.8 = 6.13 kW.
    assert hopper_power(200.0, **FEEDER) == pytest.approx(6.129, abs=0.001)


def test_a_feeder_with_nothing_to_move_stands_still() -> None:
    assert hopper_power([0.0, 1.0], **FEEDER) == pytest.approx([0.0, 6.129], abs=0.001)


def test_a_screw_draws_the_power_of_the_standard() -> None:
    # ISO 7119 (1981), from memory: Q (4 L + H) / 367 + D L / 20. By hand, 90 t/h over 7.6 m, 2.1 m
    # up, 0.914 m across: 90 x 32.5 / 367 = 7.97, and 0.35: 8.32 kW.
    found = screw_power(
        90.0, **BESIDE, diameter=914.0, length=7600.0, lift=2100.0, progress=4.0, efficiency=1.0
    )
    assert found == pytest.approx(8.32, abs=0.01)


def test_a_stated_power_is_drawn_whatever_is_moved() -> None:
    assert stated_power([0.0, 50.0], **BESIDE, drawn=3.0) == pytest.approx(3.0)
