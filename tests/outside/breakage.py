"""Breakage in a crusher."""

import tempfile
from functools import partial
from pathlib import Path

from hoggin.models.breakage import breakage_matrix, classification
from tests.outside_numbers import OutsideNumber
from tests.stdlib.test_every_feed import JAW, passing_open_side
from tests.stdlib.test_setting_rules import crusher

WHITEN = "Whiten, Walter & White (1979)"
JAW_TABLE = "US Army correspondence course EN5464 (ed. B), lesson 2: planning table of jaws"
# Passing by size, in, at a setting of 2 1/4 in, read as that of the open side.
PLANNING_TABLE = {2.25: 0.85, 2: 0.78, 1.75: 0.70, 1.5: 0.63, 1.25: 0.55, 1: 0.46, 0.875: 0.41}
PLANNING_TABLE |= {0.75: 0.35, 0.375: 0.18}


def jaw_passing(times_open: float) -> float:
    """What passes a multiple of the open side of the library's jaw, as it is."""
    with tempfile.TemporaryDirectory() as folder:
        jaw = crusher(Path(folder), JAW, "css 130 mm")
    return passing_open_side(jaw, 130.0, 4.5, [times_open])[0]


NUMBERS = (
    OutsideNumber(
        "chance of breakage, mean from K1 = 10 to K2 = 30, K3 = 2: 1 - 1/3",
        WHITEN + ", integrated",
        "by hand",
        *(2.0 / 3.0, "", 1e-12),
        lambda: float(classification([60.0, 30.0, 10.0, 0.0], k1=10.0, k2=30.0, k3=2.0)[0, 1]),
    ),
    OutsideNumber(
        "chance of breakage, mean from K1 = 10 to 20 mm: 5/12",
        WHITEN + ", integrated",
        "by hand",
        *(5.0 / 12.0, "", 1e-12),
        lambda: float(
            classification([60.0, 30.0, 20.0, 10.0, 0.0], k1=10.0, k2=30.0, k3=2.0)[0, 2]
        ),
    ),
    OutsideNumber(
        "progeny finer than a quarter of the parent, K = 0.2, n1 = 0.5, n2 = 2: 0.1 + 0.05",
        "King (2001), ch. 5",
        "by hand",
        *(0.15, "", 1e-5),
        lambda: float(
            breakage_matrix(
                [100.0001, 100.0, 25.0, 0.0],
                fines_share=0.2,
                fines_exponent=0.5,
                coarse_exponent=2.0,
            )[0, 2, 0]
        ),
    ),
    *(
        OutsideNumber(
            f"product of the library's jaw, passing {size / 2.25:.3g} of its open side",
            JAW_TABLE + "; the class is calibrated to it",
            "looked up",
            *(share, "", 0.04),
            partial(jaw_passing, size / 2.25),
        )
        for size, share in PLANNING_TABLE.items()
    ),
)
