"""Numbers of a plant as words, in the trade's units: two different numbers never look the same."""

from __future__ import annotations

import math
from collections.abc import Mapping

from hoggin.schema.facts import FACTS
from hoggin.schema.plant import Plant
from hoggin.schema.units import SUFFIXES, converted, known

_SHARES = frozenset(fact.field for fact in FACTS if fact.share)
_CLOSE = 1e-9  # of the number; units turned into one another leave less than that

Pair = tuple[str, str]
Units = Mapping[str, str]  # that stand for others: `Plant.units`


def units_for(before: Plant, after: Plant) -> Units:
    """The units that two plants are compared in: the later one's; prices in two currencies are
    shown in neither, as nothing is converted."""
    if before.currency == after.currency:
        return after.units
    return {of: unit for of, unit in after.units.items() if not known(of).dimension.money}


def said_in(value: float, unit: str, units: Units) -> str:
    """`0.5 in`: one number in the plant's own unit, six digits of it."""
    number, own = converted(value, unit, units)
    return f"{number:.6g} {own}"


def label(field: str) -> tuple[str, str]:
    """A field's name without its unit, and the unit: `rate_t_h` -> ("rate", "t/h")."""
    suffix = next((s for s in SUFFIXES if field.endswith(s)), "")
    unit = SUFFIXES.get(suffix, "%" if field in _SHARES else "")
    return field.removesuffix(suffix).replace("_", " "), unit


def close(a: float, b: float) -> bool:
    """Whether two numbers are the same but for what a change of unit leaves."""
    return math.isclose(a, b, rel_tol=_CLOSE, abs_tol=1e-12)


def numbers(a: float | None, b: float | None, unit: str, units: Units) -> Pair:
    """Both numbers with their unit, in as few digits as tell them apart. Per cent are fractions."""
    scale = 100.0 if unit == "%" else 1.0
    scaled = tuple(
        None if value is None else converted(value * scale, unit, units)[0] for value in (a, b)
    )
    unit = units.get(unit, unit)
    for digits in range(4, 16):
        first, second = (_number(value, digits) for value in scaled)
        if first != second:
            break
    return _with_unit(first, unit), _with_unit(second, unit)


def _number(value: float | None, digits: int) -> str:
    if value is None:
        return "-"
    text = f"{value:.{digits}g}"
    return f"{float(text):.10f}".rstrip("0").rstrip(".") if "e" in text else text


def _with_unit(text: str, unit: str) -> str:
    return text if text == "-" or not unit else f"{text} {unit}"
