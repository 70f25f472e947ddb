"""How far a quantity may be from its record: one tolerance for each family of quantities."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.revise.regress.quantities import Quantity
from hoggin.schema.quantity import ENERGY, FAMILIES, POWER, RATE, SIZE, SOLVER

POINTS, _POINT = "points", "point"
_WRITTEN = re.compile(r"\s*(\d+(?:\.\d+)?|\.\d+)\s*(\S+)\s*")
_SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Tolerance:
    """`unit` is `%` (of the recorded value), `points` (of a quantity that is itself per cent), or
    the quantity's own unit."""

    value: float
    unit: str

    def __str__(self) -> str:
        unit = _POINT if self.unit == POINTS and self.value == 1 else self.unit
        return f"{self.value:g} {unit}"

    def difference(self, recorded: float, now: float) -> float:
        """The difference in this tolerance's unit; infinite for per cent of nothing."""
        if self.unit != "%":
            return now - recorded
        if now == recorded:
            return 0.0
        return 100 * (now - recorded) / abs(recorded) if recorded else math.copysign(math.inf, now)

    def beyond(self, recorded: float, now: float) -> float:
        """The difference in tolerances, without sign: 1 is just held; 0 where it holds."""
        difference = abs(self.difference(recorded, now))
        if difference <= self.value * (1 + _SLACK):
            return 0.0
        return difference / self.value if self.value else math.inf


Tolerances = Mapping[str, Tolerance]

DEFAULTS: Tolerances = {
    family.name: Tolerance(family.tolerance, family.tolerance_unit)
    for family in FAMILIES
    if family is not SOLVER
}
"""By the family of a quantity, as the schema of results declares it."""

_OWN_UNITS = {RATE.name: "t/h", SIZE.name: "mm", POWER.name: "kW", ENERGY.name: "kWh/t"}
"""Of the families whose quantities share one."""


def tolerance_of(quantity: Quantity, tolerances: Tolerances) -> Tolerance:
    """What holds for a quantity: one that is stated in another unit than its own does not."""
    stated = tolerances[quantity.kind]
    fits = stated.unit in ("%", POINTS, quantity.unit)
    return stated if fits else DEFAULTS[quantity.kind]


def units_for(kind: str) -> tuple[str, ...]:
    """The units a tolerance of a kind may be stated in."""
    if DEFAULTS[kind].unit == POINTS:
        return (POINTS,)
    return ("%", _OWN_UNITS[kind]) if kind in _OWN_UNITS else ("%",)


def parse_tolerance(kind: str, text: str) -> Tolerance:
    """A tolerance as written: "0.5 %". Raises ValueError with a plain sentence."""
    found = _WRITTEN.fullmatch(text)
    units = units_for(kind)
    wanted = " or ".join(f'"0.5 {unit}"' for unit in units)
    if found is None:
        raise ValueError(f"the tolerance of `{kind}` is written as {wanted}, not `{text}`")
    unit = POINTS if found[2] == _POINT else found[2]
    if unit not in units:
        raise ValueError(f"the tolerance of `{kind}` is stated as {wanted}, not in `{found[2]}`")
    return Tolerance(float(found[1]), unit)
