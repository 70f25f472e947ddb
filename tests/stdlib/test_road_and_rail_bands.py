"""Bands of roads and railways against what was looked up, the standards' own rules, and the line of
maximum density. What is from memory is said so, here as in the libraries."""

from __future__ import annotations

import re

import pytest
from tests.stdlib.test_gradings import R20, Bounds, limits, nearest_sieve

from hoggin.check.library import load_library

LIBRARIES = ("en13242", "en13285", "en13450", "road_bases", "arema")
SHORT_NAMES = {5.0: 5.6, 11.0: 11.2, 22.0: 22.4, 32.0: 31.5}  # from memory


def band(library: str, name: str) -> dict[float, Bounds]:
    return limits(load_library(f"std.gradings.{library}").bands[name])


# EN 13242, general grading requirements, from memory: percent passing at 2D, 1.4D, D, d and d/2.
CATEGORIES: dict[str, tuple[Bounds | None, ...]] = {
    "gc85_15": ((100, 100), (98, 100), (85, 99), (0, 15), (0, 5)),
    "gc80_20": ((100, 100), (98, 100), (80, 99), (0, 20), (0, 5)),
    "gf85": ((100, 100), (98, 100), (85, 99), None, None),
    "gf80": ((100, 100), (98, 100), (80, 99), None, None),
    "ga85": ((100, 100), (98, 100), (85, 99), None, None),
    "ga80": ((100, 100), (98, 100), (80, 99), None, None),
    "ga75": (None, (100, 100), (75, 99), None, None),
}


def test_every_band_of_en_13242_has_the_limits_of_its_size_and_category() -> None:
    found = load_library("std.gradings.en13242").bands
    assert found
    for name, one in found.items():
        match = re.fullmatch(r"(g.*)_(\d+)_(\d+)", name)
        assert match, name
        d, D = (SHORT_NAMES.get(float(t), float(t)) for t in match.groups()[1:])
        sizes = (2 * D, 1.4 * D, D, d, d / 2)
        wanted = zip(sizes, CATEGORIES[match[1]], strict=True)
        assert limits(one) == {nearest_sieve(s): b for s, b in wanted if b is not None}, name
        assert limits(one).keys() <= set(R20), name


@pytest.mark.parametrize(
    ("library", "name", "top_mm"),
    [
        ("en13285", "ga_oc90_uf9_0_32", 31.5),
        ("en13285", "gc_oc90_uf9_0_32", 31.5),
        ("en13285", "go_oc90_uf9_0_32", 31.5),
        ("en13285", "gp_oc75_uf9_0_32", 31.5),
        ("road_bases", "d2940_base", 37.5),
        ("road_bases", "d1241_a", 50.0),
        ("road_bases", "d1241_c", 25.0),
    ],
)
def test_a_base_is_dense(library: str, name: str, top_mm: float) -> None:
    """The line of maximum density, passing = (d / D)^0.45 (Nijboer; Goode & Lufsey 1962, from
    memory), lies within the limits of a layer that is to be compacted, on every sieve below D."""
    for size, (low, high) in band(library, name).items():
        if size < top_mm:
            assert low <= 100 * (size / top_mm) ** 0.45 <= high, size


def test_size_4_of_arema_is_that_of_astm() -> None:
    """AREMA 4 is size 4 of ASTM C33: a US Army railway manual says so (looked up)."""
    assert band("arema", "n4") == band("astm", "c33_4")
    assert band("arema", "n57") == band("astm", "c33_57")  # from memory


def test_the_ballast_4a_has_the_limits_of_a_transit_agency() -> None:
    """A transit agency's extract of AREMA 4A (looked up): 2 1/2 in 100; 2 in 90 to 100; 1 1/2 in 60
    to 90."""
    found = band("arema", "n4a")
    assert {size: found[size] for size in (63.0, 50.0, 37.5)} == {
        63.0: (100, 100),
        50.0: (90, 100),
        37.5: (60, 90),
    }


def test_ballast_of_en_13450_agrees_with_a_british_pattern() -> None:
    """A British-pattern track ballast (looked up): 63 mm 100; 50 mm 70 to 99."""
    found = band("en13450", "rba_32_50")
    assert (found[63.0], found[50.0]) == ((100, 100), (70, 99))


def test_a_municipal_road_aggregate_agrees_with_d1241_c_at_no_10() -> None:
    """A US municipal road aggregate (looked up): No. 10 25 to 50 %, near gradation C."""
    assert band("road_bases", "d1241_c")[2.0] == (25, 50)


@pytest.mark.parametrize("library", LIBRARIES)
def test_no_limit_from_memory_is_said_to_be_looked_up(library: str) -> None:
    """Only AREMA 4, 4A in part and the equality of 57 with ASTM's were looked up."""
    for name, one in load_library(f"std.gradings.{library}").bands.items():
        looked_up = library == "arema" and name in ("n4", "n4a", "n57")
        assert ("looked up" in one.source) == looked_up, name
        assert ("from memory" in one.source) == (name != "n4"), name
