"""Bounded least squares of a breakage model's coefficients, with their confidence intervals."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Literal

import numpy as np

from hoggin.errors import HogginError
from hoggin.fit.base import BaseClass
from hoggin.fit.measured import Sample
from hoggin.fit.parameters import Parameter
from hoggin.fit.problem import Problem, f80s_mm, pose
from hoggin.models.arrays import Array

if TYPE_CHECKING:
    from scipy.optimize import OptimizeResult

CONFIDENCE = 0.95
_TELLING = 0.95  # correlation from which two coefficients can hardly be distinguished
_AT_BOUND = 1e-4  # of the range: nearer than this is at the bound
_SINGULAR = 1e-6  # of the largest singular value: below it the data do not determine a direction
_SILENT = 1e-6  # fraction passing, far below the resolution of a sieve analysis
_DIGITS = 5  # significant; what is written is what is judged
_FEEDS_APART = 0.1  # of F80: closer feeds do not show the effect of the feed
_TRIES = 300  # evaluations a free coefficient

Verdict = Literal["determined", "undetermined", "at a bound"]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A fitted coefficient with its 95 % confidence limits.

    They are infinite if the data do not determine it, and NaN at a bound.
    """

    parameter: Parameter
    value: float
    low: float
    high: float
    verdict: Verdict


@dataclass(frozen=True)
class SampleFit:
    """A sample compared with the model, in fractions; residuals are measured minus fitted."""

    sample: Sample
    css_mm: float
    residuals: tuple[float, ...]  # at the product's measured sizes
    curve: tuple[tuple[float, float], ...]  # size in mm and fraction passing, coarse to fine


@dataclass(frozen=True)
class Calibration:
    """`points` are those that depend on the crusher. `deviation` is the residual standard
    deviation, and `before` the root mean square residual with the coefficients of the base class,
    both as fractions passing."""

    estimates: tuple[Estimate, ...]
    samples: tuple[SampleFit, ...]
    points: int
    deviation: float
    before: float
    alike: tuple[tuple[str, str, float], ...]  # pairs hardly distinguished, and their correlation


def calibrate(
    base: BaseClass, samples: Sequence[Sample], parameters: Sequence[Parameter]
) -> Calibration:
    """Fit the parameters to the samples' product gradings.

    The sum of squares of measured minus fitted fraction passing is minimised between the bounds;
    each sieve of each sample has equal weight. Confidence limits are those of linear theory,
    value +- t s sqrt(diag((J'J)^-1)), with J at the solution and without coefficients at a bound.

    Raises HogginError if scipy is missing, if there are no more points on the crusher than
    parameters, if the least squares do not converge, or if a coefficient of the feed is free and
    all feeds are the same.

    Source: Draper & Smith (1998), *Applied Regression Analysis*, ch. 24; from memory.
    """
    _need_several_feeds(base, samples, parameters)
    problem = pose(base, samples, parameters)
    found = _least(problem)
    from scipy.special import stdtrit  # scipy is there: _least would have said so

    values = np.array([float(f"{value:.{_DIGITS}g}") for value in problem.values(found.x)])
    residuals = problem.residuals(problem.coefficients(values))
    # How many points the model could miss. Above the product's top size everything passes, in the
    # rock and in the model; such sieves would make the fit look better than it is.
    moved = np.abs(found.jac).max(axis=1, initial=0.0) > _SILENT
    points = int((moved | (np.abs(residuals) > _SILENT)).sum())
    freedom = points - len(parameters)
    if freedom < 1:
        raise HogginError(
            f"{points} points on the crusher can't determine {len(parameters)} coefficients: "
            "measure more sieves or free fewer coefficients"
        )
    deviation = float(np.sqrt(residuals @ residuals / freedom))
    inside = (found.x > _AT_BOUND) & (found.x < 1.0 - _AT_BOUND)
    covariance = np.full((len(parameters), len(parameters)), np.nan)
    covariance[np.ix_(inside, inside)] = _covariance(found.jac[:, inside])
    student = float(stdtrit(freedom, 0.5 + 0.5 * CONFIDENCE))  # two-sided quantile
    half = problem.spans * student * deviation * np.sqrt(np.diag(covariance))
    estimates = map(_estimate, problem.parameters, values.tolist(), half.tolist())
    as_base = {name: np.array(column) for name, column in base.coefficients.items()}
    return Calibration(
        estimates=tuple(estimates),
        samples=_by_sample(problem, samples, values, residuals),
        points=points,
        deviation=deviation,
        before=float(np.sqrt(np.mean(problem.residuals(as_base) ** 2))),
        alike=_alike(problem.parameters, covariance),
    )


