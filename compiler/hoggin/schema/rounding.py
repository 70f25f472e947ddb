"""Numbers to the digits that documents give: a result and its document then never differ."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from pydantic import BaseModel

DIGITS = 9
_PLACES = 12  # after the point: finer figures are what rounding left, and differ by processor

_Whole = TypeVar("_Whole", bound=BaseModel)


def rounded(value: Any) -> Any:
    """Plain data with every float in it rounded."""
    if isinstance(value, float):
        return round(float(f"{value:.{DIGITS}g}"), _PLACES)
    if isinstance(value, Mapping):
        return {key: rounded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(item) for item in value]
    return value


def as_written(whole: _Whole) -> _Whole:
    """The same with every number as its document has it: writing and reading it changes nothing."""
    return type(whole).model_validate(rounded(whole.model_dump()))
