"""Mixing to a band."""

import numpy as np
from scipy.optimize import linprog

from hoggin.models.blending import best_shares
from tests.outside_numbers import OutsideNumber

# Five heaps on four sieves, and a band: figures of our own.
HEAPS = np.array(
    [
        [1.00, 0.30, 0.02, 0.00],
        [1.00, 0.95, 0.20, 0.02],
        [1.00, 1.00, 0.90, 0.25],
        [1.00, 1.00, 1.00, 0.80],
        [1.00, 0.70, 0.40, 0.10],
    ]
)
LOW, HIGH = np.array([1.0, 0.55, 0.25, 0.05]), np.array([1.0, 0.80, 0.45, 0.20])


def by_scipy() -> float:
    """Greatest margin, in half widths of the band, on the three sieves that bind."""
    half = (HIGH - LOW)[1:] / 2.0
    finer = HEAPS[:, 1:].T
    found = linprog(
        [0.0] * 5 + [-1.0],
        A_ub=np.vstack([np.column_stack([-finer, half]), np.column_stack([finer, half])]),
        b_ub=np.concatenate([-LOW[1:], HIGH[1:]]),
        A_eq=[[1.0] * 5 + [0.0]],
        b_eq=[1.0],
    )
    return -float(found.fun or 0.0)


def ours() -> float:
    mixed = best_shares(HEAPS, LOW, HIGH) @ HEAPS
    half = (HIGH - LOW)[1:] / 2.0
    return float(np.minimum((mixed - LOW)[1:] / half, (HIGH - mixed)[1:] / half).min())


NUMBERS = (
    OutsideNumber(
        "margin of the best mix of five heaps, in half widths of the band",
        "scipy.optimize.linprog (HiGHS)",
        "library",
        by_scipy(),
        *("", 1e-9),
        ours,
    ),
    OutsideNumber(
        "share of a heap with 80 % passing mixed with one of 20 % to the middle of 30 to 50 %",
        "conservation of mass",
        "by hand",
        *(1.0 / 3.0, "", 1e-12),
        lambda: float(best_shares([[0.8], [0.2]], [0.3], [0.5])[0]),
    ),
)
