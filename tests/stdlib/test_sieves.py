"""The library's sieve series against an independent list of the standards' nominal apertures.

Reference: the PyPI package `fluids` (general fluid and particle library), whose
`particle_size_distribution` module tabulates ISO 3310-1 and ASTM E11.
"""

from collections.abc import Mapping
from itertools import pairwise

import pytest
from fluids import particle_size_distribution as reference

from hoggin.check.library import load_library

FINEST_IN_AGGREGATE_TESTING = 0.063  # mm, EN 933-1 washes over this sieve (from memory)


@pytest.fixture(scope="module")
def series() -> Mapping[str, tuple[float, ...]]:
    return load_library("std.sieves").series


def tabulated(name: str, finest: float = FINEST_IN_AGGREGATE_TESTING) -> tuple[float, ...]:
    """Nominal apertures in mm of a series in `fluids`, coarse to fine, not below `finest`."""
    apertures = (float(sieve.designation) for sieve in getattr(reference, name))
    return tuple(sorted((a for a in apertures if a >= finest), reverse=True))


@pytest.mark.parametrize(
    ("name", "standard"),
    [
        ("iso_r20_3", "ISO_3310_1_R20_3"),
        ("iso_r20", "ISO_3310_1_R20"),
        ("iso_r40_3", "ISO_3310_1_R40_3"),
        ("astm_e11", "ASTM_E11_sieve_list"),
    ],
)
def test_series_has_every_sieve_of_its_standard(
    series: Mapping[str, tuple[float, ...]], name: str, standard: str
) -> None:
    assert series[name] == pytest.approx(tabulated(standard), rel=1e-12)


def test_every_series_runs_from_coarse_to_fine(series: Mapping[str, tuple[float, ...]]) -> None:
    assert series
    for name, sizes in series.items():
        assert all(coarse > fine for coarse, fine in pairwise(sizes)), name


def test_the_c33_set_is_of_astm_e11_sieves_and_covers_every_astm_band(
    series: Mapping[str, tuple[float, ...]],
) -> None:
    short_set = {round(size, 6) for size in series["astm_c33"]}
    assert short_set <= set(tabulated("ASTM_E11_sieve_list"))
    for name, band in load_library("std.gradings.astm").bands.items():
        assert {round(point.size_mm, 6) for point in band.points} <= short_set, name


def test_the_en_basic_set_is_every_second_sieve_of_r20_3(
    series: Mapping[str, tuple[float, ...]],
) -> None:
    # EN 933-2: the basic sieves halve from 63 mm to 0.063 mm (from memory).
    from_63_mm = [size for size in tabulated("ISO_3310_1_R20_3") if size <= 63]
    assert series["en_base"] == pytest.approx(from_63_mm[::2], rel=1e-12)


def test_en_set_1_is_r20_3_down_to_4_mm_and_the_basic_set_below(
    series: Mapping[str, tuple[float, ...]],
) -> None:
    # EN 12620, sizes of set 1 (from memory): 5.6, 11.2, 22.4 and 45 mm join the basic set.
    from_63_mm = [size for size in tabulated("ISO_3310_1_R20_3") if size <= 63]
    expected = [size for i, size in enumerate(from_63_mm) if size >= 4 or i % 2 == 0]
    assert series["en_set1"] == pytest.approx(expected, rel=1e-12)


def test_en_set_2_adds_r20_sizes_to_the_basic_set_and_shares_none_with_set_1(
    series: Mapping[str, tuple[float, ...]],
) -> None:
    # EN 12620: no sizes of set 1 may be combined with sizes of set 2 (from memory).
    basic, set_1, set_2 = (
        {round(size, 6) for size in series[name]} for name in ("en_base", "en_set1", "en_set2")
    )
    assert basic < set_2 < set(tabulated("ISO_3310_1_R20"))
    assert set_1 & set_2 == basic
    # EN 12620, sizes of set 2 (from memory).
    assert set_2 - basic == {6.3, 10, 12.5, 14, 20, 40}


def test_the_quarry_series_continues_r20_3_to_one_metre(
    series: Mapping[str, tuple[float, ...]],
) -> None:
    # ISO 3: a series of preferred numbers repeats after a whole number of decades; R20/3 takes
    # every third of twenty terms a decade, so it repeats a thousandfold up: 1 mm to 0.18 mm gives
    # 1000 mm to 180 mm.
    r20_3 = tabulated("ISO_3310_1_R20_3")
    above_125_mm = [1000 * size for size in r20_3 if 0.18 <= size <= 1]
    assert series["quarry"] == pytest.approx((*above_125_mm, *r20_3), rel=1e-12)
