"""A flow by size class in all cases of a balance, and the gradings read from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoggin.balance.result import Array
from hoggin.models import grading

_EMPTY_T_H = 1e-9
_TOP_FRACTION = 0.98  # the coarsest 2 % is left to the sorting of slabs; common practice, no source


@dataclass(frozen=True)
class Flow:
    """Mass flow by size class (B, n), t/h, with the grid's edges (n + 1,), mm."""

    edges_mm: Array
    mass_t_h: Array

    @cached_property
    def rate_t_h(self) -> Array:
        rate: Array = self.mass_t_h.sum(axis=1)
        return rate

    @cached_property
    def empty(self) -> NDArray[np.bool_]:
        return self.rate_t_h < _EMPTY_T_H

    @cached_property
    def _filled(self) -> Array:
        """The mass, with a grading of no meaning where nothing flows."""
        return (
            np.where(self.empty[:, None], 1.0, self.mass_t_h) if self.empty.any() else self.mass_t_h
        )

    def passing(self, size_mm: ArrayLike) -> Array:
        """(B,) fraction finer than a size (1,) or (B,); 0 for an empty flow."""
        share = grading.passing_at(self.edges_mm, self._filled, size_mm)
        return np.where(self.empty, 0.0, share)

    def passing_sieves(self, sizes_mm: Sequence[float]) -> Array:
        """(B, k) fraction finer than each of k sizes."""
        shares = grading.passing_at_each(self.edges_mm, self._filled, np.array(sizes_mm))
        return np.where(self.empty[:, None], 0.0, shares)

    def size_at(self, fraction: float) -> Array:
        """(B,) size that a fraction passes, mm; NaN for an empty flow, or below the finest
        sieve."""
        size = grading.size_at(self.edges_mm, self._filled, np.array([fraction]))
        return np.where(self.empty | (size < self.edges_mm[-2]), np.nan, size)

    @cached_property
    def p80_mm(self) -> Array:
        return self.size_at(0.8)

    @cached_property
    def p50_mm(self) -> Array:
        return self.size_at(0.5)

    @cached_property
    def top_size_mm(self) -> Array:
        return self.size_at(_TOP_FRACTION)

    @property
    def p80_or_finest_mm(self) -> Array:
        """P80 for Bond's law, which needs a size: the finest sieve where P80 lies below it."""
        return np.where(np.isnan(self.p80_mm), self.edges_mm[-2], self.p80_mm)

    @property
    def fineness_modulus(self) -> Array:
        modulus = grading.fineness_modulus(self.edges_mm, self._filled)
        return np.where(self.empty, np.nan, modulus)

    def curve(self, case: int) -> tuple[tuple[float, float], ...]:
        """(size mm, fraction passing) of a case at the grid's edges but the pan's."""
        if self.empty[case]:
            return ()
        finer = grading.passing(self.edges_mm, self.mass_t_h[case : case + 1])[0]
        return tuple(zip(self.edges_mm[:-1].tolist(), finer[:-1].tolist(), strict=True))
