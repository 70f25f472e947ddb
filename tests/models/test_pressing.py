"""A bed pressed between rolls, against conservation of mass and energy, and scipy."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm
from scipy.optimize import brentq

from hoggin.models.arrays import Array
from hoggin.models.breakage import breakage_matrix
from hoggin.models.capacity import roll_capacity
from hoggin.models.grading import passing_at, size_at
from hoggin.models.points import halves, points
from hoggin.models.pressing import (
    bed_grip,
    pressed_operator,
    pressing_energy,
    specific_energy_kwh_t,
)

EDGES = np.append(63.0 * 10.0 ** -np.arange(0.0, 3.01, 0.05), 0.0)
ROCK = {"solid_density_t_m3": 2.7, "bulk_density_t_m3": 1.6}
ROLLS = {"diameter": 1200.0, "gap": 30.0, "flake_share": 0.85}
PRESS: dict[str, Any] = {**ROLLS, **ROCK, "width": 800.0, "specific_force": 3.0}
FEED = np.where(EDGES[:-1] <= 40.0, 1.0, 0.0) * np.diff(-(EDGES**0.8))
FEED = FEED / FEED.sum()


def product(**changed: Any) -> Array:
    made: Array = pressed_operator(EDGES, **{**PRESS, **changed})[0] @ FEED
    return made


def p50(**changed: Any) -> float:
    return float(size_at(EDGES, product(**changed)[np.newaxis], 0.5)[0])


# --- grip and energy -----------------------------------------------------------------------------


@pytest.mark.parametrize("gap", [15.0, 30.0, 45.0])
def test_the_bed_that_is_gripped_weighs_what_the_flake_weighs(gap: float) -> None:
    """Conservation of mass, solved by scipy without the formula: at the grip, at bulk density, the
    same mass passes as at the gap at the flake's."""
    flake, bulk, diameter = 0.85 * 2.7, 1.6, 1200.0

    def surplus(angle: float) -> float:
        room = gap + diameter * (1.0 - np.cos(angle))
        return float(bulk * room * np.cos(angle) - flake * gap)

    angle = brentq(surplus, 0.0, 0.5)
    grip = bed_grip(**{**ROLLS, "gap": gap}, **ROCK)
    assert grip.angle_rad == pytest.approx(angle)
    assert grip.room_mm == pytest.approx(gap + diameter * (1.0 - np.cos(angle)))


def test_rock_that_is_not_pressed_is_not_gripped() -> None:
    """A flake of the loose bed's own density fits without force."""
    loose = bed_grip(**{**ROLLS, "flake_share": 1.6 / 2.7}, **ROCK)
    assert loose.angle_rad == pytest.approx(0.0, abs=1e-3)
    assert loose.room_mm == pytest.approx(30.0, abs=1e-3)


@pytest.mark.parametrize(("width", "speed"), [(0.8, 1.2), (1.6, 0.5)])
def test_power_by_torque_over_throughput_is_the_specific_energy(width: float, speed: float) -> None:
    """Statics and kinematics: each roll's torque is force x radius x sin(angle), it turns at u /
    radius, and the ribbon of flakes is the throughput. Neither width nor speed counts."""
    force_kn = 3000.0 * 1.2 * width
    angle = 0.5 * float(bed_grip(**ROLLS, **ROCK).angle_rad[0])
    torque_kn_m = force_kn * 0.6 * np.sin(angle)
    power_kw = 2.0 * torque_kn_m * speed / 0.6
    passes = roll_capacity(
        **ROCK, width=1000.0 * width, gap=30.0, peripheral_speed=speed, ribbon=0.85
    )
    ours = specific_energy_kwh_t(**ROLLS, **ROCK, specific_force=3.0, acting_share=0.5)
    assert ours == pytest.approx(power_kw / passes)


def test_the_specific_energy_is_in_the_published_range() -> None:
    """1 to 3 kWh/t at 2 to 4 N/mm2: memory of published pilot tests."""
    for force in (2.0, 4.0):
        energy = pressing_energy(EDGES, FEED[np.newaxis], **{**PRESS, "specific_force": force})
        assert 1.0 < float(energy[0]) < 3.0


def test_the_specific_throughput_is_in_the_published_range() -> None:
    """180 to 250 t s/(h m3) for hard rock: memory. Definition: t/h over D x L x u."""
    passes = roll_capacity(**ROCK, width=800.0, gap=30.0, peripheral_speed=1.2, ribbon=0.85)
    assert 180.0 < float(passes[0]) / (1.2 * 0.8 * 1.2) < 250.0


def test_nothing_fed_takes_no_energy() -> None:
    assert pressing_energy(EDGES, np.zeros((1, len(EDGES) - 1)), **PRESS) == pytest.approx(0.0)


