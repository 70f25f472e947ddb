"""The bands of EN 13043 against the standard's own rules (from memory) and the sieves of ISO 565.

The sieves are tabulated by the package fluids; the limits were not looked up.
"""

import re
from collections.abc import Mapping
from itertools import pairwise

import pytest
from tests.stdlib.test_gradings import R20, Bounds, limits, nearest_sieve

from hoggin.check.library import load_library
from hoggin.schema.plant import Band

# Category -> percent passing at 1.4D, D, d and d/2 (EN 13043, general grading requirements, from
# memory). Everything passes 2D. None: no limit.
CATEGORIES: Mapping[str, tuple[Bounds | None, Bounds, Bounds | None, Bounds | None]] = {
    "gc90_10": ((100, 100), (90, 99), (0, 10), (0, 2)),
    "gc90_15": ((98, 100), (90, 99), (0, 15), (0, 5)),
    "gc85_15": ((98, 100), (85, 99), (0, 15), (0, 2)),
    "gc85_20": ((98, 100), (85, 99), (0, 20), (0, 5)),
    "gc85_35": ((98, 100), (85, 99), (0, 35), (0, 5)),
    "gf85": (None, (85, 99), None, None),
    "ga90": ((98, 100), (90, 99), None, None),
    "ga85": ((98, 100), (85, 99), None, None),
}
SHORT_NAMES = {5.0: 5.6, 6.0: 6.3, 11.0: 11.2, 22.0: 22.4, 32.0: 31.5}  # from memory
SET_1_ONLY = {5.6, 11.2, 22.4, 45.0}
SET_2_ONLY = {6.3, 10.0, 12.5, 14.0, 20.0, 40.0}


@pytest.fixture(scope="module")
def bands() -> Mapping[str, Band]:
    return load_library("std.gradings.en13043").bands


def read_name(name: str) -> tuple[str, float, float]:
    """`gc90_10_4_8` -> ("gc90_10", 4, 8): category, d and D in mm."""
    match = re.fullmatch(r"(.+)_(\d+)_(\d+)", name)
    assert match, name
    d, D = (SHORT_NAMES.get(float(text), float(text)) for text in match.groups()[1:])
    return match[1], d, D


def required(category: str, d: float, D: float) -> dict[float, Bounds]:
    at_1_4_D, at_D, at_d, at_half_d = CATEGORIES[category]
    found = {2 * D: (100.0, 100.0), 1.4 * D: at_1_4_D, D: at_D, d: at_d, d / 2: at_half_d}
    return {nearest_sieve(size): bounds for size, bounds in found.items() if bounds is not None}


def test_every_band_has_the_limits_of_its_size_and_category(bands: Mapping[str, Band]) -> None:
    for name, band in bands.items():
        assert limits(band) == required(*read_name(name)), name


def test_the_limits_of_a_band_are_on_sieves_of_iso_565(bands: Mapping[str, Band]) -> None:
    for name, band in bands.items():
        assert limits(band).keys() <= set(R20), name


def test_every_category_is_there_for_sizes_it_is_meant_for(bands: Mapping[str, Band]) -> None:
    # EN 13043 (from memory): coarse D > 2 mm and d >= 1 mm, fine D <= 2 mm, all-in D <= 45 mm;
    # D/d is at least 1.4.
    sizes = {name: read_name(name) for name in bands}
    assert {category for category, _, _ in sizes.values()} == CATEGORIES.keys()
    for name, (category, d, D) in sizes.items():
        if category.startswith("gc"):
            assert d >= 1 and D > 2 and D / d >= 1.39, name
        else:
            assert d == 0 and (2 if category == "gf85" else 45) >= D, name


def test_no_size_mixes_set_1_with_set_2(bands: Mapping[str, Band]) -> None:
    for name in bands:
        size = set(read_name(name)[1:])
        assert not (size & SET_1_ONLY and size & SET_2_ONLY), name


@pytest.mark.parametrize(
    ("stricter", "looser"),
    [("gc90_10", "gc90_15"), ("gc85_15", "gc85_20"), ("gc85_20", "gc85_35"), ("ga90", "ga85")],
)
def test_a_stricter_category_lies_within_a_looser_one(stricter: str, looser: str) -> None:
    tight, wide = (
        required(category, 0.0 if "ga" in category else 4.0, 8.0) for category in (stricter, looser)
    )
    assert tight.keys() == wide.keys()
    for size, (low, high) in tight.items():
        assert wide[size][0] <= low <= high <= wide[size][1]


def test_limits_are_a_falling_band_from_memory(bands: Mapping[str, Band]) -> None:
    for name, band in bands.items():
        assert "from memory" in band.source and band.about, name
        assert band.points[0].low == 1, name
        for coarse, fine in pairwise(band.points):
            assert coarse.size_mm > fine.size_mm, name
            assert coarse.low >= fine.low and coarse.high >= fine.high, name
