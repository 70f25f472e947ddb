"""Circuits against an independent solution of the same equations by scipy (see reference.py)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.schema.plant import Plant

from .builder import (
    blend,
    closed_tertiary,
    crusher,
    feed,
    matrix_crusher,
    plant,
    screen,
    splitter,
)
from .random_plants import random_plant
from .reference import Reference


def open_circuit() -> Plant:
    return plant(
        [feed("rock", 300.0)],
        [crusher("jaw", 90.0), screen("scalper", 40.0), matrix_crusher("cone", 20.0, 60.0)],
        [
            "rock -> jaw -> scalper",
            "scalper.d1.over -> cone -> coarse",
            "scalper.under -> fines",
        ],
    )


def two_nested_loops(*, load_dependent: bool) -> Plant:
    """A tertiary loop inside a secondary one, a split return, and a second feed."""
    return plant(
        [feed("rock", 250.0), feed("dug", 60.0)],
        [
            crusher("jaw", 100.0),
            matrix_crusher("secondary", 25.0, 80.0),
            screen("scalper", 50.0, 31.5, load_dependent=load_dependent),
            blend("surge"),
            splitter("divide", 0.6, 0.4),
            crusher("tertiary", 12.0),
            crusher("shaper", 10.0, passing=0.75),
            screen("sizing", 25.0, 11.2, 4.0, load_dependent=load_dependent, area_m2=16.0),
        ],
        [
            "rock -> jaw -> secondary -> scalper",
            "dug -> scalper",
            "scalper.d1.over -> secondary",
            "scalper.d2.over -> surge -> divide",
            "divide.s1 -> tertiary -> sizing",
            "divide.s2 -> shaper -> sizing",
            "scalper.under -> sizing",
            "sizing.d1.over -> surge",
            "sizing.d2.over -> chips",
            "sizing.d3.over -> grit",
            "sizing.under -> sand",
        ],
    )


FIXED = {
    "open circuit": open_circuit(),
    "closed tertiary": closed_tertiary(),
    "two nested loops": two_nested_loops(load_dependent=False),
    "many random machines": random_plant(3, 40, load_dependent=False, materials=1),
}
LOADED = {
    "closed tertiary": closed_tertiary(load_dependent=True, rate=350.0),
    "two nested loops": two_nested_loops(load_dependent=True),
    "random machines": random_plant(5, 14, materials=1),
}


@pytest.mark.parametrize("name", FIXED)
def test_linear_circuit_agrees_with_sparse_system(name: str) -> None:
    result = balance(FIXED[name])
    cuts = {key: float(cut[0]) for key, cut in result.cut_sizes_mm.items()}
    reference = Reference(FIXED[name], result.edges_mm)
    np.testing.assert_allclose(result.streams_t_h[0], reference.streams(cuts), rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(
        result.machine_feeds_t_h[0], reference.machine_feeds(cuts), rtol=1e-9, atol=1e-9
    )


@pytest.mark.slow
@pytest.mark.parametrize("name", LOADED)
def test_load_dependent_circuit_agrees_with_root_finder(name: str) -> None:
    reference = Reference(LOADED[name], balance(LOADED[name]).edges_mm)
    cuts = reference.settle()
    result = balance(LOADED[name])
    assert set(result.cut_sizes_mm) == set(cuts)
    for key, cut in result.cut_sizes_mm.items():
        assert cut[0] == pytest.approx(cuts[key], rel=1e-9)
    np.testing.assert_allclose(result.streams_t_h[0], reference.streams(cuts), rtol=1e-8, atol=1e-8)


@pytest.mark.slow
def test_the_quarry_agrees_with_a_root_finder() -> None:
    """A whole plant as it is written, damp and with crushers that follow their feed."""
    quarry = check_file(Path(__file__).parents[2] / "examples" / "quarry.hog").plant
    assert quarry is not None
    result = balance(quarry)
    reference = Reference(quarry, result.edges_mm, result)
    cuts = reference.settle()
    for key, cut in result.cut_sizes_mm.items():
        assert cut[0] == pytest.approx(cuts[key], rel=1e-9)
    np.testing.assert_allclose(result.streams_t_h[0], reference.streams(cuts), rtol=1e-8, atol=1e-8)


def test_reported_cut_sizes_are_those_the_flows_were_made_with() -> None:
    result = balance(LOADED["two nested loops"])
    cuts = {key: float(cut[0]) for key, cut in result.cut_sizes_mm.items()}
    reference = Reference(LOADED["two nested loops"], result.edges_mm)
    np.testing.assert_allclose(
        result.streams_t_h[0], reference.streams(cuts), rtol=1e-11, atol=1e-11
    )


def test_deck_feeds_are_what_the_decks_above_let_through() -> None:
    result = balance(LOADED["closed tertiary"])
    names = [stream.name for stream in LOADED["closed tertiary"].streams]
    top = result.streams_t_h[0, names.index("sizing.d1.over -> cone")]
    machine = result.machine_feeds_t_h[0, 2]
    np.testing.assert_allclose(
        result.deck_feeds_t_h["sizing", "d2"][0], machine - top, rtol=0, atol=1e-12
    )
