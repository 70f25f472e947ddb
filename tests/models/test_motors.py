"""The motor series against the preferred numbers it is taken from."""

from itertools import pairwise

import numpy as np
import pytest

from hoggin.models.motors import SERIES_KW, efficiency, next_motor_kw

# ISO 3, R20, as published in rounded form (from memory).
R20 = (1.00, 1.12, 1.25, 1.40, 1.60, 1.80, 2.00, 2.24, 2.50, 2.80,
       3.15, 3.55, 4.00, 4.50, 5.00, 5.60, 6.30, 7.10, 8.00, 9.00)  # fmt: skip


def test_the_r20_numbers_used_here_are_the_twentieth_roots_of_ten() -> None:
    # ISO 3 by its definition: 10^(n/20), rounded by at most 1.3 % (from memory).
    assert pytest.approx([10 ** (n / 20) for n in range(20)], rel=0.013) == R20


def test_sizes_from_160_kw_are_numbers_of_the_r20_series() -> None:
    large = [size for size in SERIES_KW if size >= 160]
    numbers = {round(number * scale, 6) for number in R20 for scale in (100, 1000)}
    assert len(large) > 15
    assert set(large) <= numbers


def test_sizes_known_from_every_motor_list_are_there_and_in_order() -> None:
    # IEC 60072-1, preferred outputs from 0.37 kW to 160 kW, all of them, from memory.
    small = (0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3, 4, 5.5, 7.5, 11, 15, 18.5, 22, 30, 37, 45, 55,
             75, 90, 110, 132, 160)  # fmt: skip
    assert tuple(size for size in SERIES_KW if size <= 160) == small
    assert all(low < high for low, high in pairwise(SERIES_KW))


def test_the_next_size_holds_the_drawn_power_with_its_margin() -> None:
    # By hand: 100 + 15 % = 115 -> 132; 115 without margin -> 132; 110 exactly -> 110.
    assert next_motor_kw([100.0, 115.0, 110.0], [0.15, 0.0, 0.0]) == pytest.approx([132, 132, 110])


def test_a_drive_that_draws_a_size_less_its_margin_takes_that_size() -> None:
    # By hand: 200 / 1.25 = 160 kW with 25 % over it is 200 kW.
    assert next_motor_kw(160.0, 0.25) == pytest.approx(200)


def test_above_the_series_there_is_no_size() -> None:
    assert np.isnan(next_motor_kw([2001.0, 1900.0], [0.0, 0.15])).all()


def test_motors_have_the_least_efficiency_of_their_class() -> None:
    # IEC 60034-30-1 (2014), IE3, four poles, 50 Hz, from memory; above 200 kW one value.
    known = {0.75: 0.825, 7.5: 0.904, 37: 0.939, 132: 0.956, 200: 0.960, 1000: 0.960}
    assert efficiency(list(known)) == pytest.approx(list(known.values()))


def test_a_motor_between_two_sizes_has_an_efficiency_between_theirs() -> None:
    low, between, high = efficiency([22.0, 25.0, 30.0])
    assert low < between < high
