"""Columns as a frame of pandas or of polars; neither is needed until a frame is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any, Literal

from hoggin.errors import HogginError

Library = Literal["pandas", "polars"]
_LIBRARIES: tuple[Library, ...] = ("pandas", "polars")
_INSTALL = "`pip install 'hoggin[frames]'` installs both"


@dataclass(frozen=True)
class Column:
    """Values of one kind, None where there is none."""

    name: str
    kind: type  # str, float, int or bool
    values: Sequence[Any]


def frame(columns: Sequence[Column], library: Library | None) -> Any:
    """A frame with these columns. Raises HogginError where the library is not installed."""
    return _pandas(columns) if _chosen(library) == "pandas" else _polars(columns)


def _chosen(library: str | None) -> str:
    if library is None:
        found = next((one for one in _LIBRARIES if find_spec(one)), None)
        if found is None:
            raise HogginError(f"a frame needs pandas or polars: {_INSTALL}")
        return found
    if library not in _LIBRARIES:
        raise HogginError(f'`library` is "pandas" or "polars", not {library!r}')
    if find_spec(library) is None:
        raise HogginError(f"{library} is not installed: {_INSTALL}")
    return library


def _pandas(columns: Sequence[Column]) -> Any:
    import pandas as pd

    whole = {str: "object", float: "float64", int: "int64", bool: "bool"}
    with_gaps = {**whole, int: "Int64", bool: "boolean"}
    series = {}
    for one in columns:
        kinds = with_gaps if None in one.values else whole
        series[one.name] = pd.Series(list(one.values), dtype=kinds[one.kind])
    return pd.DataFrame(series)


def _polars(columns: Sequence[Column]) -> Any:
    import polars as pl

    kinds = {str: pl.String, float: pl.Float64, int: pl.Int64, bool: pl.Boolean}
    return pl.DataFrame(
        [pl.Series(one.name, list(one.values), dtype=kinds[one.kind]) for one in columns]
    )
