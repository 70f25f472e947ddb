"""Breakage in a crusher."""

import numpy as np

from hoggin.models.breakage import (
    breakage_matrix,
    classification,
    setting_curve_operator,
    whiten_operator,
)
from hoggin.models.grading import passing_at
from tests.outside_numbers import OutsideNumber

WHITEN = "Whiten, Walter & White (1979)"


def curve_passing(times_css: float) -> float:
    """What passes a multiple of the css, from rock all coarser than the product's top size."""
    edges = 25.0 * np.array([5.0, 2.0, 1.0, 0.5, 0.0])
    product = setting_curve_operator(edges, css=25.0, passing_css=0.6, slope=1.0)[0]
    return float(passing_at(edges, product @ np.array([1.0, 0.0, 0.0, 0.0]), 25.0 * times_css)[0])


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
    OutsideNumber(
        "mass of the product of one tonne, K1 = 20 and K2 = 55 mm",
        "conservation of mass",
        "definition",
        *(1.0, "t", 1e-12),
        lambda: float(
            whiten_operator([200.0, 100.0, 50.0, 25.0, 10.0, 0.0], k1=20.0, k2=55.0)[0, :, 0].sum()
        ),
    ),
    OutsideNumber(
        "setting curve of a low-speed cone, passing the css",
        "setting rule of the trade",
        "common practice",
        *(0.60, "", 1e-12),
        lambda: curve_passing(1.0),
    ),
    OutsideNumber(
        "setting curve of a low-speed cone, passing twice the css",
        "setting rule of the trade",
        "common practice",
        *(1.0, "", 1e-12),
        lambda: curve_passing(2.0),
    ),
)
