"""Slurry, settling, washing, piles along an arc. 367 and 1.333 of handbooks are rounded."""

from math import pi, radians, tan

from hoggin.models.capacity import spiral_capacity
from hoggin.models.cyclone import plitt_flow_m3_h
from hoggin.models.screens import rinse_water_m3_h
from hoggin.models.settling import settling_speed_m_s
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


def spiral_t_h() -> float:
    capacity = spiral_capacity(
        solid_density_t_m3=2.7,
        bulk_density_t_m3=1.6,
        diameter=1200.0,
        pitch=720.0,
        peripheral_speed=pi * 1.2 * 16.0 / 60.0,
        fill=0.125,
    )
    return float(capacity[0])


def cyclone_m3_h() -> float:
    flow = plitt_flow_m3_h(
        100.0, 0.0, diameter=250.0, inlet=70.0, vortex_finder=85.0, spigot=50.0, height=1150.0
    )
    return float(flow[0])


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
    OutsideNumber(
        "quartz of 0.02 mm in water: R g d^2 / (18 nu)",
        "Stokes (1851)",
        "by hand",
        *(0.3596, "mm/s", 0.03),
        lambda: float(1000 * settling_speed_m_s(0.02, solid_density_t_m3=2.65)[0]),
    ),
    OutsideNumber(
        "quartz of 0.15 mm in water, natural grains: sqrt(10.36^2 + 1.049 D^3) - 10.36",
        "Soulsby (1997)",
        "memory",
        *(16.5, "mm/s", 3.0),
        lambda: float(1000 * settling_speed_m_s(0.15, solid_density_t_m3=2.65)[0]),
    ),
    OutsideNumber(
        "cyclone of 250 mm and Rietema's proportions under 100 kPa of water: Eu = 371.5 Re^0.116",
        "Antunes & Medronho (1992)",
        "memory",
        *(67.0, "m3/h", 15.0),
        cyclone_m3_h,
    ),
    OutsideNumber(
        "spiral of 1.2 m at 16 rpm: 135 D^3 n / 24",
        "mineral processing handbooks",
        "memory",
        *(155.5, "t/h", 3.0),
        spiral_t_h,
    ),
    OutsideNumber(
        "water of wet screening, 100 t/h: 5 US gal/min a short ton an hour",
        "screen makers' association, in public references",
        "looked up",
        *(125.18, "m3/h", 0.01),
        lambda: float(rinse_water_m3_h(100.0)[0]),
    ),
)
