"""The values of the language: quantities, words (choices, traits), texts, and the unknown."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoggin.schema.units import NUMBER, Dimension, in_unit, number_text, trade_unit, unit_of


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number in SI units with its dimension. NaN where only the dimension is known: in a
    template or class that is checked without being instantiated, or after a reported fault."""

    si: float
    dimension: Dimension = NUMBER
    written_in: str = ""  # the unit it was written in, for showing it back

    @property
    def known(self) -> bool:
        return not math.isnan(self.si)

    def in_trade_unit(self) -> float:
        found = trade_unit(self.dimension)
        return in_unit(self.si, found[0]) if found else self.si

    def shown(self, digits: int = 6) -> str:
        """`32 mm`, in the unit it was written in or else the trade's; whole units are kept."""
        unit = unit_of(self.written_in, self.dimension)
        if unit is None:
            return f"{self.si:.6g}"
        return unit.with_number(number_text(in_unit(self.si, unit), digits))


@dataclass(frozen=True, slots=True)
class Word:
    text: str


@dataclass(frozen=True, slots=True)
class String:
    text: str


@dataclass(frozen=True, slots=True)
class Unknown:
    """A value that could not be obtained. Its cause is reported; what uses it reports nothing."""


UNKNOWN = Unknown()
Value = Quantity | Word | String | Unknown
