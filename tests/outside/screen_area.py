"""Screen area by the factor method.

100 t/h of which so much is over, between half and whole, and under half the opening.
"""

from collections.abc import Callable

import numpy as np

from hoggin.models.screens import bed_depth_mm, needed_area, opening_factor
from tests.outside_numbers import OutsideNumber

SOURCE = "screen makers' association table, in public wire-cloth references"
STPH = 1.0 / 0.90718474
FT2 = 1.0 / 0.09290304
LB_FT3_100 = 1.601846337396  # t/m3


def area_m2(shares: tuple[float, float, float], opening_in: float = 1.0, **changed: float) -> float:
    opening = 25.4 * opening_in
    arguments = {
        "deck_number": 1.0,
        "bulk_density_t_m3": LB_FT3_100,
        "open_area": 0.64,
        **changed,
    }
    edges = np.array([2.0, 1.0, 0.5, 0.0]) * opening
    return float(needed_area(edges, 100.0 * np.array(shares), aperture_mm=opening, **arguments)[0])


def basic(opening_in: float, open_area: float) -> Callable[[], float]:
    """Factor A read back from an area: 25 % over and 40 % half-size make B = C = 1."""
    return lambda: (
        75.0 * STPH / (FT2 * area_m2((0.25, 0.35, 0.40), opening_in, open_area=open_area))
    )


def oversize(share: float) -> Callable[[], float]:
    """Factor B read back, at 1 in (A = 3.56) with no half-size (C = 0.40)."""
    return lambda: (
        (1.0 - share) * 100.0 * STPH / (FT2 * area_m2((share, 1.0 - share, 0.0)) * 3.56 * 0.40)
    )


def half_size(share: float) -> Callable[[], float]:
    """Factor C read back, at 1 in (A = 3.56) with 5 % over (B = 1.21)."""
    return lambda: 95.0 * STPH / (FT2 * area_m2((0.05, 0.95 - share, share)) * 3.56 * 1.21)


def divides(**change: float) -> Callable[[], float]:
    """By how much a change divides the area."""
    plain = (0.25, 0.35, 0.40)
    return lambda: area_m2(plain) / area_m2(plain, **change)


def slot_factor(ratio: float) -> Callable[[], float]:
    return lambda: opening_factor("slotted", ratio)


NUMBERS = (
    *(
        OutsideNumber(
            f"factor A, basic capacity at {opening:g} in",
            SOURCE,
            "looked up",
            *(value, "stph/ft2", 1e-6),
            basic(opening, share),
        )
        for opening, share, value in (
            (4.0, 0.75, 7.69),
            (2.0, 0.71, 4.90),
            (1.0, 0.64, 3.56),
            (0.75, 0.61, 3.08),
            (0.5, 0.54, 2.47),
            (0.25, 0.46, 1.60),
            (0.1875, 0.45, 1.27),
            (0.125, 0.40, 0.95),
            (0.03125, 0.41, 0.39),
        )
    ),
    *(
        OutsideNumber(
            f"factor B, {100 * share:.0f} % oversize",
            SOURCE,
            "looked up",
            *(value, "", 1e-6),
            oversize(share),
        )
        for share, value in ((0.05, 1.21), (0.25, 1.00), (0.40, 0.88), (0.60, 0.70), (0.95, 0.33))
    ),
    *(
        OutsideNumber(
            f"factor C, {100 * share:.0f} % half-size",
            SOURCE,
            "looked up",
            *(value, "", 1e-6),
            half_size(share),
        )
        for share, value in ((0.0, 0.40), (0.25, 0.70), (0.40, 1.00), (0.65, 1.55), (0.90, 2.40))
    ),
    OutsideNumber(
        "factor D, second deck", SOURCE, "looked up", *(0.90, "", 1e-9), divides(deck_number=2)
    ),
    OutsideNumber(
        "factor D, third deck", SOURCE, "looked up", *(0.80, "", 1e-9), divides(deck_number=3)
    ),
    OutsideNumber(
        "factor F, 150 lb/ft3",
        SOURCE,
        "looked up",
        *(1.5, "", 1e-9),
        divides(bulk_density_t_m3=1.5 * LB_FT3_100),
    ),
    OutsideNumber(
        "factor G, half the open area of table A",
        SOURCE,
        "looked up",
        *(0.5, "", 1e-9),
        divides(open_area=0.32),
    ),
    *(
        OutsideNumber(
            f"factor H, {what}",
            "screen makers' association",
            "memory",
            *(value, "", 1e-9),
            slot_factor(ratio),
        )
        for what, ratio, value in (
            ("slot 3 times as long as wide", 3.0, 1.15),
            ("slot 8 times as long as wide", 8.0, 1.20),
        )
    ),
    OutsideNumber(
        "factor J, 90 % efficiency wanted",
        SOURCE,
        "memory",
        *(1.15, "", 1e-9),
        divides(efficiency=0.90),
    ),
    OutsideNumber(
        "second deck: 100 t/h, 1/2 in, 45 % open, 90 lb/ft3, 40 % over, 25 % half-size",
        SOURCE + "; 66.139 / (2.47 x 0.88 x 0.70 x 0.90 x 0.90 x 0.8333) = 64.398 ft2",
        "by hand",
        *(5.983, "m2", 0.001),
        lambda: area_m2(
            (0.40, 0.35, 0.25),
            0.5,
            deck_number=2.0,
            bulk_density_t_m3=0.9 * LB_FT3_100,
            open_area=0.45,
        ),
    ),
    OutsideNumber(
        "bed of 162 t/h at 1.5 t/m3 on 2 m at 0.5 m/s: 0.03 m3/s over 1 m2/s",
        "conservation of mass",
        "by hand",
        *(30.0, "mm", 1e-9),
        lambda: float(
            bed_depth_mm(162.0, bulk_density_t_m3=1.5, width_m=2.0, travel_speed_m_s=0.5)[0]
        ),
    ),
)
