"""Sieve series."""

from collections.abc import Callable

from fluids import particle_size_distribution as reference

from hoggin.check.library import load_library
from tests.outside_numbers import OutsideNumber

FINEST_MM = 0.063
SERIES = (
    ("iso_r20_3", "ISO_3310_1_R20_3", "ISO 3310-1 R20/3"),
    ("iso_r20", "ISO_3310_1_R20", "ISO 3310-1 R20"),
    ("iso_r40_3", "ISO_3310_1_R40_3", "ISO 3310-1 R40/3"),
    ("astm_e11", "ASTM_E11_sieve_list", "ASTM E11"),
)


def tabulated(name: str) -> list[float]:
    apertures = (float(sieve.designation) for sieve in getattr(reference, name))
    return sorted((a for a in apertures if a >= FINEST_MM), reverse=True)


def ours(name: str) -> tuple[float, ...]:
    return load_library("std.sieves").series[name]


def count(name: str) -> Callable[[], float]:
    return lambda: float(len(ours(name)))


def worst(name: str, table: str) -> Callable[[], float]:
    """The greatest relative difference of a sieve from the one at its place in the table."""
    return lambda: max(abs(a / b - 1.0) for a, b in zip(ours(name), tabulated(table), strict=True))


def in_inches(old: str) -> float:
    (sieve,) = (s for s in reference.ASTM_E11_sieve_list if s.old_designation == old)
    return float(sieve.designation)


def nearest(size_mm: float) -> Callable[[], float]:
    return lambda: min(ours("astm_c33"), key=lambda sieve: abs(sieve - size_mm))


NUMBERS = (
    *(
        OutsideNumber(
            f"{title}: number of sieves from 125 to {FINEST_MM} mm",
            "fluids, particle_size_distribution",
            "library",
            *(float(len(tabulated(table))), "", 0.0),
            count(name),
        )
        for name, table, title in SERIES
    ),
    *(
        OutsideNumber(
            f"{title}: greatest relative difference of any sieve",
            "fluids, particle_size_distribution",
            "library",
            *(0.0, "", 1e-12),
            worst(name, table),
        )
        for name, table, title in SERIES
    ),
    *(
        OutsideNumber(
            f"ASTM E11 {old} in the set of C33",
            "fluids, particle_size_distribution",
            "library",
            *(in_inches(old), "mm", 1e-9),
            nearest(in_inches(old)),
        )
        for old in ("3/4 in.", "No. 4", "No. 8", "No. 100")
    ),
)
