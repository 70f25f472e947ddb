"""Units and dimensions: the metric and US units of the trade, and money.

A unit is a base unit, or base units joined by `/`: `t/h/m2` is tonnes an hour a square metre. A
currency is a base unit too: any word of three capital letters, as in ISO 4217.

Inside the checker every quantity is a number in SI base units with its dimension. Results leave
in the trade's unit for their dimension (`trade_unit`): mm, t/h, kW, t/m3 and so on.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from hoggin.schema.tracing import rounded


@dataclass(frozen=True, slots=True)
class Dimension:
    """Powers of length (m), mass (kg), time (s), angle (rad) and money."""

    length: float = 0
    mass: float = 0
    time: float = 0
    angle: float = 0
    money: float = 0

    def __mul__(self, other: Dimension) -> Dimension:
        return Dimension(
            self.length + other.length,
            self.mass + other.mass,
            self.time + other.time,
            self.angle + other.angle,
            self.money + other.money,
        )

    def __truediv__(self, other: Dimension) -> Dimension:
        return self * other**-1

    def __pow__(self, power: float) -> Dimension:
        return Dimension(
            self.length * power,
            self.mass * power,
            self.time * power,
            self.angle * power,
            self.money * power,
        )

    @property
    def is_number(self) -> bool:
        return self == NUMBER


NUMBER = Dimension()
LENGTH = Dimension(length=1)
MASS = Dimension(mass=1)
TIME = Dimension(time=1)
ANGLE = Dimension(angle=1)
MONEY = Dimension(money=1)
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
PRESSURE = FORCE / AREA
LINE_DENSITY = MASS / LENGTH
PER_ENERGY = MASS / ENERGY
PRICE = MONEY / MASS
PRICE_OF_ENERGY = MONEY / ENERGY
MONEY_RATE = MONEY / TIME


@dataclass(frozen=True, slots=True)
class Unit:
    """currency: the word for its money, where it is a price."""

    name: str
    dimension: Dimension
    size: float  # in SI base units
    currency: str = ""

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
_KWH = 3.6e6
_HORSEPOWER = 550 * _FOOT * _POUND * 9.80665  # mechanical

BASE_UNITS: Mapping[str, Unit] = {
    unit.name: unit
    for unit in (
        Unit("%", NUMBER, 0.01),
        Unit("um", LENGTH, 1e-6),
        Unit("mm", LENGTH, 1e-3),
        Unit("cm", LENGTH, 1e-2),
        Unit("m", LENGTH, 1.0),
        Unit("in", LENGTH, _INCH),
        Unit("ft", LENGTH, _FOOT),
        Unit("g", MASS, 0.001),
        Unit("kg", MASS, 1.0),
        Unit("t", MASS, 1000.0),
        Unit("kt", MASS, 1e6),
        Unit("Mt", MASS, 1e9),
        Unit("lb", MASS, _POUND),
        Unit("st", MASS, _SHORT_TON),
        Unit("s", TIME, 1.0),
        Unit("min", TIME, 60.0),
        Unit("h", TIME, _HOUR),
        Unit("d", TIME, 24 * _HOUR),
        Unit("y", TIME, 8766 * _HOUR),  # of 365.25 days
        Unit("deg", ANGLE, math.pi / 180),
        Unit("rad", ANGLE, 1.0),
        Unit("m2", AREA, 1.0),
        Unit("mm2", AREA, 1e-6),
        Unit("ft2", AREA, _FOOT**2),
        Unit("m3", VOLUME, 1.0),
        Unit("l", VOLUME, 1e-3),
        Unit("ft3", VOLUME, _FOOT**3),
        Unit("stph", RATE, _SHORT_TON / _HOUR),
        Unit("rpm", FREQUENCY, 1 / 60),
        Unit("Hz", FREQUENCY, 1.0),
        Unit("W", POWER, 1.0),
        Unit("kW", POWER, 1000.0),
        Unit("MW", POWER, 1e6),
        Unit("hp", POWER, _HORSEPOWER),
        Unit("kWh", ENERGY, _KWH),
        Unit("N", FORCE, 1.0),
        Unit("kN", FORCE, 1000.0),
        Unit("kPa", PRESSURE, 1e3),
        Unit("MPa", PRESSURE, 1e6),
    )
}
_PRICES = ("money/t", "money/kg", "money/kWh", "money/h", "money")
SYNONYMS: Mapping[str, str] = {"tph": "t/h"}
# Quotients that the trade usually writes, for messages and the editor; any other reads as well.
_USUAL = (
    *("t/h", "kg/h", "kg/s", "stph", "lb/h", "m3/h", "l/s", "ft3/h", "t/m3", "kg/m3", "lb/ft3"),
    *("m/s", "m/min", "ft/s", "ft/min", "kWh/t", "kWh/st", "t/h/m2", "kg/m", "g/kWh"),
)
OTHER_SPELLINGS: Mapping[str, str] = {
    "mtph": "t/h",
    "percent": "%",
    "pct": "%",
    "micron": "um",
    "microns": "um",
    "inch": "in",
    "inches": "in",
    "foot": "ft",
    "feet": "ft",
    "fpm": "ft/min",
    "pcf": "lb/ft3",
    "hr": "h",
    "hrs": "h",
    "hours": "h",
    "hour": "h",
    "degrees": "deg",
    "tonne": "t",
    "tonnes": "t",
    "sqm": "m2",
    "sqft": "ft2",
    "cum": "m3",
    "litre": "l",
    "litres": "l",
    "liter": "l",
    "liters": "l",
    "day": "d",
    "days": "d",
    "year": "y",
    "years": "y",
    "yr": "y",
}
"""How else people write units, in small letters, and how the language does."""

# Words without a definite meaning as a mass; and what results are in that have no unit, or are in
# the plant's currency. No file can write the last two.
TONS = ("ton", "tons")
_NO_UNIT, _MONEY = "number", "money"
_CURRENCY = re.compile("[A-Z]{3}")
NO_CURRENCIES = frozenset(
    name.lower() for name in (*BASE_UNITS, *SYNONYMS, *OTHER_SPELLINGS, *TONS)
)


@cache
def unit_named(name: str) -> Unit | None:
    """A unit by its name, by the rule of the language; None where a part is not a unit.

    `number` is the unit of a plain number, and `money` that of sums in the plant's currency,
    whatever it is: results are in them.
    """
    if name == _NO_UNIT:
        return Unit(_NO_UNIT, NUMBER, 1.0)
    head, slash, rest = name.partition("/")
    name = SYNONYMS.get(head, head) + slash + rest
    first, *others = (_base(part) for part in name.split("/"))
    if first is None or (others and first.name == "%"):
        return None
    dimension, size, currency = first.dimension, first.size, first.currency
    for part in others:
        if part is None or part.name == "%" or (currency and part.currency):
            return None  # two currencies would make a rate of exchange, and nothing is converted
        dimension, size = dimension / part.dimension, size / part.size
        currency = currency or part.currency
    return Unit(name, dimension, size, currency)


def known(name: str) -> Unit:
    """A unit that is known to be one."""
    found = unit_named(name)
    assert found is not None, f"{name} is not a unit"
    return found


def _base(word: str) -> Unit | None:
    if word == _MONEY or is_currency(word):
        return Unit(word, MONEY, 1.0, word)
    return BASE_UNITS.get(word)


def is_currency(word: str) -> bool:
    """Whether a word has the form of a currency: three capitals (ISO 4217's form) that are not
    some other unit in capitals, as RPM is."""
    return _CURRENCY.fullmatch(word) is not None and word.lower() not in NO_CURRENCIES


def written_unit(name: str) -> Unit | None:
    """A unit as a file writes it: not those that only results have."""
    return None if {_NO_UNIT, _MONEY} & set(name.split("/")) else unit_named(name)


def in_currency(unit: str, currency: str) -> str:
    """A unit of results in the plant's own currency: `EUR/t` for `money/t`."""
    first, slash, rest = unit.partition("/")
    return f"{currency}{slash}{rest}" if first == _MONEY and currency else unit


class _Kind(NamedTuple):
    """A dimension in words, and the unit of its results."""

    words: str
    unit: str


_KINDS = {
    NUMBER: _Kind("a pure number or %", "number"),
    LENGTH: _Kind("a length", "mm"),
    MASS: _Kind("a mass", "t"),
    TIME: _Kind("a time", "h"),
    ANGLE: _Kind("an angle", "deg"),
    AREA: _Kind("an area", "m2"),
    VOLUME: _Kind("a volume", "m3"),
    RATE: _Kind("a mass flow", "t/h"),
    VOLUME_RATE: _Kind("a volume flow", "m3/h"),
    DENSITY: _Kind("a density", "t/m3"),
    FREQUENCY: _Kind("a rotational speed", "rpm"),
    SPEED: _Kind("a velocity", "m/s"),
    ENERGY: _Kind("an energy", "kWh"),
    POWER: _Kind("a power", "kW"),
    SPECIFIC_ENERGY: _Kind("an energy per mass", "kWh/t"),
    FLUX: _Kind("a mass flow per area", "t/h/m2"),
    FORCE: _Kind("a force", "N"),
    PRESSURE: _Kind("a pressure", "MPa"),
    LINE_DENSITY: _Kind("a mass per length", "kg/m"),
    PER_ENERGY: _Kind("a mass per energy", "g/kWh"),
    MONEY: _Kind("a sum of money", "money"),
    PRICE: _Kind("a price per mass", "money/t"),
    PRICE_OF_ENERGY: _Kind("a price per energy", "money/kWh"),
    MONEY_RATE: _Kind("money per time", "money/h"),
}


def suffix_of(unit: str) -> str:
    """What the name of a field ends with that is in a unit: `_kwh_t`; "" of a plain number."""
    return "" if unit == _NO_UNIT else f"_{unit.lower().replace('/', '_')}"


SUFFIXES = {
    suffix_of(unit): unit
    for unit in sorted(
        [
            *(kind.unit for kind in _KINDS.values() if kind.unit != _NO_UNIT),
            *("t/y", "kg/h", "kg/t", "g/t", "m", "kPa", "money/kg"),
        ],
        key=lambda unit: (-len(unit), unit),
    )
}
"""What a field's name ends with, and the unit it is in; the longest first."""


def describe(dimension: Dimension) -> str:
    """A dimension in words: "a length", "a mass flow" ..."""
    found = _KINDS.get(dimension)
    return found.words if found else "a quantity of mixed units"


def usual_units() -> tuple[str, ...]:
    """Quotients that the trade usually writes."""
    return _USUAL


def units_of(dimension: Dimension, currency: str = "EUR") -> list[str]:
    """The units that a dimension is usually written in, prices in a currency."""
    names = (*(_PRICES if dimension.money else ()), *dict.fromkeys((*_USUAL, *BASE_UNITS)))
    return [in_currency(name, currency) for name in names if known(name).dimension == dimension]


@cache
def trade_unit(dimension: Dimension) -> tuple[Unit, str] | None:
    """The unit results use for a dimension, and the suffix of a field that holds it."""
    found = _KINDS.get(dimension)
    unit = unit_named(found.unit) if found else None
    return (unit, suffix_of(unit.name)) if unit is not None else None


def unit_of(written: str, dimension: Dimension) -> Unit | None:
    """The unit a quantity was written in; else the one results use for it, if any."""
    trade = trade_unit(dimension)
    return unit_named(written) or (trade[0] if trade else None)


@cache
def is_yearly(unit: Unit) -> bool:
    """Whether a unit is a rate by the year: `Mt/y`, `m3/y`, `EUR/y`. How much it is an hour, the
    plant says by its hours."""
    return unit.dimension in (RATE, VOLUME_RATE, MONEY_RATE) and "y" in unit.name.split("/")[1:]


@cache
def result_unit(name: str) -> str | None:
    """The unit results have for what is written in a unit: that of its dimension that is nearest
    in size, so `in` is shown in mm and `ft` in m, and by the year that of a year. None for a pure
    number, and where there is none."""
    unit = unit_named(name)
    if unit is not None and is_yearly(unit):
        return "t/y" if unit.dimension == RATE else None
    trade = trade_unit(unit.dimension) if unit is not None else None
    if unit is None or trade is None or unit.dimension.is_number:
        return None
    of_results = [known(one) for one in (trade[0].name, *SUFFIXES.values())]
    alike = (one for one in of_results if one.dimension == unit.dimension)
    return min(alike, key=lambda one: abs(math.log(one.size / unit.size))).name


def converted(value: float, unit: str, units: Mapping[str, str]) -> tuple[float, str]:
    """A number in the unit that stands for its own in `units`, and that unit."""
    other = units.get(unit)
    if other is None:
        return value, unit
    return in_unit(value * known(unit).size, known(other)), other


def in_unit(si: float, unit: Unit) -> float:
    """An SI number in a unit, without the dust of two conversions (12 digits are kept)."""
    value = si / unit.size
    return rounded(value, 12) if math.isfinite(value) else value


def number_text(value: float, digits: int = 6) -> str:
    """A number as a reader writes it: up to so many significant digits or, if that is more, those
    before the point; no trailing zeros."""
    whole = len(f"{abs(value):.0f}")
    text = f"{value:.{max(digits, min(whole, 6))}g}"
    return text if "e" not in text else f"{value:,.0f}".replace(",", "")
