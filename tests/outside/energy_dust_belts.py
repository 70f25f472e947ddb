"""Motors, liner wear, dust, piles and belts."""

from math import pi

from hoggin.models.conveyors import (
    belt_power,
    secondary_coefficient,
    section_m2,
    slope_factor,
    usable_width_m,
)
from hoggin.models.drives import hopper_power, screw_power, vibrating_power
from hoggin.models.dust import FINES_SCREENING, SCREENING, TERTIARY, TRANSFER, emission_kg_h
from hoggin.models.motors import efficiency, next_motor_kw
from hoggin.models.storage import cone_volume_m3, live_share
from hoggin.models.wear import chamber_wear_g_kwh, liner_life_h, roll_wear_g_kwh
from tests.outside_numbers import OutsideNumber

BOND = "Bond (1963)"
AP_42 = "US EPA, AP-42, table 11.19.2-2 (8/04)"
ISO_5048 = "ISO 5048 (1989)"
BESIDE = {"decks": 0.0, "bulk_density_t_m3": 1.6}

NUMBERS = (
    OutsideNumber(
        "jaw, gyratory and cone liners at Ai 0.44: 0.06 lb/kWh",
        BOND,
        "looked up",
        *(27.2155, "g/kWh", 1e-4),
        lambda: float(chamber_wear_g_kwh(0.44)[0]),
    ),
    OutsideNumber(
        # Reproductions print the exponent 0.667 for 2/3: 0.08990 lb/kWh.
        "roll shells at Ai 0.27: 0.027^0.667 lb/kWh",
        BOND,
        "looked up",
        *(40.7742, "g/kWh", 0.06),
        lambda: float(roll_wear_g_kwh(0.27)[0]),
    ),
    OutsideNumber(
        "life of 1 t of metal at 10 g/t and 200 t/h",
        "conservation of mass",
        "by hand",
        *(500.0, "h", 1e-9),
        lambda: float(liner_life_h(1.0, 10.0, 200.0)[0]),
    ),
    OutsideNumber(
        "motor over 100 kW and 15 %",
        "IEC 60072-1, preferred outputs",
        "memory",
        *(132.0, "kW", 0.0),
        lambda: float(next_motor_kw(100.0, 0.15)[0]),
    ),
    OutsideNumber(
        "motor over 820 kW and 15 %: the R20 number after 900",
        "ISO 3",
        "memory",
        *(1000.0, "kW", 0.0),
        lambda: float(next_motor_kw(820.0, 0.15)[0]),
    ),
    OutsideNumber(
        "efficiency of a motor of 37 kW, IE3, four poles, 50 Hz",
        "IEC 60034-30-1 (2014)",
        "memory",
        *(0.939, "", 0.0),
        lambda: float(efficiency(37.0)[0]),
    ),
    OutsideNumber(
        "screw 914 mm across, 7.6 m long, 2.1 m up, 90 t/h: Q (4 L + H) / 367 + D L / 20",
        "ISO 7119 (1981)",
        "memory",
        *(8.32, "kW", 0.01),
        lambda: float(
            screw_power(90.0, **BESIDE, diameter=914.0, length=7600.0, lift=2100.0, efficiency=1.0)[
                0
            ]
        ),
    ),
    OutsideNumber(
        "feeder under a hopper, 1 x 3 m at 0.2 m/s: shear of the rock that rests on it",
        "Reisner & Rothe (1971), Bruff (1969), the load in flow",
        "memory",
        *(6.129, "kW", 0.001),
        lambda: float(
            hopper_power(
                200.0,
                **BESIDE,
                width=1000.0,
                length=3000.0,
                travel_speed=0.2,
                shear=0.5,
                own_mass=1.0,
                friction=0.1,
                efficiency=0.8,
            )[0]
        ),
    ),
    OutsideNumber(
        "empty screen of 7 t, stroke 10 mm, 900 rpm, shaft 140 mm, friction 0.005",
        "mechanics: inertia x friction x speed at the bearing",
        "by hand",
        *(10.255, "kW", 0.005),
        lambda: float(
            vibrating_power(
                0.0,
                **BESIDE,
                box_mass=7.0,
                stroke=10.0,
                speed=900.0,
                shaft=140.0,
                length=6000.0,
                travel_speed=0.5,
                efficiency=1.0,
            )[0]
        ),
    ),
    OutsideNumber(
        "PM of screening 300 t/h, uncontrolled: 0.025 lb per short ton",
        AP_42,
        "memory",
        *(3.75, "kg/h", 1e-9),
        lambda: float(emission_kg_h(300.0, SCREENING.pm)[0]),
    ),
    OutsideNumber(
        "PM10 of tertiary crushing 300 t/h, controlled: 0.00054 lb per short ton",
        AP_42,
        "looked up",
        *(0.081, "kg/h", 1e-9),
        lambda: float(emission_kg_h(300.0, TERTIARY.pm10_controlled)[0]),
    ),
    OutsideNumber(
        "PM of fines screening 100 t/h, uncontrolled: 0.30 lb per short ton",
        AP_42,
        "memory",
        *(15.0, "kg/h", 1e-9),
        lambda: float(emission_kg_h(100.0, FINES_SCREENING.pm)[0]),
    ),
    OutsideNumber(
        "PM10 of a transfer of 400 t/h, uncontrolled: 0.00110 lb per short ton",
        AP_42,
        "looked up",
        *(0.22, "kg/h", 1e-9),
        lambda: float(emission_kg_h(400.0, TRANSFER.pm10)[0]),
    ),
    OutsideNumber(
        "volume of a cone 12 m high at 45 degrees: 576 pi",
        "geometry",
        "by hand",
        *(576 * pi, "m3", 1e-6),
        lambda: float(cone_volume_m3(12.0, 45.0)[0]),
    ),
    OutsideNumber(
        "live share of a cone whose crater is as steep as its flank",
        "geometry",
        "by hand",
        *(0.25, "", 1e-12),
        lambda: float(live_share(38.0, 38.0)[0]),
    ),
    OutsideNumber(
        "usable width of a 1000 mm belt",
        ISO_5048,
        "looked up",
        *(0.85, "m", 1e-12),
        lambda: float(usable_width_m(1000.0)[0]),
    ),
    OutsideNumber(
        "section of a 1000 mm belt, middle roll 380 mm, trough 30, surcharge 15 degrees",
        ISO_5048,
        "memory",
        *(0.09622, "m2", 2e-5),
        lambda: float(section_m2(1000.0, 380.0, 30.0, 15.0)[0]),
    ),
    OutsideNumber(
        "slope factor of the cap at 10 degrees, surcharge 20 degrees",
        ISO_5048,
        "memory",
        *(0.861521, "", 1e-5),
        lambda: float(slope_factor(100.0, 17.364818, 20.0, 1.0)[0]),
    ),
    OutsideNumber(
        "coefficient C at 200 m",
        ISO_5048,
        "memory",
        *(1.45, "", 1e-12),
        lambda: float(secondary_coefficient(200.0)[0]),
    ),
    OutsideNumber(
        "belt of 100 m and 10 m lift, 360 t/h at 2 m/s, f 0.02, 90 %",
        ISO_5048,
        "memory",
        *(18.01, "kW", 0.01),
        lambda: float(
            belt_power(
                360.0, travel_speed=2.0, length=100.0, lift=10.0, belt_mass=2.4, roll_mass=1.8
            )[0]
        ),
    ),
)
