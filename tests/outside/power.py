"""Energy and power."""

import math

from hoggin.models.power import bond_energy_kwh_t, bond_power
from tests.outside_numbers import OutsideNumber

SHORT_TON = 0.90718474  # t

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
)
