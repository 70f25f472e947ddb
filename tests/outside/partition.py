"""Screen partition."""

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
from scipy.integrate import quad

from hoggin.models.partition import karra_area_m2, karra_cut_size, oversize, throughfall_mm
from tests.outside_numbers import OutsideNumber

KARRA = "Karra (1979), as in King (2001), ch. 4"
H = 20.0  # mm; edges are the sizes the factors ask for
EDGES = np.array([60.0, 1.25 * H, H, 0.75 * H, 0.5 * H, 0.0])
SHARES = np.array([0.20, 0.10, 0.15, 0.25, 0.30])
DECK: dict[str, Any] = {
    "aperture_mm": H,
    "area_m2": 8.0,
    "deck_number": 1,
    "bulk_density_t_m3": 1.602,
    "open_area": 0.55,
}


def cut(scale: float = 1.0, t_h: float = 200.0, **change: float) -> float:
    deck = {**DECK, "aperture_mm": scale * H, **change}
    return float(karra_cut_size(scale * EDGES, t_h * SHARES, **deck)[0])


def at_capacity() -> float:
    """Undersize that the curve passes where it cuts at the opening, each class uniform in size."""

    def passed(upper: float, lower: float) -> float:
        area, _ = quad(lambda d: math.exp(-math.log(2.0) * (d / H) ** 5.846), lower, upper)
        return float(area) / (upper - lower)

    finer = [passed(upper, lower) for upper, lower in pairwise(EDGES[2:])]
    return float(np.dot(finer, SHARES[2:]) / SHARES[2:].sum())


def area() -> float:
    deck = {name: value for name, value in DECK.items() if name != "area_m2"}
    return float(karra_area_m2(EDGES, 200.0 * SHARES, efficiency=at_capacity(), **deck)[0])


def spray_factor(aperture_mm: float) -> Callable[[], float]:
    deck = {name: v for name, v in DECK.items() if name != "area_m2"} | {"aperture_mm": aperture_mm}
    edges = EDGES * (aperture_mm / H)

    def ratio() -> float:
        given = {**deck, "efficiency": 0.85}
        dry, wet = (karra_area_m2(edges, 200.0 * SHARES, **given, wet=w)[0] for w in (0.0, 1.0))
        return float(dry / wet)

    return ratio


NUMBERS = (
    OutsideNumber(
        # A = 12.13 x 20^0.32 - 10.3 = 21.34; B = 1.24; C = 1.06; K = 17.5 / 28.05 = 0.6240;
        # Gc = 0.844 x 0.75^3.453 = 0.3125; 20 x (0.3125 / 0.6240)^0.148 = 18.06.
        "d50 of 200 t/h on 8 m2 of 20 mm, horizontal, 30 % over, 25 % near size, 30 % half-size",
        KARRA + ", its factors worked by hand",
        "memory",
        *(18.06, "mm", 0.01),
        cut,
    ),
    OutsideNumber(
        "d50 of a second deck over that of the first, D = 0.9",
        KARRA,
        "memory",
        *(0.9**0.148, "", 1e-3),
        lambda: cut(t_h=150.0, deck_number=2) / cut(t_h=150.0),
    ),
    OutsideNumber(
        "d50 with spray over that without at 4 mm, E = 2.5",
        KARRA,
        "memory",
        *(2.5**0.148, "", 1e-3),
        lambda: cut(0.2, 150.0, wet=1.0) / cut(0.2, 150.0),
    ),
    OutsideNumber(
        "area of that deck at capacity: 140 / (21.34 x 1.24 x 1.06 x 0.3125)",
        KARRA,
        "memory",
        *(15.97, "m2", 0.06),
        area,
    ),
    OutsideNumber(
        # K = 140 / (4.99 x 21.34 x 1.24 x 1.06) = 1, so the published form for K = 1 holds.
        "d50 over aperture on 4.99 m2, where K = 1: 0.975 x 0.75^0.511",
        KARRA + ", its form for a deck at capacity",
        "memory",
        *(0.8417, "", 1e-3),
        lambda: cut(area_m2=4.99) / H,
    ),
    *(
        OutsideNumber(
            f"factor E with spray at {aperture:g} mm, {branch} of T = 1.26 h",
            KARRA,
            "memory",
            *(value, "", 5e-3),
            spray_factor(aperture),
        )
        for aperture, branch, value in (
            (1.2, "T", 1.512),
            (2.5, "1.5 + T/4", 2.2875),
            (6.5, "3.25 - T/8", 2.22625),
            (9.0, "4.5 - T/4", 1.665),
            (40.0, "1.15", 1.15),
        )
    ),
    OutsideNumber(
        "through-fall aperture of a 20 mm mesh, 64 % open, at 20 degrees: 25 cos 20 - 5",
        KARRA,
        "memory",
        *(18.492, "mm", 0.001),
        lambda: float(throughfall_mm(20.0, open_area=0.64, inclination=20.0)[0]),
    ),
    OutsideNumber(
        "share kept of a thin class at d50",
        "definition of d50",
        "definition",
        *(0.5, "", 1e-3),
        lambda: float(oversize([30.0, 20.0, 16.001, 15.999, 0.0], 16.0, aperture_mm=20.0)[0, 2]),
    ),
    OutsideNumber(
        "share kept between 10 and 15 mm at d50 17 mm",
        "scipy.integrate.quad over " + KARRA,
        "library",
        quad(lambda d: 1.0 - math.exp(-math.log(2.0) * (d / 17.0) ** 5.846), 10.0, 15.0)[0] / 5.0,
        *("", 1e-6),
        lambda: float(oversize(EDGES, 17.0, aperture_mm=H)[0, 3]),
    ),
)
