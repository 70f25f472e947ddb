"""Intervals of a number: hours of a run, values of a setting."""

from __future__ import annotations

from collections.abc import Iterable

Interval = tuple[float, float]
Intervals = tuple[Interval, ...]


def merged(found: Iterable[Interval], near: float) -> Intervals:
    """In order; those that overlap, or lie no farther apart than `near`, are one."""
    whole: list[Interval] = []
    for low, high in sorted(found):
        if whole and low <= whole[-1][1] + near:
            whole[-1] = (whole[-1][0], max(high, whole[-1][1]))
        else:
            whole.append((low, high))
    return tuple(whole)
