"""Capacity."""

from hoggin.models.capacity import (
    choke_zone_capacity,
    critical_nutations_rpm,
    critical_speed_rpm,
    jaw_capacity,
    layer_capacity,
    rated_capacity,
    rotor_capacity,
)
from tests.outside_numbers import OutsideNumber

ROCK = {"solid_density_t_m3": 2.7, "bulk_density_t_m3": 1.6}
JAW = {"gape": 1100.0, "width": 1300.0, "css": 130.0, "throw": 54.0, "packing": 1.0}
ROTOR = {"width": 1000.0, "drop": 500.0, "inlet_fill": 0.03}
ROSE = "Rose & English (1967), as in Gupta & Yan (2006), ch. 4"

NUMBERS = (
    OutsideNumber(
        # 60 x 0.054 x 120 x 1.3 x 0.314 x 8.46154 / 7.46154 x 2.7
        "jaw 1100 x 1300 mm, css 130, throw 54 mm, at 120 a minute, limited by its stroke",
        ROSE,
        "memory",
        *(485.94, "t/h", 0.01),
        lambda: float(jaw_capacity(**ROCK, **JAW, speed=120.0)[0]),
    ),
    OutsideNumber(
        # 132 000 x 1.3 x 0.314 / 280 x 2.7; the 132 000 is rounded from 60 x 47^2
        "the same jaw at 280 a minute, limited by the fall of the rock",
        ROSE,
        "memory",
        *(519.6, "t/h", 2.6),
        lambda: float(jaw_capacity(**ROCK, **JAW, speed=280.0)[0]),
    ),
    OutsideNumber(
        "its critical speed: 47 / sqrt(0.054) x sqrt((R - 1) / R)",
        ROSE,
        "memory",
        *(189.9, "rpm", 0.1),
        lambda: float(critical_speed_rpm(gape=1100.0, css=130.0, throw=54.0)[0]),
    ),
    OutsideNumber(
        "choke zone 1 m across, css 30, throw 20 mm, 300 rpm: free fall for 0.1 s",
        "Gauldie (1953), Evertsson (2000), the form",
        "memory",
        *(177.5, "t/h", 0.1),
        lambda: float(
            choke_zone_capacity(**ROCK, css=30.0, throw=20.0, mean_diameter=1000.0, speed=300.0)[0]
        ),
    ),
    OutsideNumber(
        "the same at 200 rpm and 20 deg: the drop of a stroke, 20 mm / tan 20",
        "Rose & English (1967), the limit by stroke",
        "memory",
        *(132.6, "t/h", 0.1),
        lambda: float(
            choke_zone_capacity(
                **ROCK, css=30.0, throw=20.0, mean_diameter=1000.0, speed=200.0, nip_angle=20.0
            )[0]
        ),
    ),
    OutsideNumber(
        "critical speed of the jaw above, as a choke zone of its angle: tan = (R - 1) / 2 R",
        ROSE,
        "memory",
        *(189.9, "rpm", 0.2),
        lambda: float(critical_nutations_rpm(throw=54.0, nip_angle=23.793)[0]),
    ),
    OutsideNumber(
        "rotor 1 m wide, gap 50 mm, 30 m/s, 5 % full, at 1.6 t/m3",
        "conservation of volume",
        "by hand",
        *(432.0, "t/h", 1e-9),
        lambda: float(
            rotor_capacity(**ROCK, **ROTOR, gap=50.0, tip_speed=30.0, fill=0.05, inlet=4000.0)[0]
        ),
    ),
    OutsideNumber(
        # 1 m x 0.3 m x sqrt(2 x 9.80665 x 0.5) m/s x 3 % x 1.6 t/m3 x 3600
        "rotor 1 m wide with a wide gap: what falls half a metre through an inlet of 0.3 m",
        "free fall",
        "by hand",
        *(162.34, "t/h", 0.01),
        lambda: float(
            rotor_capacity(**ROCK, **ROTOR, gap=150.0, tip_speed=30.0, fill=0.05, inlet=300.0)[0]
        ),
    ),
    OutsideNumber(
        "layer 1 m wide, 0.3 m deep, at 0.2 m/s and 1.6 t/m3",
        "conservation of volume",
        "by hand",
        *(345.6, "t/h", 1e-9),
        lambda: float(layer_capacity(**ROCK, width=1000.0, depth=300.0, travel_speed=0.2)[0]),
    ),
    OutsideNumber(
        "a capacity of 300 t/h rated at 1.6 t/m3, at 1.2 t/m3",
        "proportion",
        "by hand",
        *(225.0, "t/h", 1e-9),
        lambda: float(
            rated_capacity(solid_density_t_m3=2.7, bulk_density_t_m3=1.2, rated=300.0)[0]
        ),
    ),
)
