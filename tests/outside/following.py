"""Breakage that follows its feed, and capacity lost to moisture."""

from hoggin.models.following import blended_t10, classification_sizes, t10_of_feed
from hoggin.models.packing import moist_capacity_share
from tests.outside_numbers import OutsideNumber

REGRESSION = "Napier-Munn et al. (1996), ch. 6, linear in F80; form from memory"
RULE = "linear loss beyond a limit"


def _sizes() -> tuple[float, float]:
    k1, k2 = classification_sizes(
        k1=20.0, k2=60.0, k1_feed=0.1, k2_feed=0.4, usual_f80=75.0, f80_mm=125.0
    )
    return float(k1[0]), float(k2[0])


NUMBERS = (
    OutsideNumber(
        "K1 = 20 + 0.1 (125 - 75)", REGRESSION, "by hand", 25.0, "mm", 1e-12, lambda: _sizes()[0]
    ),
    OutsideNumber(
        "K2 = 60 + 0.4 (125 - 75)", REGRESSION, "by hand", 80.0, "mm", 1e-12, lambda: _sizes()[1]
    ),
    OutsideNumber(
        "t10 of 10 % and -2 % at twice the usual F80, at 1.5 times it",
        REGRESSION,
        "by hand",
        *(0.09, "", 1e-12),
        lambda: float(t10_of_feed(0.10, t10_feed=-0.02, usual_f80=60.0, f80_mm=90.0)[0]),
    ),
    OutsideNumber(
        "t10 of 30 parts of 0.4 (1 - e^-0.1) and 70 of 0.6 (1 - e^-0.25)",
        "t10 is a mass fraction: the mean by mass",
        "definition",
        *(0.1043232, "", 1e-6),
        lambda: float(
            blended_t10(
                t10_limit=[[0.4, 0.6]],
                energy_scale=[[2.0, 0.8]],
                specific_energy=0.2,
                rock_shares=[[0.3, 0.7]],
            )[0]
        ),
    ),
    OutsideNumber(
        "capacity kept at 6 % moisture, limit 4 %, 5 % a per cent",
        RULE,
        "common practice",
        *(0.90, "", 1e-12),
        lambda: float(moist_capacity_share(0.06, limit=0.04, loss=0.05)[0]),
    ),
)
