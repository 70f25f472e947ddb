"""Dust raised by crushing, screening and transfer, by emission factors.

Source: US EPA, AP-42, section 11.19.2, table 11.19.2-2 (8/04), from memory. The factors are means
of tests on few plants with moist and dry stone; a single plant may differ by several times. They
hold for dust that leaves the source, not for what people breathe beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, per_case

# "Fines" of the section: product or aperture of 3/16 in, 0.50 cm, and finer.
FINES_MM = 5.0
# A tertiary crusher's product is 3/16 in to 1 in.
TERTIARY_MM = 25.4

_KG_T_PER_LB_ST = 0.5  # exact: a short ton is 2000 lb, a tonne 1000 kg


@dataclass(frozen=True, slots=True)
class EmissionFactors:
    """Pounds of dust a short ton of throughput: all suspended particles (PM), and those to 10 um
    (PM10); controlled is with wet suppression."""

    pm: float
    pm_controlled: float
    pm10: float
    pm10_controlled: float


TERTIARY = EmissionFactors(0.0054, 0.0012, 0.0024, 0.00054)
FINES_CRUSHING = EmissionFactors(0.0390, 0.0030, 0.0150, 0.0012)
SCREENING = EmissionFactors(0.025, 0.0022, 0.0087, 0.00074)
FINES_SCREENING = EmissionFactors(0.30, 0.0036, 0.072, 0.0022)
TRANSFER = EmissionFactors(0.0030, 0.00014, 0.00110, 0.000046)


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
    """
    throughput, factor = per_case(throughput_t_h), per_case(factor_lb_st)
    if (throughput < 0).any() or (factor < 0).any():
        raise ValueError("throughput and factor must not be negative")
    return throughput * factor * _KG_T_PER_LB_ST
