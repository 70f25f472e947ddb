"""Units of measurement."""

from collections.abc import Callable

from scipy import constants

from hoggin.schema.units import known
from tests.outside_numbers import OutsideNumber

NIST = "NIST SP 811 (2008), app. B, as in scipy.constants"


def size_of(unit: str) -> Callable[[], float]:
    return lambda: known(unit).size


NUMBERS = tuple(
    OutsideNumber(
        f"1 {unit} in SI base units",
        NIST,
        "library",
        *(value, base, 1e-12 * value),
        size_of(unit),
    )
    for unit, value, base in (
        ("in", constants.inch, "m"),
        ("ft", constants.foot, "m"),
        ("lb", constants.pound, "kg"),
        ("st", constants.short_ton, "kg"),
        ("stph", constants.short_ton / constants.hour, "kg/s"),
        ("t/h", constants.metric_ton / constants.hour, "kg/s"),
        ("lb/ft3", constants.pound / constants.foot**3, "kg/m3"),
        ("hp", constants.hp, "W"),
        ("kWh/t", constants.hour, "J/kg"),
        ("rpm", 1.0 / constants.minute, "1/s"),
        ("deg", constants.degree, "rad"),
    )
)
