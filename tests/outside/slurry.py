"""Slurry, settling, and piles along an arc. The handbooks' 367 and 1.333 are rounded numbers."""

from math import pi, radians, tan

from hoggin.models.slurry import density_t_m3, flow_m3_h, hydraulic_power
from hoggin.models.storage import ridge_volume_m3
from hoggin.models.thickening import settling_capacity
from tests.outside_numbers import OutsideNumber

FOOT_M, SHORT_TON_T = 0.3048, 0.90718474


def unit_area_ft2() -> float:
    capacity = settling_capacity(
        solid_density_t_m3=2.7,
        bulk_density_t_m3=1.6,
        surface=FOOT_M**2,
        interface_speed=0.9 * FOOT_M,
        test_solids=1 / 21,
        underflow_solids=1 / 2.5,
    )
    return float(SHORT_TON_T / (24 * capacity[0]))


NUMBERS = (
    OutsideNumber(
        "slurry of 30 % solids of 2.65 t/m3: 1 / (0.3 / 2.65 + 0.7)",
        "the usual formula of a slurry's density",
        "by hand",
        *(1.229700, "t/m3", 1e-5),
        lambda: float(density_t_m3(0.3, 0.7, flow_m3_h(0.3, 0.7, 2.65))[0]),
    ),
    OutsideNumber(
        "pump, 250 m3/h of 1.3 against 32 m at 65 %: Q H SG / (367 eta)",
        "pump handbooks",
        "memory",
        *(43.60, "kW", 0.02),
        lambda: float(hydraulic_power(250.0, 1.3, head=32.0, efficiency=0.65)[0]),
    ),
    OutsideNumber(
        "ft2 for a short ton a day, 20 to 1.5 water over solids, fall 0.9 ft/h: 1.333 (F - D) / R",
        "Coe & Clevenger (1916), as in handbooks",
        "memory",
        *(27.40, "ft2", 0.05),
        unit_area_ft2,
    ),
    OutsideNumber(
        "pile of 10 m at 37 degrees turned by 90 degrees on 30 m, without its ends",
        "Pappus's second theorem",
        "by hand",
        *(100 / tan(radians(37)) * 30 * pi / 2, "m3", 1e-9),
        lambda: float(ridge_volume_m3(10.0, 37.0, 30 * pi / 2)[0]),
    ),
)
