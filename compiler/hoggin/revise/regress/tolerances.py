"""How far a quantity may be from its record: one tolerance for each kind of quantity.

The defaults are chosen, not taken from a source: well above what arithmetic leaves, well below what
a change of a plant makes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

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
        return 100 * (now - recorded) / abs(recorded) if recorded else _signed_infinity(now)

    def beyond(self, recorded: float, now: float) -> float:
        """The difference in tolerances, without sign: 1 is just held; 0 where it holds."""
        difference = abs(self.difference(recorded, now))
        if difference <= self.value * (1 + _SLACK):
            return 0.0
        return difference / self.value if self.value else float("inf")


Tolerances = Mapping[str, Tolerance]

RATE, SIZE, PASSING, SHARE, LOAD = "rate", "size", "passing", "share", "load"
RECIRCULATING, POWER, ENERGY, OTHER = "recirculating_load", "power", "energy", "other"

UNIT_OF: Mapping[str, str] = {
    RATE: "t/h",
    SIZE: "mm",
    PASSING: "%",
    SHARE: "%",
    LOAD: "%",
    RECIRCULATING: "%",
    POWER: "kW",
    ENERGY: "kWh/t",
    OTHER: "",
}
"""The kinds of quantity, and the unit each is recorded in; of `other`, each has its own."""

DEFAULTS: Tolerances = {
    RATE: Tolerance(0.5, "%"),
    SIZE: Tolerance(1, "%"),
    PASSING: Tolerance(0.5, POINTS),
    SHARE: Tolerance(0.5, POINTS),
    LOAD: Tolerance(1, POINTS),
    RECIRCULATING: Tolerance(2, POINTS),
    POWER: Tolerance(1, "%"),
    ENERGY: Tolerance(1, "%"),
    OTHER: Tolerance(1, "%"),
}


def units_for(kind: str) -> tuple[str, ...]:
    """The units a tolerance of a kind may be stated in."""
    unit = UNIT_OF[kind]
    return (POINTS,) if unit == "%" else ("%", unit) if unit else ("%",)


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


def _signed_infinity(value: float) -> float:
    return float("inf") if value > 0 else float("-inf")
