"""Many cases of a plant, as columns, as a frame and in a notebook."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from html import escape
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal, overload

from hoggin.api.frames import Column, Library, frame
from hoggin.errors import HogginError
from hoggin.studies.paired.document import Paired

if TYPE_CHECKING:
    import pandas as pd
    import polars as pl

_SHOWN = 20  # rows in a notebook


@dataclass(frozen=True, eq=False, repr=False)
class Study:
    """The results of cases, in their order. `document` is the whole of them."""

    document: Paired

    @cached_property
    def settings(self) -> Mapping[str, Sequence[float | str]]:
        """The values of each setting, by its name."""
        return MappingProxyType({one.name: one.values for one in self.document.settings})

    @cached_property
    def readings(self) -> Mapping[str, tuple[float, ...]]:
        """By the name that was asked for, in the unit that `units` gives; shares in per cent. NaN
        where a case has no balance."""
        return MappingProxyType({o.name: _with_nan(o.values) for o in self.document.outputs})

    @cached_property
    def margins(self) -> Mapping[str, tuple[float, ...]]:
        """By a requirement's text, how far inside (+) or outside (-) its limits a case is, in that
        requirement's unit. NaN where a case has no balance."""
        return MappingProxyType({r.text: _with_nan(r.margins) for r in self.document.requirements})

    @cached_property
    def units(self) -> Mapping[str, str]:
        """The unit of each column of the frame that has one, by its name."""
        units = {name: unit for name, unit, _ in self._numbers()}
        return MappingProxyType({name: unit for name, unit in units.items() if unit})

    @property
    def met(self) -> tuple[bool, ...]:
        """Whether a case has a balance, overloads no machine, and meets every requirement."""
        return self.document.all_met

    @property
    def refused(self) -> tuple[str, ...]:
        """Why a case has no balance; "" where it has one."""
        return self.document.refused

    @property
    def overloaded(self) -> tuple[tuple[str, ...], ...]:
        """The machines that can't take their feed in a case: what is downstream of them is void."""
        return self.document.overloaded

    def __len__(self) -> int:
        return self.document.rows

    def __getitem__(self, name: str) -> tuple[float, ...]:
        """A reading or a margin of all cases. Raises HogginError for another name."""
        found = self.readings.get(name) or self.margins.get(name)
        if found is None:
            known = ", ".join(f"`{one}`" for one in (*self.readings, *self.margins))
            raise HogginError(f"`{name}` was not read in this study; it has {known}")
        return found

    @overload
    def frame(self, library: Literal["pandas"]) -> pd.DataFrame: ...
    @overload
    def frame(self, library: Literal["polars"]) -> pl.DataFrame: ...
    @overload
    def frame(self, library: None = None) -> Any: ...
    def frame(self, library: Library | None = None) -> Any:
        """A row a case: settings, readings, `margin: ` of each requirement, `met`, `overloaded`,
        `refused`.

        A value that is not there is NaN in pandas and null in polars. Raises HogginError where the
        library is not installed.
        """
        return frame(list(self._columns()), library)

    def __repr__(self) -> str:
        refused = sum(map(bool, self.refused))
        without = f", {refused} without a balance" if refused else ""
        return f"<Study: {len(self)} cases, {sum(self.met)} meet every requirement{without}>"

    def _repr_html_(self) -> str:
        columns = list(self._columns())
        heads = "".join(f"<th>{escape(self._heading(one.name))}</th>" for one in columns)
        rows = "".join(
            f"<tr>{''.join(f'<td>{_cell(one.values[case])}</td>' for one in columns)}</tr>"
            for case in range(min(len(self), _SHOWN))
        )
        more = f"<p>The first {_SHOWN} of {len(self)} cases.</p>" if len(self) > _SHOWN else ""
        return f"<p>{escape(repr(self)[1:-1])}</p><table><tr>{heads}</tr>{rows}</table>{more}"

    def _columns(self) -> Iterator[Column]:
        yield from (Column(one.name, str, one.texts) for one in self.document.labels)
        for name, _, values in self._numbers():
            yield Column(name, str if isinstance(values[0], str) else float, values)
        yield Column("met", bool, self.met)
        yield Column("overloaded", str, [", ".join(tags) for tags in self.overloaded])
        yield Column("refused", str, self.refused)

    def _numbers(self) -> Iterator[tuple[str, str, Sequence[float | str | None]]]:
        """The name, unit and values of settings, readings and margins."""
        yield from ((one.name, one.unit, one.values) for one in self.document.settings)
        yield from ((one.name, one.unit, one.values) for one in self.document.outputs)
        for one in self.document.requirements:
            yield f"margin: {one.text}", one.unit, one.margins

    def _heading(self, name: str) -> str:
        unit = self.units.get(name, "")
        return f"{name} ({unit})" if unit else name


def _with_nan(numbers: Sequence[float | None]) -> tuple[float, ...]:
    return tuple(math.nan if number is None else number for number in numbers)


def _cell(value: Any) -> str:
    if value is None:
        return "-"
    return f"{value:.6g}" if isinstance(value, float) else escape(str(value))
