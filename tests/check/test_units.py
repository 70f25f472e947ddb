"""Units against outside facts.

Exact by definition: the international yard and pound of 1959 (1 in = 25.4 mm, 1 lb =
0.45359237 kg), NIST SP 811 (2008), appendix B: short ton 2000 lb, horsepower of 550 ft lbf/s, with
lbf by the standard gravity 9.80665 m/s2. scipy.constants is the reference library.
"""

from __future__ import annotations

import math

import pytest
from scipy import constants

from hoggin.check.evaluate import evaluate
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.schema.units import BASE_UNITS, in_unit, known, trade_unit
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from tests.check.reading import codes

_HORSEPOWER = 550 * constants.foot * constants.pound * constants.g
_SHORT_TON = 2000 * constants.pound

# unit, its size in SI base units from the reference
_SIZES = {
    "mm": 1e-3,
    "cm": 1e-2,
    "m": 1.0,
    "in": constants.inch,
    "ft": constants.foot,
    "kg": 1.0,
    "t": constants.metric_ton,
    "lb": constants.pound,
    "st": constants.short_ton,
    "s": 1.0,
    "min": constants.minute,
    "h": constants.hour,
    "deg": constants.degree,
    "m2": 1.0,
    "ft2": constants.foot**2,
    "m3": 1.0,
    "ft3": constants.foot**3,
    "t/h": constants.metric_ton / constants.hour,
    "kg/h": 1 / constants.hour,
    "kg/s": 1.0,
    "stph": constants.short_ton / constants.hour,
    "lb/h": constants.pound / constants.hour,
    "t/m3": 1000.0,
    "kg/m3": 1.0,
    "lb/ft3": constants.pound / constants.foot**3,
    "rpm": 1 / constants.minute,
    "Hz": 1.0,
    "m/s": 1.0,
    "m/min": 1 / constants.minute,
    "ft/s": constants.foot,
    "ft/min": constants.foot / constants.minute,
    "W": 1.0,
    "kW": 1000.0,
    "hp": constants.hp,
    "kWh": 1000 * constants.hour,
    "kWh/t": constants.hour,
    "kWh/st": 1000 * constants.hour / _SHORT_TON,
    "%": 0.01,
}


def _value(expression: str) -> Quantity:
    diagnostics = Diagnostics()
    file = parse(Source("text", f"let a = {expression}\n"), diagnostics)
    (let,) = file.statements
    assert isinstance(let, tree.Let)
    value = evaluate(let.value, Scope(), Session(diagnostics))
    assert isinstance(value, Quantity), list(diagnostics)
    return value


@pytest.mark.parametrize(("unit", "size"), _SIZES.items())
def test_a_unit_has_the_size_of_the_reference(unit: str, size: float) -> None:
    assert _value(f"3 {unit}").si == pytest.approx(3 * size, rel=1e-12)


# Worked by hand from the exact definitions above.
@pytest.mark.parametrize(
    ("written", "unit", "number"),
    [
        ("1 in", "mm", 25.4),
        ("1 ft", "mm", 304.8),
        ("12 in", "ft", 1.0),
        ("1 lb", "kg", 0.45359237),
        ("1 st", "kg", 907.18474),
        ("1 stph", "t/h", 0.90718474),
        ("200 stph", "t/h", 181.436948),
        ("2000 lb/h", "stph", 1.0),
        ("1 hp", "W", 745.6998715822702),
        ("100 lb/ft3", "t/m3", 1.601846337396),
        ("1 kWh/st", "kWh/t", 1.1023113109244),
        ("1 m2", "ft2", 10.763910416709722),
        ("1050 rpm", "Hz", 17.5),
        ("180 deg", "rad", math.pi),
        ("450 t/h", "kg/s", 125.0),
    ],
)
def test_conversions_worked_by_hand(written: str, unit: str, number: float) -> None:
    assert in_unit(_value(written).si, known(unit)) == pytest.approx(number, rel=1e-11)


def test_a_horsepower_is_550_foot_pounds_of_force_a_second() -> None:
    assert known("hp").size == pytest.approx(_HORSEPOWER, rel=1e-14)


def test_what_is_written_in_a_trade_unit_comes_back_unchanged() -> None:
    for unit in BASE_UNITS.values():
        found = trade_unit(unit.dimension)
        assert found is not None, unit.name
        if found[0].name == unit.name:
            for number in (0.1, 0.3, 1.7, 32.0, 1050.0, 1e-3, 123456.7):
                assert in_unit(number * unit.size, unit) == number


@pytest.mark.parametrize(
    ("expression", "unit", "number"),
    [
        ("2 + 3 * 4", "number", 14.0),
        ("2 * 3 ^ 2", "number", 18.0),
        ("(2 + 3) * 4", "number", 20.0),
        ("10 - 4 - 3", "number", 3.0),
        ("16 / 4 / 2", "number", 2.0),
        ("-2 * -3", "number", 6.0),
        ("4 ^ 0.5", "number", 2.0),
        ("1 ft + 1 in", "mm", 330.2),
        ("2 m * 6 m", "m2", 12.0),
        ("(2 m * 8 m) ^ 0.5", "m", 4.0),
        ("900 t / 2 h", "t/h", 450.0),
        ("90 kW / 45 t/h", "kWh/t", 2.0),
        ("max(30 mm, 1 in, 2 cm)", "mm", 30.0),
        ("min(30 mm, 1 in)", "mm", 25.4),
        ("50 % * 30 mm", "mm", 15.0),
        ("1.5e2 mm", "cm", 15.0),
        ("1e3", "number", 1000.0),
        ("2E-1 m", "mm", 200.0),
        ("1300mm", "m", 1.3),
        ("30 mm / 1 in", "number", 30 / 25.4),
    ],
)
def test_arithmetic_keeps_its_dimensions(expression: str, unit: str, number: float) -> None:
    value = _value(expression)
    assert value.dimension == known(unit).dimension
    assert in_unit(value.si, known(unit)) == pytest.approx(number, rel=1e-11)  # 12 digits kept


@pytest.mark.parametrize(
    "expression",
    ["1 + 1 mm", "1 mm - 1 kg", "2 ^ 1 mm", "max(1, 1 mm)", "1 t/h + 1 m3/h", "1 rpm + 1 m/s"],
)
def test_unlike_quantities_do_not_add(expression: str) -> None:
    assert codes(f"let a = {expression}\n")[0] in ("E0302", "E0303")
