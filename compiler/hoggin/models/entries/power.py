"""What a machine draws, and the metal it loses."""

from __future__ import annotations

from functools import partial

from hoggin.models.entries.common import BELT_RISES, BELT_RUN, DECKED, model
from hoggin.models.model import Coefficient
from hoggin.schema.kinds import KINDS

_DRIVEN_BY_CLASS = tuple(kind.name for kind in KINDS.values() if "drive" in kind.may)

_power = partial(model, "power", ("power",))

_wear = partial(model, "wear", ("wear",))

_pump_power = partial(model, "pump_power", ("power",))

_belt_power = partial(model, "belt_power", ("power",))

_drive = partial(model, "drive", ("power",))

MODELS = (
    _power(
        "bond",
        "power:bond_power",
        "power drawn from the third theory, W = 10 Wi (1/sqrt(P80) - 1/sqrt(F80)), or from the "
        "energy that the breakage model finds",
        "Bond (1952), Bond (1961)",
        Coefficient("no_load", "kW", "power drawn with the chamber empty", 0.0, 5000.0, 0.0),
        Coefficient("efficiency", "", "share of the added power that breaks rock", 0.1, 1.0, 1.0),
    ),
    _wear(
        "chamber_liners",
        "wear:chamber_wear_g_kwh",
        "liner metal of a jaw, gyratory or cone crusher per kWh, (Ai + 0.22) / 11 lb",
        "Bond (1963), from memory",
    ),
    _wear(
        "roll_shells",
        "wear:roll_wear_g_kwh",
        "shell metal of a roll crusher per kWh, (Ai / 10)^(2/3) lb",
        "Bond (1963), from memory",
    ),
    _wear(
        "impact_parts",
        "wear:impact_wear_g_kwh",
        "metal of blow bars, tips or anvils, in proportion to abrasiveness and energy",
        "Finnie (1960), the proportion to energy, from memory; the rate is the class's",
        Coefficient("rate", "g/kWh", "metal worn by a kWh of rock of index 1", 0.1, 5000.0),
    ),
    _belt_power(
        "resistance",
        "conveyors:belt_power",
        "rolling resistance by artificial friction and coefficient C, and the lift",
        "ISO 5048 (1989), shorter than 80 m DIN 22101; from memory",
        *BELT_RUN,
        Coefficient("belt_mass", "t", "both strands of the belt", 0.0, 1000.0),
        Coefficient("roll_mass", "t", "turning parts of all idlers", 0.0, 1000.0),
        Coefficient("friction", "", "artificial friction f", 0.01, 0.06, 0.02),
        Coefficient("efficiency", "", "of gear and coupling", 0.5, 1.0, 0.9),
        above=(BELT_RISES,),
    ),
    _drive(
        "vibrating",
        "drives:vibrating_power",
        "an exciter: friction of its bearings under the box's inertia, and landings of the rock",
        "mechanics",
        Coefficient("box_mass", "t", "moving mass without its decks", 0.01, 100.0),
        Coefficient("deck_mass", "t", "mass of each deck", 0.0, 50.0, 0.0),
        Coefficient("stroke", "mm", "twice the amplitude", 1.0, 40.0),
        Coefficient("speed", "rpm", "turns of the exciter per minute", 200.0, 3600.0),
        Coefficient("shaft", "mm", "diameter at the bearings of the exciter", 20.0, 400.0),
        Coefficient("friction", "", "of the bearings, with seals and grease", 0.001, 0.02, 0.005),
        Coefficient("length", "mm", "length that the rock travels", 100.0, 20_000.0),
        Coefficient("travel_speed", "m/s", "speed of the rock", 0.01, 10.0),
        Coefficient("efficiency", "", "of the belt drive", 0.5, 1.0, 0.9),
        kinds=(*DECKED, "feeder"),
    ),
    _drive(
        "hopper",
        "drives:hopper_power",
        "a belt or apron that shears the rock above it as it draws it from a hopper",
        "Reisner & Rothe (1971), Bruff (1969); from memory",
        Coefficient("width", "mm", "width of the opening above it", 100.0, 4000.0),
        Coefficient("length", "mm", "length of the opening above it", 100.0, 20_000.0),
        Coefficient("travel_speed", "m/s", "speed of belt or apron", 0.005, 5.0),
        Coefficient("shear", "", "force that draws the rock, over its load", 0.1, 1.0, 0.45),
        Coefficient("own_mass", "t", "mass of belt or apron", 0.0, 200.0),
        Coefficient("friction", "", "of its rollers or chain", 0.01, 0.5),
        Coefficient("efficiency", "", "of the drive", 0.3, 1.0, 0.85),
        kinds=("feeder",),
    ),
    _drive(
        "screw",
        "drives:screw_power",
        "a screw that pushes sand along and up, and its own friction",
        "ISO 7119 (1981), from memory",
        Coefficient("diameter", "mm", "diameter of the screw", 100.0, 4000.0),
        Coefficient("length", "mm", "length along the screw", 500.0, 30_000.0),
        Coefficient("lift", "mm", "rise over its length", 0.0, 10_000.0),
        Coefficient("progress", "", "resistance of the rock to being pushed", 1.0, 8.0, 4.0),
        Coefficient("efficiency", "", "of the drive", 0.5, 1.0, 0.9),
        kinds=("classifier",),
    ),
    _drive(
        "stated",
        "drives:stated_power",
        "a drawn power the class states",
        "the class's own source",
        Coefficient("drawn", "kW", "power drawn while it runs", 0.0, 5000.0),
        kinds=_DRIVEN_BY_CLASS,
    ),
    _pump_power(
        "hydraulic",
        "slurry:hydraulic_power",
        "lifting slurry against a head: density x g x flow x head over the efficiency",
        "hydraulics",
        Coefficient("head", "m", "of slurry: height, friction and pressure together", 0.1, 500.0),
        Coefficient("efficiency", "", "of pump and drive together", 0.1, 0.95),
    ),
)
