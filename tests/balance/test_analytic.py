"""Closed circuits whose answer is a geometric series.

Reference: a crusher in closed circuit with a screen that takes out a fraction a of the crusher's
product each pass. New feed F goes round 1, 1 - a, (1 - a)^2 ... times, so the crusher is fed F / a
and the recirculating load is (1 - a) / a of new feed. The sum of a geometric series; the circuit
is the standard one of comminution textbooks (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from hoggin.balance import lower, solve
from hoggin.models.catalog import Model
from hoggin.schema.plant import ModelUse, Plant

from .builder import crusher, feed, matrix_crusher, plant, screen, splitter

Array = NDArray[np.float64]

APERTURE = 20.0
COARSE = ((80.0, 1.0), (40.0, 0.0))  # all of it coarser than the aperture


def breaks_a_share(edges_mm: Array, *, share: Array) -> Array:
    """Each pass breaks the given share of whatever is coarser than 20 mm to below 20 mm."""
    n = len(edges_mm) - 1
    fine = int(np.searchsorted(-edges_mm, -APERTURE))
    operator = np.tile(np.eye(n), (len(share), 1, 1))
    for j in range(fine):
        operator[:, j, j] = 1.0 - share
        operator[:, fine, j] = share
    return operator


def at_aperture(edges_mm: Array, feed_t_h: Array, *, aperture_mm: Array) -> Array:
    del edges_mm
    return aperture_mm * np.ones(len(feed_t_h))


def ideal(edges_mm: Array, cut_size_mm: Array) -> Array:
    """Ideal partition: all that is coarser than the cut size is kept, all else passes."""
    return (edges_mm[:-1] > cut_size_mm[:, None] * (1.0 + 1e-9)).astype(float)


@dataclass(frozen=True)
class StandIn(Model):
    """A model whose functions are given, not found by path."""

    parts: Mapping[str, Callable[..., Any]] | None = None

    def load(self, part: str) -> Callable[..., Any]:
        assert self.parts is not None
        return self.parts[part]


def find(role: str, name: str) -> Model | None:
    parts: dict[str, Callable[..., Any]] = (
        {"operator": breaks_a_share}
        if role == "breakage"
        else {"cut_size": at_aperture, "oversize": ideal}
    )
    return StandIn(role, name, "", "stand-in of the tests", {}, (), parts)


def closed(share: float) -> Plant:
    cone = crusher("cone", 20.0)
    use = ModelUse(model="share", coefficients={"share": share})
    return plant(
        [feed("rock", 100.0, grading=COARSE)],
        [cone.model_copy(update={"models": {"breakage": use}}), screen("sizing", APERTURE)],
        ["rock -> cone -> sizing", "sizing.d1.over -> cone", "sizing.under -> sand"],
    )


@pytest.mark.parametrize("share", [0.9, 0.5, 0.25, 0.01, 1e-4])
def test_recirculating_load_is_the_geometric_series(share: float) -> None:
    a_plant = closed(share)
    result = solve(lower(a_plant, find=find))
    names = [stream.name for stream in a_plant.streams]
    recirculating = result.streams_t_h[0, names.index("sizing.d1.over -> cone")].sum()
    assert recirculating / 100.0 == pytest.approx((1.0 - share) / share, rel=1e-10)
    assert result.machine_feeds_t_h[0, 0].sum() == pytest.approx(100.0 / share, rel=1e-10)
    assert result.iterations == 0


@pytest.mark.parametrize("share", [0.2, 0.75])
def test_a_returned_share_recirculates_as_the_geometric_series(share: float) -> None:
    a_plant = plant(
        [feed("rock", 100.0)],
        [matrix_crusher("cone", 10.0, 30.0), splitter("divide", share, 1.0 - share)],
        ["rock -> cone -> divide", "divide.s1 -> cone", "divide.s2 -> pile"],
    )
    result = solve(lower(a_plant))
    assert result.machine_feeds_t_h[0, 0].sum() == pytest.approx(100.0 / (1.0 - share), rel=1e-12)


def test_two_materials_leave_a_loop_in_the_proportion_they_entered() -> None:
    """Well mixed: every stream of a loop with one entry has the composition of that entry."""
    a_plant = closed(0.4)
    two = a_plant.model_copy(
        update={
            "materials": {
                **a_plant.materials,
                "granite": a_plant.materials["dolerite"].model_copy(update={"name": "granite"}),
            },
            "feeds": (
                *a_plant.feeds,
                a_plant.feeds[0].model_copy(
                    update={"tag": "dug", "material": "granite", "rate_t_h": 300.0}
                ),
            ),
            "streams": (
                *a_plant.streams,
                a_plant.streams[0].model_copy(update={"source": "dug"}),
            ),
        }
    )
    result = solve(lower(two, find=find))
    for stream in range(1, 4):  # all but the feeds
        np.testing.assert_allclose(result.composition[0, stream], [0.25, 0.75], rtol=1e-12)
    np.testing.assert_allclose(result.composition[0, 0], [1.0, 0.0])


def test_vary_gives_each_case_its_own_series() -> None:
    from .varying import vary

    shares = np.array([0.9, 0.5, 0.1])
    result = solve(vary(lower(closed(0.5), find=find), coefficients={("cone", "share"): shares}))
    np.testing.assert_allclose(result.machine_feeds_t_h[:, 0].sum(axis=1), 100.0 / shares)


def test_edges_can_be_refined_without_changing_the_series() -> None:
    circuit = lower(closed(0.3), find=find)
    finer = np.unique(np.concatenate([circuit.edges_mm, circuit.edges_mm[:-1] * 0.97]))[::-1]
    refined = replace(lower(closed(0.3), np.ascontiguousarray(finer), find=find))
    assert solve(refined).machine_feeds_t_h[0, 0].sum() == pytest.approx(100.0 / 0.3)
