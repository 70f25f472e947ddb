"""Distributions and figures of samples against scipy; what makes a Latin hypercube one."""

from __future__ import annotations

import numpy as np
import pytest
import scipy.stats
import scipy.stats.qmc

from hoggin.errors import HogginError
from hoggin.schema.tracing import Variable
from hoggin.schema.units import NUMBER
from hoggin.studies.uncertainty.document import Method
from hoggin.studies.uncertainty.limits import Range
from hoggin.studies.uncertainty.sampling import (
    left_out,
    sample_pair,
    samples_of,
    share_below,
    unit_samples,
    values_at,
)
from hoggin.studies.uncertainty.statistics import percentiles, wilson


def variable(kind: str, *numbers: float) -> Variable:
    return Variable(kind, numbers, numbers[0], NUMBER, "", "p.hog", (0, 1))  # type: ignore[arg-type]


CASES = [
    (variable("normal", 450.0, 22.5), scipy.stats.norm(450.0, 22.5)),
    (variable("uniform", 1.0, 3.0), scipy.stats.uniform(1.0, 2.0)),
    (variable("triangle", 9.0, 11.0, 14.0), scipy.stats.triang(0.4, 9.0, 5.0)),
    (variable("triangle", 9.0, 9.0, 14.0), scipy.stats.triang(0.0, 9.0, 5.0)),
    (variable("triangle", 9.0, 14.0, 14.0), scipy.stats.triang(1.0, 9.0, 5.0)),
]

METHODS: tuple[Method, ...] = ("random", "latin", "sequence")


@pytest.mark.parametrize(("ours", "theirs"), CASES)
def test_values_and_shares_are_those_of_scipy(ours: Variable, theirs: object) -> None:
    shares = np.linspace(0.001, 0.999, 77)
    values = theirs.ppf(shares)  # type: ignore[attr-defined]
    assert values_at(ours, shares) == pytest.approx(values, rel=1e-9)
    assert [share_below(ours, float(v)) for v in values] == pytest.approx(shares, abs=1e-9)
    far = theirs.ppf([0.0, 1.0])  # type: ignore[attr-defined]
    assert [share_below(ours, float(v)) for v in far] == [0.0, 1.0]


def test_a_cut_normal_is_scipys_truncated_one() -> None:
    ours = variable("normal", 10.0, 4.0)
    within = Range(6.0, 13.0, "its class's range")
    theirs = scipy.stats.truncnorm(-1.0, 0.75, 10.0, 4.0)
    shares = np.linspace(0.01, 0.99, 50)
    found = samples_of({"css": ours}, {"css": within}, shares[:, None])["css"]
    assert found == pytest.approx(theirs.ppf(shares), rel=1e-9)
    normal = scipy.stats.norm(10.0, 4.0)
    assert left_out(ours, within) == pytest.approx(normal.cdf(6.0) + normal.sf(13.0), rel=1e-9)


def test_a_distribution_wholly_outside_its_range_is_refused() -> None:
    with pytest.raises(HogginError, match="all values of `css` are outside its class's range"):
        samples_of(
            {"css": variable("uniform", 1.0, 2.0)},
            {"css": Range(3.0, 4.0, "its class's range")},
            np.array([[0.5]]),
        )


@pytest.mark.parametrize("samples", [20, 333])
def test_a_latin_hypercube_has_one_sample_in_every_slice_of_every_number(samples: int) -> None:
    """The definition: McKay, Beckman & Conover (1979)."""
    found = unit_samples("latin", samples, 4, np.random.default_rng(7))
    for column in found.T:
        assert sorted(np.floor(column * samples).astype(int)) == list(range(samples))
    # ... in orders of their own, not one order for all.
    assert abs(np.corrcoef(found.T) - np.eye(4)).max() < 5 / np.sqrt(samples)


def test_random_samples_fill_the_unit_cube_evenly() -> None:
    found = unit_samples("random", 2000, 2, np.random.default_rng(7))
    for column in found.T:
        assert scipy.stats.kstest(column, "uniform").pvalue > 0.001


@pytest.mark.parametrize("method", ["latin", "random", "sequence"])
def test_a_pair_of_samples_is_independent(method: Method) -> None:
    pair = np.hstack(sample_pair(method, 1024, 3, np.random.default_rng(5)))
    assert abs(np.corrcoef(pair.T) - np.eye(6)).max() < 4 / np.sqrt(1024)
    again = np.hstack(sample_pair(method, 1024, 3, np.random.default_rng(5)))
    assert np.array_equal(pair, again)


def test_a_sequence_fills_the_cube_more_evenly_than_chance_does() -> None:
    """By scipy's measure of how far from even it is."""
    measured = {}
    for method in METHODS:
        first, _ = sample_pair(method, 512, 3, np.random.default_rng(5))
        measured[method] = scipy.stats.qmc.discrepancy(first)
    assert measured["sequence"] < 0.2 * measured["latin"] < 0.2 * measured["random"]


def test_a_seed_gives_its_samples_again_and_another_gives_others() -> None:
    again = [unit_samples("latin", 50, 3, np.random.default_rng(s)) for s in (3, 3, 4)]
    assert np.array_equal(again[0], again[1])
    assert not np.array_equal(again[0], again[2])


def test_percentiles_are_scipys_and_leave_out_what_has_no_value() -> None:
    values = np.random.default_rng(0).normal(size=101)
    theirs = scipy.stats.mstats.mquantiles(values, [0.1, 0.5, 0.9], alphap=1, betap=1)
    assert percentiles(np.append(values, np.nan)) == pytest.approx(theirs, rel=1e-12)
    assert percentiles(np.array([np.nan])) is None


@pytest.mark.parametrize(("met", "of"), [(0, 50), (1, 50), (25, 50), (50, 50), (759, 1000)])
def test_wilsons_interval_is_scipys(met: int, of: int) -> None:
    theirs = scipy.stats.binomtest(met, of).proportion_ci(0.95, method="wilson")
    assert wilson(met, of) == pytest.approx((theirs.low, theirs.high), abs=1e-7)