def test_two_rocks_share_the_bed_by_volume() -> None:
    """Definition: a tonne of half and half has the volume 1/2 (1/3.0 + 1/2.4) m3."""
    two = {"solid_density_t_m3": np.array([[3.0, 2.4]]), "bulk_density_t_m3": 1.6}
    of_both = pressing_energy(
        EDGES, FEED[np.newaxis], **{**PRESS, **two}, rock_shares=np.array([[0.5, 0.5]])
    )
    mean = {**PRESS, "solid_density_t_m3": 1.0 / (0.5 / 3.0 + 0.5 / 2.4)}
    assert of_both == pytest.approx(pressing_energy(EDGES, FEED[np.newaxis], **mean))


# --- product -------------------------------------------------------------------------------------


def test_the_bed_is_broken_as_the_population_balance_says() -> None:
    """dp/dE = (B - I) S p (Herbst & Fuerstenau 1980, the form from memory), solved by scipy's
    matrix exponential; 16 stages are within a point of plug flow. Wide rolls have no edges, and a
    gap over the feed leaves no lumps."""
    rolls = {"diameter": 4000.0, "gap": 80.0, "width": 4000.0, "edge_gaps": 0.0}
    fine = {"fines_share": 0.4, "fines_exponent": 0.5, "coarse_exponent": 3.0}
    cells, at = halves(EDGES), points(EDGES)
    feed = np.where(cells[:-1] <= 40.0, np.diff(-cells), 0.0)
    feed /= feed.sum()
    given = {**PRESS, **rolls, **fine, "rate": 1.0, "rate_exponent": 0.5}
    ours = pressed_operator(cells, **given, points_mm=at)[0] @ feed

    energy = float(pressing_energy(cells, feed[np.newaxis], **given)[0])
    rates = (at / 10.0) ** 0.5
    rates[-1] = 0.0
    breakage = breakage_matrix(cells, **fine, points_mm=at)[0]
    plug = expm((breakage - np.eye(len(at))) * rates * energy) @ feed
    for size in (0.5, 2.0, 8.0, 20.0):
        by_scipy = float(passing_at(cells, plug, size)[0])
        assert float(passing_at(cells, ours, size)[0]) == pytest.approx(by_scipy, abs=0.015)


def test_lumps_that_the_bed_has_no_room_for_are_broken_first() -> None:
    """By hand: rolls of 1200 mm at 30 mm grip the bed where it is 43.5 mm thick. With next to no
    force nothing but lumps is broken, and none leaves over 1.25 gaps."""
    operator = pressed_operator(EDGES, **{**PRESS, "specific_force": 1e-6})[0]
    size = EDGES[:-1]
    assert operator[:, size <= 30.0] == pytest.approx(np.eye(len(size))[:, size <= 30.0], abs=1e-5)
    assert operator[EDGES[1:] >= 1.25 * 30.0].sum() == pytest.approx(0.0, abs=1e-9)


def test_at_the_open_ends_of_the_rolls_nothing_is_pressed() -> None:
    """By hand: two edges of 1.5 gaps of 30 mm are 11.25 % of rolls 800 mm wide. A force that breaks
    all of the bed leaves that share of a piece that passes the gap as it came."""
    operator = pressed_operator(EDGES, **{**PRESS, "specific_force": 20.0, "rate": 3.0})[0]
    just_under = int(np.argmax(EDGES[:-1] <= 30.0))
    assert operator[just_under, just_under] == pytest.approx(0.1125, abs=1e-3)


def test_directions_of_force_rock_and_edges() -> None:
    assert p50(specific_force=4.5) < p50(specific_force=3.0) < p50(specific_force=1.5)
    assert p50(work_index_kwh_t=20.0) > p50(work_index_kwh_t=10.0)
    assert p50(width=300.0) > p50(width=1600.0)  # a larger part of it are edges


def test_some_two_kwh_a_tonne_make_a_fifth_to_a_quarter_under_a_millimetre() -> None:
    """Common practice, no source; for the class's coefficients."""
    made = product(rate=1.0, fines_share=0.4, fines_exponent=0.5, coarse_exponent=3.0)
    before, after = (float(passing_at(EDGES, one, 1.0)[0]) for one in (FEED, made))
    assert 0.15 < after - before < 0.25


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(
    diameter=st.floats(400.0, 3000.0),
    share=st.floats(0.005, 0.05),
    force=st.floats(0.1, 20.0),
    bulk=st.floats(0.5, 4.0),
    work_index=st.floats(2.0, 60.0),
)
def test_no_rock_is_lost_and_none_grows(
    diameter: float, share: float, force: float, bulk: float, work_index: float
) -> None:
    given = {"diameter": diameter, "gap": share * diameter, "specific_force": force}
    rock = {"bulk_density_t_m3": bulk, "work_index_kwh_t": work_index}
    operator = pressed_operator(EDGES, **{**PRESS, **given, **rock})[0]
    assert operator.sum(axis=0) == pytest.approx(1.0, abs=1e-12)
    assert (operator >= 0.0).all()
    assert np.triu(operator, 1) == pytest.approx(0.0, abs=0.0)
