"""Units and dimensions: the metric and US units of the trade.

Inside the checker every quantity is a number in SI base units with its dimension. Results leave
in the trade's unit for their dimension (`trade_unit`): mm, t/h, kW, t/m3 and so on.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from hoggin.schema.tracing import rounded


@dataclass(frozen=True, slots=True)
class Dimension:
    """Powers of length (m), mass (kg), time (s) and angle (rad)."""

    length: float = 0
    mass: float = 0
    time: float = 0
    angle: float = 0

    def __mul__(self, other: Dimension) -> Dimension:
        return Dimension(
            self.length + other.length,
            self.mass + other.mass,
            self.time + other.time,
            self.angle + other.angle,
        )

    def __truediv__(self, other: Dimension) -> Dimension:
        return self * other**-1

    def __pow__(self, power: float) -> Dimension:
        return Dimension(
            self.length * power, self.mass * power, self.time * power, self.angle * power
        )

    @property
    def is_number(self) -> bool:
        return self == NUMBER


NUMBER = Dimension()
LENGTH = Dimension(length=1)
MASS = Dimension(mass=1)
TIME = Dimension(time=1)
ANGLE = Dimension(angle=1)
AREA = LENGTH**2
VOLUME = LENGTH**3
RATE = MASS / TIME
VOLUME_RATE = VOLUME / TIME
DENSITY = MASS / VOLUME
FREQUENCY = TIME**-1
SPEED = LENGTH / TIME
ENERGY = MASS * SPEED**2
POWER = ENERGY / TIME
SPECIFIC_ENERGY = ENERGY / MASS
FLUX = RATE / AREA
FORCE = POWER / SPEED
LINE_DENSITY = MASS / LENGTH
PER_ENERGY = MASS / ENERGY
PER_MASS = MASS**-1  # of money, which has no unit: the plant's `currency` names it


@dataclass(frozen=True, slots=True)
class Unit:
    name: str
    dimension: Dimension
    size: float  # in SI base units
    of_results: bool = False  # results are shown and required in it; inputs have better ones

    @property
    def sign(self) -> str:
        """What is after a number; nothing of a bare one."""
        return "" if self.name == "number" else self.name

    def with_number(self, number: str) -> str:
        return f"{number} {self.sign}".rstrip()


_INCH = 0.0254
_FOOT = 0.3048
_POUND = 0.45359237
_SHORT_TON = 2000 * _POUND
_HOUR = 3600.0
_YEAR = 8766 * _HOUR  # of 365.25 days
_KWH = 3.6e6
_HORSEPOWER = 550 * _FOOT * _POUND * 9.80665  # mechanical

UNITS: dict[str, Unit] = {
    unit.name: unit
    for unit in (
        Unit("%", NUMBER, 0.01),
        Unit("um", LENGTH, 1e-6),
        Unit("mm", LENGTH, 1e-3),
        Unit("cm", LENGTH, 1e-2),
        Unit("m", LENGTH, 1.0),
        Unit("in", LENGTH, _INCH),
        Unit("ft", LENGTH, _FOOT),
        Unit("kg", MASS, 1.0),
        Unit("t", MASS, 1000.0),
        Unit("lb", MASS, _POUND),
        Unit("st", MASS, _SHORT_TON),
        Unit("s", TIME, 1.0),
        Unit("min", TIME, 60.0),
        Unit("h", TIME, _HOUR),
        Unit("deg", ANGLE, math.pi / 180),
        Unit("rad", ANGLE, 1.0),
        Unit("m2", AREA, 1.0),
        Unit("mm2", AREA, 1e-6),
        Unit("ft2", AREA, _FOOT**2),
        Unit("m3", VOLUME, 1.0),
        Unit("ft3", VOLUME, _FOOT**3),
        Unit("t/h", RATE, 1000 / _HOUR),
        Unit("kg/h", RATE, 1 / _HOUR),
        Unit("kg/s", RATE, 1.0),
        Unit("t/y", RATE, 1000 / _YEAR, of_results=True),
        Unit("stph", RATE, _SHORT_TON / _HOUR),
        Unit("lb/h", RATE, _POUND / _HOUR),
        Unit("m3/h", VOLUME_RATE, 1 / _HOUR),
        Unit("ft3/h", VOLUME_RATE, _FOOT**3 / _HOUR),
        Unit("t/m3", DENSITY, 1000.0),
        Unit("kg/m3", DENSITY, 1.0),
        Unit("lb/ft3", DENSITY, _POUND / _FOOT**3),
        Unit("rpm", FREQUENCY, 1 / 60),
        Unit("Hz", FREQUENCY, 1.0),
        Unit("m/s", SPEED, 1.0),
        Unit("m/min", SPEED, 1 / 60),
        Unit("ft/s", SPEED, _FOOT),
        Unit("ft/min", SPEED, _FOOT / 60),
        Unit("W", POWER, 1.0),
        Unit("kW", POWER, 1000.0),
        Unit("hp", POWER, _HORSEPOWER),
        Unit("kWh", ENERGY, _KWH),
        Unit("kWh/t", SPECIFIC_ENERGY, _KWH / 1000),
        Unit("kWh/st", SPECIFIC_ENERGY, _KWH / _SHORT_TON),
        Unit("t/m2h", FLUX, 1000 / _HOUR),
        Unit("N", FORCE, 1.0),
        Unit("kN", FORCE, 1000.0),
        Unit("kg/m", LINE_DENSITY, 1.0),
        Unit("g/kWh", PER_ENERGY, 0.001 / _KWH),
        Unit("g/t", NUMBER, 1e-6, of_results=True),
        Unit("per_kg", PER_MASS, 1.0),
        Unit("per_t", PER_MASS, 1 / 1000),
        Unit("per_lb", PER_MASS, 1 / _POUND),
        Unit("per_h", FREQUENCY, 1 / _HOUR),
        Unit("per_st", PER_MASS, 1 / _SHORT_TON),
        Unit("number", NUMBER, 1.0),
    )
}


class _Kind(NamedTuple):
    """A dimension in words, the unit of its results, and the suffix of a field in that unit."""

    words: str
    unit: str
    suffix: str


_KINDS = {
    NUMBER: _Kind("a pure number or %", "number", ""),
    LENGTH: _Kind("a length", "mm", "_mm"),
    MASS: _Kind("a mass", "t", "_t"),
    TIME: _Kind("a time", "h", "_h"),
    ANGLE: _Kind("an angle", "deg", "_deg"),
    AREA: _Kind("an area", "m2", "_m2"),
    VOLUME: _Kind("a volume", "m3", "_m3"),
    RATE: _Kind("a mass flow", "t/h", "_t_h"),
    VOLUME_RATE: _Kind("a volume flow", "m3/h", "_m3_h"),
    DENSITY: _Kind("a density", "t/m3", "_t_m3"),
    FREQUENCY: _Kind("a rotational speed", "rpm", "_rpm"),
    SPEED: _Kind("a velocity", "m/s", "_m_s"),
    ENERGY: _Kind("an energy", "kWh", "_kwh"),
    POWER: _Kind("a power", "kW", "_kw"),
    SPECIFIC_ENERGY: _Kind("an energy per mass", "kWh/t", "_kwh_t"),
    FLUX: _Kind("a mass flow per area", "t/m2h", "_t_m2h"),
    FORCE: _Kind("a force", "N", "_n"),
    LINE_DENSITY: _Kind("a mass per length", "kg/m", "_kg_m"),
    PER_ENERGY: _Kind("a mass per energy", "g/kWh", "_g_kwh"),
    PER_MASS: _Kind("a price per mass", "per_t", "_per_t"),
}

SUFFIXES = {
    suffix: unit
    for suffix, unit in sorted(
        [
            *((kind.suffix, kind.unit) for kind in _KINDS.values()),
            ("_t_y", "t/y"),
            ("_kg_h", "kg/h"),
            ("_g_t", "g/t"),
            ("_m", "m"),
            ("_per_kg", "per_kg"),
            ("_per_h", "per_h"),
        ],
        key=lambda pair: -len(pair[0]),
    )
    if suffix
}
"""What a field's name ends with, and the unit it is in; the longest first."""


