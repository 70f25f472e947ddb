"""The size grid keeps the sieves a plant reports on. Reference: ISO 565 R20/3 ratio 10^(3/20)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.balance import common_edges, lower
from hoggin.schema.plant import Plant

from .builder import blend, feed, plant, screen

sizes = st.floats(0.05, 150.0).map(lambda size: float(f"{size:.3g}"))


def one_screen(sieves: tuple[float, ...], *apertures: float) -> Plant:
    machine = screen("sizing", *apertures)
    routes = [f"sizing.{outlet} -> pile{k}" for k, outlet in enumerate(machine.outlets)]
    return plant([feed("rock")], [machine], ["rock -> sizing", *routes], sieves=sieves)


@given(
    sieves=st.lists(sizes, min_size=1, max_size=12, unique=True),
    apertures=st.lists(sizes, min_size=1, max_size=4, unique=True),
)
def test_every_sieve_and_aperture_is_an_edge_and_gaps_are_small(
    sieves: list[float], apertures: list[float]
) -> None:
    a_plant = one_screen(tuple(sorted(sieves, reverse=True)), *sorted(apertures, reverse=True))
    edges = common_edges([a_plant])
    assert (np.diff(edges) < 0.0).all()
    assert edges[0] == 200.0
    assert edges[-1] == 0.0
    assert edges[-2] == min([0.063, *sieves, *apertures])
    assert set(sieves) | set(apertures) <= set(edges.tolist())
    assert (edges[:-2] / edges[1:-1]).max() <= 1.2 * (1 + 1e-9)


def test_no_point_is_added_that_the_ratio_does_not_ask_for() -> None:
    series = tuple(10.0 ** (3 * k / 20) for k in range(14, -9, -1))
    edges = common_edges([one_screen(series, 10.0 ** (3 * 8 / 20))])
    between = edges[(edges < series[0] * 1.0001) & (edges > series[-1] * 0.9999)]
    assert len(between) == 2 * (len(series) - 1) + 1  # 10^(3/20) = 1.41 is two steps of 1.19


def test_sieves_coarser_than_the_feed_are_kept_whole() -> None:
    edges = common_edges([one_screen((800.0, 100.0), 50.0)])
    assert edges[:2].tolist() == [800.0, 200.0]


def test_feed_classes_add_up_to_its_grading() -> None:
    a_plant = plant([feed("rock")], [blend("belt")], ["rock -> belt -> pile"])
    circuit = lower(a_plant)
    finer = 1.0 - np.cumsum(circuit.gradings[0, 0])
    for size, passing in a_plant.feeds[0].grading:
        if size in circuit.edges_mm[1:-1]:
            index = int(np.flatnonzero(circuit.edges_mm == size)[0])
            assert finer[index - 1] == pytest.approx(passing, abs=1e-12)
    assert circuit.gradings.sum() == pytest.approx(1.0)
