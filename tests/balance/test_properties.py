"""Conservation of mass on random plants (the law itself is the outside reference)."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoggin.balance import Balance, balance
from hoggin.schema.plant import Plant

from .random_plants import random_plant

pytestmark = pytest.mark.slow

CLOSURE = 1e-9  # of plant feed

seeds = st.integers(0, 10**9)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(seed=seeds, count=st.integers(1, 60))
def test_random_plants_conserve_mass(seed: int, count: int) -> None:
    plant = random_plant(seed, count)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        result = balance(plant)
    feed = sum(source.rate_t_h for source in plant.feeds)
    assert np.isfinite(result.streams_t_h).all()
    assert (result.streams_t_h >= 0.0).all()
    assert result.closure.max() < CLOSURE
    check_machines(plant, result, CLOSURE * feed)
    check_whole_plant(plant, result, CLOSURE * feed)


def check_machines(plant: Plant, result: Balance, tolerance: float) -> None:
    for index, machine in enumerate(plant.machines):
        into = [s for s, stream in enumerate(plant.streams) if stream.target == machine.tag]
        out = [s for s, stream in enumerate(plant.streams) if stream.source == machine.tag]
        fed = result.streams_t_h[0, into].sum(axis=0)
        given_off = result.streams_t_h[0, out].sum(axis=0)
        np.testing.assert_allclose(fed, result.machine_feeds_t_h[0, index], rtol=0, atol=tolerance)
        if machine.kind == "crusher":
            assert abs(fed.sum() - given_off.sum()) < tolerance
            # Breaking makes sizes finer: no more is coarser than any edge than before.
            assert (np.cumsum(given_off) <= np.cumsum(fed) + tolerance).all()
        else:
            np.testing.assert_allclose(fed, given_off, rtol=0, atol=tolerance)


def check_whole_plant(plant: Plant, result: Balance, tolerance: float) -> None:
    """What enters leaves, in all and feed by feed."""
    feeds = {feed.tag: feed for feed in plant.feeds}
    piles = {product.tag for product in plant.products}
    rates = result.streams_t_h[0].sum(axis=1)
    for k, feed in enumerate(plant.feeds):
        carried = rates * result.composition[0, :, k]
        produced = sum(carried[s] for s, x in enumerate(plant.streams) if x.target in piles)
        assert abs(feed.rate_t_h - produced) < tolerance
    for s, stream in enumerate(plant.streams):
        assert np.isclose(result.composition[0, s].sum(), 1.0 if rates[s] > 0.0 else 0.0)
        if stream.source in feeds:
            assert abs(rates[s] - feeds[stream.source].rate_t_h) < tolerance
