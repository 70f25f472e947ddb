"""Energy and power."""

import math

import numpy as np

from hoggin.models.impact import impact_energy
from hoggin.models.power import bond_energy_kwh_t, bond_power
from hoggin.models.pressing import bed_grip, specific_energy_kwh_t
from tests.outside_numbers import OutsideNumber

SHORT_TON = 0.90718474  # t
EDGES, FEED = np.array([20.0, 10.0, 0.0]), np.array([[1.0, 1.0]])
BED = {"diameter": 1200.0, "gap": 30.0, "flake_share": 0.85}
ROCK = {"solid_density_t_m3": 2.7, "bulk_density_t_m3": 1.6}
TORRES = "the form of Torres & Casali (2009)"

NUMBERS = (
    OutsideNumber(
        "Bond: from infinite size to 100 um at Wi 15, the work index itself",
        "Bond (1952, 1961), definition of the work index",
        "looked up",
        *(15.0, "kWh/t", 1e-12),
        lambda: float(bond_energy_kwh_t(math.inf, 0.1, 15.0)[0]),
    ),
    OutsideNumber(
        "Bond: from 10 mm to 100 um at Wi 14, 10 x 14 x (1/10 - 1/100)",
        "Bond (1952)",
        "by hand",
        *(12.6, "kWh/t", 1e-12),
        lambda: float(bond_energy_kwh_t(10.0, 0.1, 14.0)[0]),
    ),
    OutsideNumber(
        "Bond: from 160 mm to 40 mm at Wi 16, 10 x 16 x (1/200 - 1/400)",
        "Bond (1952)",
        "by hand",
        *(0.4, "kWh/t", 1e-12),
        lambda: float(bond_energy_kwh_t(160.0, 40.0, 16.0)[0]),
    ),
    OutsideNumber(
        "Bond: a work index per short ton to one per tonne",
        "Bond (1961)",
        "looked up",
        *(1.102, "", 0.0005),
        lambda: (
            float(bond_energy_kwh_t(80.0, 12.0, 1.0 / SHORT_TON)[0])
            / float(bond_energy_kwh_t(80.0, 12.0, 1.0)[0])
        ),
    ),
    OutsideNumber(
        "Bond: power for 100 t/h from 10 mm to 100 um at Wi 10, 90 % efficient, 50 kW idle",
        "Bond (1952), and the sum 50 + 100 x 9 / 0.9",
        "by hand",
        *(1050.0, "kW", 1e-9),
        lambda: float(bond_power(100.0, 10.0, 0.1, 10.0, no_load=50.0, efficiency=0.9)[0]),
    ),
    OutsideNumber(
        # 177 / 3.6 kg/s x (75 m/s)^2 / 1000
        "177 t/h thrown at 75 m/s by a vertical shaft, m v^2",
        "Euler's equation of turbomachines: rock leaves with the tip's speed along the rim",
        "by hand",
        *(276.5625, "kW", 1e-9),
        lambda: (
            177.0
            * float(
                impact_energy(
                    *(EDGES, FEED),
                    tip_speed=75.0,
                    energy_factor=1.0,
                    struck_again=0.0,
                    d_min=4.0,
                    d50=20.0,
                )[0]
            )
        ),
    ),
    OutsideNumber(
        # cos a = (1.23 + sqrt(1.23^2 - 4 x 1.2 x 0.03 x 1.434375)) / 2.4 = 0.988732
        "room at the grip of rolls of 1200 mm, gap 30 mm, flake 85 % of 2.7, bed of 1.6 t/m3",
        f"conservation of mass, {TORRES}",
        "memory",
        *(43.52, "mm", 0.01),
        lambda: float(bed_grip(**BED, **ROCK).room_mm[0]),
    ),
    OutsideNumber(
        # 2 x 3000 kN/m2 x 1.2 m x sin(a / 2) = 0.075059, over 3600 x 0.03 m x 2.295 t/m3
        "energy of these rolls at 3 N/mm2, the force acting at half the angle of grip",
        f"2 F sin(a / 2) u over the flake's flow, {TORRES}",
        "memory",
        *(2.1804, "kWh/t", 1e-3),
        lambda: float(
            specific_energy_kwh_t(**BED, **ROCK, specific_force=3.0, acting_share=0.5)[0]
        ),
    ),
)
