"""Dust raised by crushing, screening and transfer, by emission factors.

Source: US EPA, AP-42, section 11.19.2, table 11.19.2-2 (8/04). Looked up in reproductions: all of
PM10 but the controlled transfer, all of PM2.5 but the transfer, and of PM the tertiary crusher, the
controlled screens and the uncontrolled transfer. The others are from memory. The factors are means
of tests on few plants; a single plant may differ by several times. They hold for dust that leaves
the source, not for what people breathe beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import nan

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

# "Fines" of the section: product or aperture of 3/16 in, 0.50 cm, and finer.
FINES_MM = 5.0
# A tertiary crusher's product is 3/16 in to 1 in.
TERTIARY_MM = 25.4
# Rock is half as dusty as fines at 1.4 times their size, and not at all like them at twice: the
# table has two classes, and no plant changes from one to the other at a tenth of a millimetre. Own
# assumption, no source.
COARSE_MM = 2 * FINES_MM
# What the table calls controlled: stone this moist, by nature or by sprays, over dry solids.
MOIST = 0.015
# From about here on washed stone is wet all over and raises no dust; common practice, no source.
WET = 0.05

KG_T_PER_LB_ST = 0.5  # exact: a short ton is 2000 lb, a tonne 1000 kg


@dataclass(frozen=True, slots=True)
class EmissionFactors:
    """Pounds of dust a short ton of throughput: all suspended particles (PM), those to 10 um (PM10)
    and those to 2.5 um (PM2.5); controlled is of moist stone. NaN where the table has no data."""

    pm: float
    pm_controlled: float
    pm10: float
    pm10_controlled: float
    pm25_controlled: float


TERTIARY = EmissionFactors(0.0054, 0.0012, 0.0024, 0.00054, 0.00010)
FINES_CRUSHING = EmissionFactors(0.0390, 0.0030, 0.0150, 0.0012, 0.000070)
SCREENING = EmissionFactors(0.025, 0.0022, 0.0087, 0.00074, 0.000050)
FINES_SCREENING = EmissionFactors(0.30, 0.0036, 0.072, 0.0022, nan)
TRANSFER = EmissionFactors(0.0030, 0.00014, 0.00110, 0.000046, 0.000013)


def fines_share(size_mm: ArrayLike) -> Array:
    """How far a source of this size, an aperture or a product's P80, has the factors of fines.

    Args:
        size_mm: (B,) mm, above 0.

    Returns:
        (B,) 1 up to `FINES_MM`, 0 from `COARSE_MM` on, linear in the logarithm between.

    Source: own assumption, so that results do not jump where a class of the table ends.
    """
    size = np.clip(per_case(size_mm), FINES_MM, COARSE_MM)
    return np.asarray(np.log(COARSE_MM / size) / np.log(COARSE_MM / FINES_MM))


def emission_kg_h(throughput_t_h: ArrayLike, factor_lb_st: ArrayLike) -> Array:
    """Dust raised at a throughput.

    Args:
        throughput_t_h: (B,) stone through the source, t/h.
        factor_lb_st: (B,) emission factor, lb a short ton.

    Returns:
        (B,) kg/h.

    Raises:
        ValueError: if a throughput or factor is below nothing.

    Source: US EPA, AP-42 (1995 and later), emission = factor x throughput.

    Example, by hand: 100 t/h through a tertiary crusher; 0.0054 lb a short ton is 0.0027 kg a
    tonne.

    >>> emission_kg_h(100.0, TERTIARY.pm)
    array([0.27])
    """
    throughput, factor = per_case(throughput_t_h), per_case(factor_lb_st)
    if (throughput < 0).any() or (factor < 0).any():
        raise ValueError("throughput and factor must not be negative")
    return throughput * factor * KG_T_PER_LB_ST
