"""Bond's third theory against its definition and a hand-worked case."""

import math

import numpy as np
import pytest

from hoggin.models.power import bond_energy_kwh_t, bond_power


def test_work_index_is_the_energy_from_infinite_size_to_100_micrometres() -> None:
    # Definition of Wi, Bond (1952, 1961).
    assert bond_energy_kwh_t(math.inf, 0.1, 15.0) == pytest.approx(15.0, rel=1e-14)


def test_energy_from_10_mm_to_100_micrometres_is_nine_tenths_of_the_work_index() -> None:
    # Bond (1952) by hand: 10 (1/sqrt(100) - 1/sqrt(10 000)) = 10 (0.1 - 0.01) = 0.9.
    assert bond_energy_kwh_t(10.0, 0.1, 14.0) == pytest.approx(0.9 * 14.0, rel=1e-14)


def test_a_work_index_per_short_ton_gives_1_102_times_as_much_a_tonne() -> None:
    # Bond (1961): times 1.102 per tonne; a short ton is 0.90718474 t.
    per_short_ton = 13.0
    per_tonne = per_short_ton / 0.90718474
    ratio = bond_energy_kwh_t(80.0, 12.0, per_tonne) / bond_energy_kwh_t(80.0, 12.0, per_short_ton)
    assert ratio == pytest.approx(1.102, abs=0.0005)


def test_power_is_no_load_and_bond_energy_over_efficiency() -> None:
    # By hand: 100 t/h from 10 mm to 0.1 mm at Wi 10 is 900 kW; over 0.9 it is 1000, and 50 idle.
    power = bond_power(100.0, 10.0, 0.1, 10.0, no_load=50.0, efficiency=0.9)
    assert power == pytest.approx(1050.0)


def test_a_product_no_finer_than_the_feed_draws_no_breaking_power() -> None:
    assert bond_power(100.0, 10.0, 12.0, 10.0, no_load=50.0) == pytest.approx(50.0)


def test_an_idle_machine_draws_its_no_load_power() -> None:
    power = bond_power([0.0, 100.0], [np.nan, 10.0], [np.nan, 0.1], 10.0, no_load=50.0)
    assert power == pytest.approx([50.0, 950.0])
