"""The rocks of the library: ranges that hold their likely figures, and Bond's averages of 1961."""

from __future__ import annotations

from itertools import pairwise

import pytest
from tests.check.reading import plant_of

from hoggin.schema.facts import facts_of
from hoggin.schema.plant import Material

# Average crushing and grinding work index, kWh per short ton, by rock: Bond (1961), from memory.
BOND_1961 = {
    "andesite": 22.13,
    "basalt": 20.41,
    "diorite": 19.40,
    "dolomite": 11.31,
    "gabbro": 18.45,
    "gneiss": 20.13,
    "granite": 14.39,
    "gravel": 25.17,
    "limestone": 11.61,
    "diabase": 21.10,  # trap rock
    "quartzite": 12.18,
    "sandstone": 11.53,
}
SHORT_TON_T = 0.90718474  # 2000 lb of 0.45359237 kg (NIST SP 811)
ROCKS = (*BOND_1961, "greywacke", "recycled_concrete")
NEEDED = ("solid_density", "bulk_density", "work_index", "abrasion_index")


def rock(name: str) -> Material:
    feed = "rate 100 t/h; passing { 100 mm: 100 %, 4 mm: 20 % }"
    text = f"""\
use std.rocks
use std.sieves
plant "rock" {{
  sieves sieves.quarry
  feed pit {{ rock rocks.{name}; {feed} }}
  pit -> product all
}}
"""
    (found,) = plant_of(text).materials.values()
    return found


@pytest.mark.parametrize("name", ROCKS)
def test_every_figure_is_typical_and_has_a_range_and_a_source(name: str) -> None:
    found = rock(name)
    assert set(NEEDED) <= set(found.typical)
    assert set(found.ranges) == set(found.typical) == set(found.sources)
    for fact, (low, high) in found.ranges.items():
        assert low < getattr(found, facts_of("material")[fact].field) < high


@pytest.mark.parametrize("name", ROCKS)
def test_loose_rock_is_half_to_two_thirds_solid(name: str) -> None:
    """Voids of crushed, graded, loose rock are 35 to 45 per cent (common practice, no source)."""
    found = rock(name)
    assert 0.55 <= found.bulk_density_t_m3 / found.solid_density_t_m3 <= 0.65


@pytest.mark.parametrize("name", BOND_1961)
def test_bonds_average_lies_in_the_range(name: str) -> None:
    low, high = rock(name).ranges["work_index"]
    assert low <= BOND_1961[name] / SHORT_TON_T <= high


def test_rocks_without_quartz_wear_least() -> None:
    """Limestone, dolomite, basalt, granite, quartzite: the order of silica (common practice, no
    source)."""
    order = ("limestone", "dolomite", "basalt", "granite", "quartzite")
    indices = [rock(name).abrasion_index or 0.0 for name in order]
    assert all(softer < harder for softer, harder in pairwise(indices))
