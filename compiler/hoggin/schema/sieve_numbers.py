"""Sieves by their numbers in ASTM E11, and the nominal aperture of each in mm.

From memory; tests compare them with the series in the library fluids.
"""

from __future__ import annotations

from collections.abc import Mapping

NUMBERED: Mapping[str, float] = {
    **{"3.5": 5.6, "4": 4.75, "5": 4.0, "6": 3.35, "7": 2.8, "8": 2.36, "10": 2.0, "12": 1.7},
    **{"14": 1.4, "16": 1.18, "18": 1.0, "20": 0.85, "25": 0.71, "30": 0.6, "35": 0.5},
    **{"40": 0.425, "45": 0.355, "50": 0.3, "60": 0.25, "70": 0.212, "80": 0.18, "100": 0.15},
    **{"120": 0.125, "140": 0.106, "170": 0.09, "200": 0.075, "230": 0.063, "270": 0.053},
    **{"325": 0.045, "400": 0.038, "450": 0.032, "500": 0.025, "635": 0.02},
}


def size_text(number: str) -> str:
    """A size as the language writes it, `4.75 mm`; that of No. 4 for a number that there is not."""
    return f"{NUMBERED.get(number, NUMBERED['4']):g} mm"
