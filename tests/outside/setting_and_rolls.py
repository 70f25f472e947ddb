"""Settings of cones, rolls, and capacities derived again."""

import numpy as np
from scipy.integrate import quad

from hoggin.models.capacity import (
    choke_zone_capacity,
    critical_speed_rpm,
    nipped_size_mm,
    roll_capacity,
)
from hoggin.models.setting import gap_of_lift_mm, lift_for_gap_mm
from tests.outside_numbers import OutsideNumber

ROCK = {"solid_density_t_m3": 2.7, "bulk_density_t_m3": 1.6}


def _annulus_mm2() -> float:
    """Gap css 20 mm to css + throw 46 mm, integrated round a circle 1300 mm across."""
    area, _ = quad(lambda phi: (20.0 + 13.0 * (1.0 - np.cos(phi))) * 650.0, 0.0, 2.0 * np.pi)
    return float(area)


NUMBERS = (
    OutsideNumber(
        "lift of a bowl from touching to a css of 20 mm, chamber 30 degrees from the vertical",
        "plane geometry: sin 30 = 1/2",
        "by hand",
        *(40.0, "mm", 1e-9),
        lambda: float(lift_for_gap_mm(20.0, 30.0)[0]),
    ),
    OutsideNumber(
        "opening by a relief stroke of 40 mm, chamber at 45 degrees",
        "plane geometry: sin 45 = 1 / sqrt 2",
        "by hand",
        *(28.2843, "mm", 1e-4),
        lambda: float(gap_of_lift_mm(40.0, 45.0)[0]),
    ),
    OutsideNumber(
        # 188.5 x 60 x 1 x 0.8 x 0.012 x 2.7 x 0.25; 188.5 is 60 pi rounded
        "rolls 1 m across, 0.8 m wide, 12 mm apart, 60 rpm, a quarter of Q = 188.5 N D w s rho",
        "Taggart (1945), as in later handbooks",
        "memory",
        *(73.29, "t/h", 0.02),
        lambda: float(roll_capacity(**ROCK, width=800.0, gap=12.0, peripheral_speed=np.pi)[0]),
    ),
    OutsideNumber(
        # 3600 s/h x 0.03 m x 0.85 x 2.7 t/m3 / 1.2 m
        "specific throughput of rolls of 1200 mm whose gap of 30 mm a flake of 85 % fills",
        "conservation of mass: t/h over D x L x u",
        "by hand",
        *(206.55, "t s/(h m3)", 1e-9),
        lambda: (
            float(
                roll_capacity(**ROCK, width=800.0, gap=30.0, peripheral_speed=1.2, ribbon=0.85)[0]
            )
            / (1.2 * 0.8 * 1.2)
        ),
    ),
    OutsideNumber(
        # 1010 x sqrt(1 + 0.09) - 1000
        "largest piece nipped by rolls 1 m across, 10 mm apart, friction 0.3",
        "cos(theta / 2) = (D + gap) / (D + d), tan(theta / 2) = mu; Gupta & Yan (2006)",
        "memory",
        *(54.471, "mm", 0.001),
        lambda: float(nipped_size_mm(diameter=1000.0, gap=10.0, friction=0.3)[0]),
    ),
    OutsideNumber(
        # fall 2 x 1 x 0.04 / 0.9 = 0.08889 m in half a stroke: 30 sqrt(9.80665 / 0.17778)
        "critical speed of a jaw of gape 1 m, css 100, throw 40 mm, depth twice the gape",
        "free fall through the wedge that opens in half a stroke",
        "by hand",
        *(222.81, "rpm", 0.25),
        lambda: float(critical_speed_rpm(gape=1000.0, css=100.0, throw=40.0)[0]),
    ),
    OutsideNumber(
        # annulus by quadrature x fall g / 2 (30 / 290)^2 x 60 x 290 x 1.6 t/m3
        "cone 1300 mm, css 20, throw 26 mm, 290 a minute: the gap integrated round the circle",
        "scipy.integrate.quad, and free fall over half a turn",
        "library",
        *(
            _annulus_mm2() / 1e6 * 0.5 * 9.80665 * (30.0 / 290.0) ** 2 * 60.0 * 290.0 * 1.6,
            "t/h",
            1e-6,
        ),
        lambda: float(
            choke_zone_capacity(**ROCK, css=20.0, throw=26.0, mean_diameter=1300.0, speed=290.0)[0]
        ),
    ),
)
