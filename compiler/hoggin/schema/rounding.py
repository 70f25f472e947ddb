"""Numbers to the digits that documents give."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

DIGITS = 9
_PLACES = 12  # after the point: finer figures are what rounding left, and differ by processor


def nine_digits(value: float) -> float:
    """A number to nine significant digits; never a negative zero."""
    return round(float(f"{value:.{DIGITS}g}"), _PLACES) + 0.0


def rounded(value: Any) -> Any:
    """Plain data with every float in it rounded."""
    if isinstance(value, float):
        return nine_digits(value)
    if isinstance(value, Mapping):
        return {key: rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(item) for item in value]
    return value