def describe(dimension: Dimension) -> str:
    """A dimension in words: "a length", "a mass flow" ..."""
    found = _KINDS.get(dimension)
    return found.words if found else "a quantity of mixed units"


def units_of(dimension: Dimension, *, of_results: bool = False) -> list[str]:
    """The units that an input of a dimension is written in; on request those of results too."""
    units = (unit for unit in UNITS.values() if unit.dimension == dimension)
    return [u.name for u in units if u.name != "number" and (of_results or not u.of_results)]


def trade_unit(dimension: Dimension) -> tuple[Unit, str] | None:
    """The unit results use for a dimension, and the suffix of a field that holds it."""
    found = _KINDS.get(dimension)
    return (UNITS[found.unit], found.suffix) if found else None


def unit_of(written: str, dimension: Dimension) -> Unit | None:
    """The unit a quantity was written in; else the one results use for it, if any."""
    trade = trade_unit(dimension)
    return UNITS.get(written) or (trade[0] if trade else None)


def result_unit(name: str) -> str | None:
    """The unit results have for what is written in a unit: that of its dimension that is nearest
    in size, so `in` is shown in mm and `ft` in m. None for a pure number."""
    unit = UNITS.get(name)
    trade = trade_unit(unit.dimension) if unit is not None else None
    if unit is None or trade is None or unit.dimension.is_number:
        return None
    of_results = [UNITS[one] for one in (trade[0].name, *SUFFIXES.values())]
    alike = (one for one in of_results if one.dimension == unit.dimension)
    return min(alike, key=lambda one: abs(math.log(one.size / unit.size))).name


def converted(value: float, unit: str, units: Mapping[str, str]) -> tuple[float, str]:
    """A number in the unit that stands for its own in `units`, and that unit."""
    other = units.get(unit)
    if other is None:
        return value, unit
    return in_unit(value * UNITS[unit].size, UNITS[other]), other


def in_unit(si: float, unit: Unit) -> float:
    """An SI number in a unit, without the dust of two conversions (12 digits are kept)."""
    value = si / unit.size
    return rounded(value, 12) if math.isfinite(value) else value


def number_text(value: float) -> str:
    """A number as a reader writes it: up to 6 significant digits, no trailing zeros."""
    text = f"{value:.6g}"
    return text if "e" not in text else f"{value:,.0f}".replace(",", "")
