"""Gradings and their standards."""

from collections.abc import Callable

import numpy as np
from scipy.interpolate import PchipInterpolator

from hoggin.check.library import load_library
from hoggin.models.grading import (
    class_fractions,
    fineness_modulus,
    near_size,
    passing_at,
    size_at,
)
from tests.outside_numbers import OutsideNumber


def limit(band: str, size_mm: float, side: str, library: str = "astm") -> Callable[[], float]:
    """One limit of a library band, per cent passing."""

    def read() -> float:
        points = load_library(f"std.gradings.{library}").bands[band].points
        (point,) = (p for p in points if abs(p.size_mm - size_mm) < 1e-9)
        return 100.0 * (point.low if side == "least" else point.high)

    return read


NUMBERS = (
    *(
        OutsideNumber(
            f"ASTM C33 size 57, {side} passing {sieve}",
            "ASTM C33/C33M",
            "looked up",
            *(value, "%", 1e-9),
            limit("c33_57", size, side),
        )
        for sieve, size, low, high in (
            ("1 1/2 in", 37.5, 100.0, 100.0),
            ("1 in", 25.0, 95.0, 100.0),
            ("1/2 in", 12.5, 25.0, 60.0),
            ("No. 4", 4.75, 0.0, 10.0),
            ("No. 8", 2.36, 0.0, 5.0),
        )
        for side, value in (("least", low), ("most", high))
    ),
    *(
        OutsideNumber(
            f"ASTM C33 fine aggregate, {side} passing No. 50",
            "ASTM C33/C33M",
            "looked up",
            *(value, "%", 1e-9),
            limit("c33_fine", 0.3, side),
        )
        for side, value in (("least", 5.0), ("most", 30.0))
    ),
    *(
        OutsideNumber(
            f"EN {library[2:]} {title}, {side} passing {size:g} mm",
            f"EN {library[2:]}, general grading requirements",
            "memory",
            *(value, "%", 1e-9),
            limit(band, size, side, library),
        )
        for library, title, band, size, side, value in (
            ("en12620", "Gc90/15 4/16", "gc90_15_4_16", 16.0, "least", 90.0),
            ("en12620", "Gc85/20 4/8", "gc85_20_4_8", 4.0, "most", 20.0),
            ("en13043", "Gc90/10 4/8", "gc90_10_4_8", 4.0, "most", 10.0),
            ("en13043", "Gc90/15 8/11", "gc90_15_8_11", 8.0, "most", 15.0),
            ("en13043", "Gc85/35 4/10", "gc85_35_4_10", 4.0, "most", 35.0),
            ("en13043", "Gf85 0/2", "gf85_0_2", 2.0, "least", 85.0),
        )
    ),
    OutsideNumber(
        "fineness modulus of a worked sand: 2, 15, 35, 55, 79, 97 % held on 4.75 mm to 150 um",
        "Kosmatka & Wilson, Design and Control of Concrete Mixtures",
        "memory",
        *(2.83, "", 1e-9),
        lambda: float(
            fineness_modulus(
                [9.5, 4.75, 2.36, 1.18, 0.6, 0.3, 0.15, 0.0],
                [2.0, 13.0, 20.0, 20.0, 24.0, 18.0, 3.0],
            )[0]
        ),
    ),
    OutsideNumber(
        "fineness modulus of 19 to 37.5 mm: held on eight sieves of the series",
        "ASTM C136, C125: the definition",
        "memory",
        *(8.0, "", 1e-9),
        lambda: float(fineness_modulus([37.5, 19.0, 0.0], [1.0, 0.0])[0]),
    ),
    OutsideNumber(
        "monotone curve through 100, 61, 30, 3 % at 900, 300, 100, 5 mm, passing 40 mm",
        "scipy.interpolate.PchipInterpolator in ln of size",
        "library",
        float(
            PchipInterpolator(np.log([5.0, 100.0, 300.0, 900.0]), [0.03, 0.30, 0.61, 1.0])(
                np.log(40.0)
            )
        ),
        *("", 1e-12),
        lambda: float(
            class_fractions(
                [900.0, 40.0, 0.0], [900.0, 300.0, 100.0, 5.0], [1.0, 0.61, 0.30, 0.03]
            )[1]
        ),
    ),
    OutsideNumber(
        "P80 where 60 % passes 10 mm and all passes 40 mm, straight in the logarithm",
        "definition of P80",
        "by hand",
        *(20.0, "mm", 1e-9),
        lambda: float(size_at([40.0, 10.0, 0.0], [0.4, 0.6], 0.8)[0]),
    ),
    OutsideNumber(
        "near size about 20 mm: what lies between 15 and 25 mm",
        "King (2001), ch. 4: within a quarter of the aperture",
        "memory",
        *(0.25, "", 1e-12),
        lambda: float(
            near_size([60.0, 25.0, 20.0, 15.0, 10.0, 0.0], [20.0, 10.0, 15.0, 25.0, 30.0], 20.0)[0]
        ),
    ),
    OutsideNumber(
        "passing half way, in the logarithm, through a class that holds all",
        "definition",
        "by hand",
        *(0.5, "", 1e-12),
        lambda: float(passing_at([40.0, 10.0, 0.0], [1.0, 0.0], 20.0)[0]),
    ),
)
