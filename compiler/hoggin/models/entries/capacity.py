"""What a machine can take."""

from __future__ import annotations

from functools import partial

from hoggin.models.entries.common import BELT_RISES, BELT_RUN, model
from hoggin.models.model import Above, Coefficient
from hoggin.schema.kinds import KINDS

# What a layer of rock moves through: of all that has a capacity, neither chambers nor pools.
_LAYERED = tuple(
    kind.name
    for kind in KINDS.values()
    if "capacity" in kind.needs and not (kind.breaks or kind.slurry)
)

_capacity = partial(model, "capacity", ("capacity",), kinds=("crusher",))

MODELS = (
    _capacity(
        "jaw",
        "capacity:jaw_capacity",
        "flow through a jaw chamber, limited by stroke below the critical speed, by fall above",
        "Rose & English (1967), as in Gupta & Yan (2006); from memory",
        Coefficient("gape", "mm", "feed opening between the jaws", 50.0, 3000.0),
        Coefficient("width", "mm", "width of the jaws", 50.0, 4000.0),
        Coefficient("css", "mm", "closed side setting", 5.0, 600.0),
        Coefficient("throw", "mm", "stroke at the discharge", 1.0, 150.0),
        Coefficient(
            "speed", "rpm", "strokes per minute; 0 for the critical speed", 0.0, 600.0, 0.0
        ),
        Coefficient("packing", "", "packing of the feed in the chamber", 0.2, 1.0, 0.65),
        Coefficient("size_factor", "", "effect of the setting over feed size", 0.2, 1.0, 1.0),
        Coefficient("surface", "", "effect of the liner's surface", 0.5, 1.0, 1.0),
        above=(Above("gape", "css", "rock enters at the gape and leaves at the setting"),),
    ),
    _capacity(
        "choke_zone",
        "capacity:choke_zone_capacity",
        "rock dropping through the annulus of a gyratory or cone crusher once a nutation, limited "
        "by stroke below the critical speed, by fall above",
        "Rose & English (1967), Gauldie (1953), Evertsson (2000); form from memory",
        Coefficient("css", "mm", "closed side setting", 1.0, 600.0),
        Coefficient("throw", "mm", "stroke at the choke zone", 1.0, 150.0),
        Coefficient("nip_angle", "deg", "between the liners at the choke zone", 2.0, 40.0, 22.0),
        Coefficient("mean_diameter", "mm", "mean diameter of the choke zone", 100.0, 6000.0),
        Coefficient("speed", "rpm", "nutations per minute, not the countershaft", 50.0, 600.0),
        Coefficient("fall_share", "", "share of a nutation the rock moves in", 0.2, 0.9, 0.5),
        Coefficient("fill", "", "filling of the choke zone", 0.1, 1.2, 1.0),
    ),
    _capacity(
        "rotor",
        "capacity:rotor_capacity",
        "the smaller of what falls into an impactor's rotor and what is swept through its last gap",
        "conservation of volume and free fall; both fills are common practice, no source",
        Coefficient("width", "mm", "width of the rotor", 100.0, 4000.0),
        Coefficient("gap", "mm", "gap between rotor and last apron", 1.0, 500.0),
        Coefficient("tip_speed", "m/s", "speed of the rotor tip", 5.0, 120.0),
        Coefficient("fill", "", "share of the swept volume that is rock", 0.001, 1.0, 0.05),
        Coefficient("inlet", "mm", "height of the opening by which rock enters", 50.0, 4000.0),
        Coefficient("drop", "mm", "height that rock falls onto the rotor", 50.0, 4000.0),
        Coefficient("inlet_fill", "", "share of the falling curtain that is rock", 0.001, 1.0),
    ),
    _capacity(
        "roll",
        "capacity:roll_capacity",
        "the ribbon of rock that a roll crusher draws through its gap",
        "Taggart (1945), Gupta & Yan (2006), ch. 6; from memory",
        Coefficient("width", "mm", "width of the rolls", 50.0, 4000.0),
        Coefficient("gap", "mm", "gap between the rolls", 0.5, 500.0),
        Coefficient("peripheral_speed", "m/s", "speed of the rolls' surface", 0.1, 30.0),
        Coefficient("ribbon", "", "share of a solid ribbon that passes", 0.02, 1.0, 0.25),
    ),
    _capacity(
        "layer",
        "capacity:layer_capacity",
        "a layer of rock carried at a travel speed: feeders, and what stands over a belt",
        "conservation of mass",
        Coefficient("width", "mm", "width of the layer", 100.0, 4000.0),
        Coefficient("depth", "mm", "depth of the layer", 10.0, 3000.0),
        Coefficient("travel_speed", "m/s", "speed of the layer", 0.005, 5.0),
        Coefficient("fill", "", "share of width times depth that is filled", 0.1, 1.0, 1.0),
        kinds=_LAYERED,
    ),
    _capacity(
        "settling",
        "thickening:settling_capacity",
        "solids that a thickener's surface settles, from one settling test",
        "Coe & Clevenger (1916), from memory",
        Coefficient("surface", "m2", "surface of the pool", 0.1, 1e5),
        Coefficient(
            "interface_speed", "m/h", "fall of the slurry's interface in the test", 1e-3, 1e3
        ),
        Coefficient("test_solids", "", "share of solids by mass in the test", 1e-4, 0.6),
        Coefficient("underflow_solids", "", "share of solids by mass in the underflow", 0.01, 0.85),
        Coefficient("share_used", "", "share of the surface that is counted on", 0.1, 1.0, 1.0),
        kinds=("thickener",),
        above=(Above("underflow_solids", "test_solids", "a thickener gives off water"),),
    ),
    _capacity(
        "spiral",
        "capacity:spiral_capacity",
        "settled sand that the spiral of a screw washer rakes",
        "conservation of volume; handbook form of spiral classifiers, from memory",
        Coefficient("diameter", "mm", "diameter of the spiral", 100.0, 4000.0),
        Coefficient("pitch", "mm", "distance of its flights", 50.0, 4000.0),
        Coefficient("peripheral_speed", "m/s", "speed of its rim", 0.05, 3.0),
        Coefficient("fill", "", "share of the volume between flights that is sand", 0.01, 1.0),
        kinds=("classifier",),
    ),
    _capacity(
        "rated",
        "capacity:rated_capacity",
        "a capacity the class states",
        "the class's own source",
        Coefficient("rated", "t/h", "capacity at the density it is rated for", 0.1, 20000.0),
        Coefficient("rated_density", "t/m3", "bulk density of the rating", 0.5, 4.0, 1.6),
        kinds=(),
    ),
    _capacity(
        "table",
        "tabulated:table_capacity",
        "a table of t/h by setting, in proportion to the rock's bulk density",
        "the class's own table; its use is common practice",
        Coefficient("css", "mm", "setting that picks the row of the table", 0.1, 3000.0),
        Coefficient("bulk_density", "t/m3", "of the rock that the table is for", 0.5, 4.0),
        Coefficient(
            "range_share", "", "where in a range: 0 is its low end, 1 its high", 0.0, 1.0, 0.5
        ),
        table="rate",
    ),
    _capacity(
        "trough",
        "conveyors:trough_capacity",
        "section of rock on a troughed belt on three rolls, times its speed",
        "ISO 5048 (1989), from memory",
        Coefficient("width", "mm", "width of the belt", 300.0, 3200.0),
        Coefficient("middle_roll", "mm", "length of the middle roll", 100.0, 3200.0),
        Coefficient("trough_angle", "deg", "outer rolls to the horizontal", 0.0, 60.0),
        Coefficient("surcharge_angle", "deg", "surface of the moving rock", 0.0, 35.0),
        *BELT_RUN,
        Coefficient("fill", "", "share of the section that is used", 0.1, 1.2, 1.0),
        kinds=("feeder", "conveyor"),
        above=(BELT_RISES,),
    ),
)
