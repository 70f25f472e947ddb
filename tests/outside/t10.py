"""Breakage from t10."""

from hoggin.models.t10 import appearance, t10, t10_breakage_matrix
from tests.outside_numbers import OutsideNumber

NAPIER_MUNN = "Napier-Munn et al. (1996), ch. 4"
TABLE = "Napier-Munn et al. (1996), ch. 6, default table for crushers"


def _tn(n: float, fraction: float) -> float:
    return float(appearance(n, fraction=fraction)[0, 0])


def _from_table(n: int, fraction: float, value: float) -> OutsideNumber:
    name = f"t{n} at t10 = {100 * fraction:g} %"
    return OutsideNumber(name, TABLE, "memory", value, "", 1e-9, lambda: _tn(n, fraction))


NUMBERS = (
    OutsideNumber(
        "t10 = A (1 - exp(-b Ecs)), A 50 %, b 0.8 t/kWh, 1 kWh/t: 0.5 (1 - e^-0.8)",
        NAPIER_MUNN + ", equation from memory",
        "by hand",
        *(0.275336, "", 1e-6),
        lambda: float(t10(t10_limit=0.5, energy_scale=1.25, specific_energy=1.0)[0]),
    ),
    OutsideNumber(
        "passing a tenth of a parent of 100 mm in the matrix, t10 = 20 %",
        "t10",
        "definition",
        *(0.2, "", 1e-5),
        lambda: float(
            t10_breakage_matrix([100.0001, 100.0, 10.0, 0.0], fraction=0.2)[0, 2:, 0].sum()
        ),
    ),
    _from_table(75, 0.10, 0.028),
    _from_table(25, 0.20, 0.103),
    _from_table(50, 0.30, 0.108),
    _from_table(4, 0.20, 0.450),
    _from_table(2, 0.20, 0.749),
)
