"""Fixed points z = g(z) of a batch of small vectors, by Anderson acceleration."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

import numpy as np

from hoggin.balance.result import Array
from hoggin.models.arrays import over

Outcome = TypeVar("Outcome")

_MEMORY = 4  # earlier steps remembered
_DAMPING = 0.5  # of the plain step, where acceleration made things worse
_LEAST_STEP = 1e-8  # whose effect is more than rounding
_LONGEST_STEP = 1.0  # in z: one step changes a size by at most a factor e


@dataclass(frozen=True, slots=True)
class FixedPoint(Generic[Outcome]):
    """The point reached, (B, D); what `g` gave beside it; which cases converged, (B,); and how much
    of a step g kept, at most, in the last steps, (B,): 1 where z = g(z) has no slope."""

    point: Array
    outcome: Outcome
    iterations: int
    converged: np.ndarray[tuple[int], np.dtype[np.bool_]]
    steepness: Array


def fixed_point(
    g: Callable[[Array], tuple[Array, Outcome]],
    start: Array,
    *,
    tolerance: float,
    limit: int,
) -> FixedPoint[Outcome]:
    """Solve z = g(z) for every case at once; a case that has converged is not moved again.

    g: takes z (B, D), returns g(z) (B, D) and an outcome that belongs to exactly that z.
    Source: Anderson (1965), J. ACM 12(4), 547-560, in the form of Walker and Ni (2011), SIAM J.
    Numer. Anal. 49(4), 1715-1735. Where the residual grew, that case takes a damped plain step.
    """
    z = start
    steps: list[Array] = []  # differences of z, and of the residual, newest last
    changes: list[Array] = []
    kept: list[Array] = []
    previous_z = previous_residual = start
    previous_size = np.full(len(start), np.inf)
    iterations = 0
    while True:
        target, outcome = g(z)
        residual = target - z
        size = np.abs(residual).max(axis=1)
        converged = size <= tolerance
        if converged.all() or iterations == limit:
            steep = np.max(kept[-_MEMORY:], axis=0) if kept else np.zeros(len(z))
            return FixedPoint(z, outcome, iterations, converged, steep)
        if iterations:
            steps = [*steps, z - previous_z][-_MEMORY:]
            changes = [*changes, residual - previous_residual][-_MEMORY:]
            kept = _kept(steps[-1], changes[-1], kept)
        move = residual
        if steps:
            accelerated = residual - _correction(residual, steps, changes)
            worse = size > previous_size
            move = np.where(worse[:, None], _DAMPING * residual, accelerated)
        move = np.clip(move, -_LONGEST_STEP, _LONGEST_STEP)
        previous_z, previous_residual, previous_size = z, residual, size
        z = np.where(converged[:, None], z, z + move)
        iterations += 1


def _kept(step: Array, change: Array, before: list[Array]) -> list[Array]:
    """With how much of a step g kept, along it; as before where there was no step to speak of."""
    length = np.einsum("bd,bd->b", step, step)
    ratio = 1.0 + over(np.einsum("bd,bd->b", change, step), length, empty=0.0)
    last = before[-1] if before else np.zeros(len(step))
    return [*before, np.where(length > _LEAST_STEP**2, ratio, last)]


def _correction(residual: Array, steps: list[Array], changes: list[Array]) -> Array:
    """The part of a plain step that earlier steps show to be wrong, (B, D).

    Least squares per case through the normal equations, with a trace of ridge so that a repeated
    or vanished step (a converged case) does no harm.
    """
    dz = np.stack(steps, axis=1)  # (B, h, D)
    df = np.stack(changes, axis=1)
    scale = np.sqrt(np.einsum("bhd,bhd->bh", df, df))
    scale = np.where(scale > 0.0, scale, 1.0)[:, :, None]
    dz, df = dz / scale, df / scale
    gram = df @ df.transpose(0, 2, 1) + 1e-13 * np.eye(len(steps))
    weights = np.linalg.solve(gram, df @ residual[:, :, None])
    moved: Array = ((dz + df) * weights).sum(axis=1)
    return moved