def _need_several_feeds(
    base: BaseClass, samples: Sequence[Sample], parameters: Sequence[Parameter]
) -> None:
    """If all feeds are the same, the effect of the feed can't be separated from k1, k2 and t10."""
    free = [p.name for p in parameters if p.name in base.model.feed_coefficients]
    if not free:
        return
    f80 = f80s_mm(samples)
    if f80.max() - f80.min() >= _FEEDS_APART * f80.min():
        return
    names = " and ".join(f"`{name}`" for name in free)
    raise HogginError(
        f"{names} can't be separated from the other coefficients: F80 of the feed is "
        f"{f80.min():.3g} to "
        f"{f80.max():.3g} mm in all samples. Take samples of different feeds, or fix it"
    )


def _least(problem: Problem) -> OptimizeResult:
    """The least squares in shares of each parameter's range."""
    from scipy.optimize import least_squares

    def residuals(shares: Array) -> Array:
        return problem.residuals(problem.coefficients(problem.values(shares)))

    own = (np.array([p.start for p in problem.parameters]) - problem.lows) / problem.spans
    # Also from the middle of the ranges, so that a poor starting class does not lead to a local
    # minimum.
    starts = (np.clip(own, 0.01, 0.99), np.full(own.size, 0.5))
    try:
        found = [
            least_squares(
                residuals,
                start,
                jac="3-point",
                bounds=(0.0, 1.0),
                xtol=1e-11,
                ftol=1e-11,
                gtol=1e-11,
                max_nfev=_TRIES * own.size,
            )
            for start in starts
        ]
    except ValueError as fault:  # the model refuses coefficients within their ranges
        raise HogginError(f"the model can't be computed: {fault}") from fault
    best = min(found, key=lambda result: float(result.cost))
    if not best.success:
        raise HogginError("the least-squares fit does not converge: free fewer coefficients")
    return best


def _covariance(jacobian: Array) -> Array:
    """(J'J)^-1; infinite variance where the data do not determine it."""
    if jacobian.shape[1] == 0:
        return np.empty((0, 0))
    _, singular, axes = np.linalg.svd(jacobian, full_matrices=False)
    told = singular > _SINGULAR * max(float(singular[0]), np.finfo(np.float64).tiny)
    scaled = axes[told] / singular[told, np.newaxis]
    covariance = scaled.T @ scaled
    blind = (axes[~told] ** 2).sum(axis=0) > _SINGULAR
    covariance[blind, blind] = np.inf
    return np.asarray(covariance)


def _estimate(parameter: Parameter, value: float, half: float) -> Estimate:
    is_wide = 2.0 * half >= parameter.high - parameter.low
    verdict: Verdict = "undetermined" if is_wide else "determined"
    if math.isnan(half):
        verdict = "at a bound"
    return Estimate(parameter, value, value - half, value + half, verdict)


def _alike(
    parameters: Sequence[Parameter], covariance: Array
) -> tuple[tuple[str, str, float], ...]:
    pairs = []
    for i, j in combinations(range(len(parameters)), 2):
        scale = math.sqrt(covariance[i, i] * covariance[j, j])
        correlation = covariance[i, j] / scale if scale > 0.0 else 0.0
        if math.isfinite(correlation) and abs(correlation) >= _TELLING:
            pairs.append((parameters[i].name, parameters[j].name, float(correlation)))
    return tuple(pairs)


def _by_sample(
    problem: Problem, samples: Sequence[Sample], values: Array, residuals: Array
) -> tuple[SampleFit, ...]:
    curves = problem.curves(problem.coefficients(values))
    edges = problem.edges_mm[:-1].tolist()
    return tuple(
        SampleFit(
            sample=sample,
            css_mm=float(problem.css_mm[row]),
            residuals=tuple(residuals[problem.rows == row].tolist()),
            curve=tuple(zip(edges, curves[row, :-1].tolist(), strict=True)),
        )
        for row, sample in enumerate(samples)
    )
