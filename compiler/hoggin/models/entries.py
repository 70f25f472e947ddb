"""Every process model that a class may name, with its coefficients, their units and ranges."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Literal, TypedDict, Unpack

from hoggin.models.model import Above, Coefficient, Model, Needs
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import BREAKING_FACTS


class _Rules(TypedDict, total=False):
    kinds: tuple[str, ...]
    feed_coefficients: tuple[str, ...]
    load_coefficients: tuple[str, ...]
    rock_coefficients: tuple[str, ...]
    size_coefficients: tuple[str, ...]
    above: tuple[Above, ...]
    needs: tuple[Needs, ...]
    fineness: str
    table: Literal["", "passing", "rate"]


def _model(
    role: str,
    parts: tuple[str, ...],
    name: str,
    functions: str,
    meaning: str,
    source: str,
    *coefficients: Coefficient,
    **rules: Unpack[_Rules],
) -> Model:
    """A model of a role. `functions`: for each of the role's parts `module:function`, with a space
    between them; the modules are those of this package."""
    paths = (f"hoggin.models.{function}" for function in functions.split())
    found = dict(zip(parts, paths, strict=True))
    if "fineness" in rules:
        rules["fineness"] = f"hoggin.models.{rules['fineness']}"
    return Model(role, name, meaning, source, found, coefficients, **rules)


_DECKED = tuple(kind.name for kind in KINDS.values() if kind.decked)
# What a layer of rock moves through: of all that has a capacity, neither chambers nor pools.
_LAYERED = tuple(
    kind.name
    for kind in KINDS.values()
    if "capacity" in kind.needs and not (kind.breaks or kind.slurry)
)
_DRIVEN_BY_CLASS = tuple(kind.name for kind in KINDS.values() if "drive" in kind.may)
_breakage = partial(_model, "breakage", ("operator",))
_partition = partial(_model, "partition", ("cut_size", "oversize"), kinds=_DECKED)
_area = partial(_model, "area", ("needed_area",))
_capacity = partial(_model, "capacity", ("capacity",), kinds=("crusher",))
_power = partial(_model, "power", ("power",))
_wear = partial(_model, "wear", ("wear",))
_pump_power = partial(_model, "pump_power", ("power",))
_cut = partial(_model, "cut", ("cut_size", "pressure_drop", "flow_through"), kinds=("classifier",))
_belt_power = partial(_model, "belt_power", ("power",))
_drive = partial(_model, "drive", ("power",))
_flakiness = partial(_model, "flakiness", ("fresh",))

_CLASSIFICATION = (
    Coefficient("k1", "mm", "size below which no particle is broken", 0.01, 3000.0),
    Coefficient("k2", "mm", "size above which every particle is broken", 0.02, 6000.0),
    Coefficient("k3", "", "shape of the classification between k1 and k2", 0.5, 6.0, 2.3),
)

_TWO_TERM_BREAKAGE = (
    Coefficient("fines_share", "", "share of the progeny in the fines term (K)", 0.0, 1.0, 0.2),
    Coefficient("fines_exponent", "", "slope of the fines term (n1)", 0.1, 3.0, 0.5),
    Coefficient("coarse_exponent", "", "slope of the coarse term (n2)", 0.5, 10.0, 2.5),
)

_FEED_RESPONSE = (
    Coefficient("k1_feed", "", "rise of k1 per mm of feed F80 beyond usual_f80", 0.0, 1.0, 0.0),
    Coefficient("k2_feed", "", "rise of k2 per mm of feed F80 beyond usual_f80", 0.0, 3.0, 0.0),
    Coefficient("usual_f80", "mm", "feed F80 that k1 and k2 belong to", 0.0, 3000.0, 0.0),
)

_PIECE_RESPONSE = Coefficient(
    "size_exponent", "", "k1 and k2 of a piece of feed rise as its size to this", 0.0, 1.0, 0.0
)
_STARVED = Coefficient(
    "starved_rise", "", "share by which k1 and k2 are larger in a starved chamber", 0.0, 0.5, 0.0
)
_PIECE_NEEDS = Needs("size_exponent", "usual_f80", "the size of feed that k1 and k2 belong to")

_SIZES_BROKEN = Above("k2", "k1", "pieces up to k1 are never broken, pieces from k2 up always")

_BELT_RUN = (
    Coefficient("travel_speed", "m/s", "speed of the belt", 0.05, 8.0),
    Coefficient("length", "m", "along the belt, between pulley centres", 1.0, 5000.0),
    Coefficient("lift", "m", "height the rock is raised by", 0.0, 1000.0),
)

_BELT_RISES = Above("length", "lift", "a belt can't rise by more than it is long")

_USUAL_SPEED = Coefficient("speed_ratio", "", "speed over the usual speed", 0.2, 5.0, 1.0)
_SPEED_EXPONENT = Coefficient(
    "speed_exponent", "", "flaky share falls as speed to minus it", 0.0, 2.0, 0.5
)

_CLINGING = (
    Coefficient("clinging", "", "share of the finest that clings to dry oversize", 0.0, 0.5, 0.0),
    Coefficient("damp_clinging", "", "times as much clings at 5 % moisture", 1.0, 10.0, 2.0),
)

_NEAR_SETTING = _flakiness(
    "near_setting",
    "shape:near_setting_share",
    "flaky share of freshly broken rock: best near the setting, worse finer and coarser",
    "trends of Bengtsson & Evertsson (2006), from memory; form and figures common practice",
    Coefficient("css", "mm", "closed side setting, or gap of an impactor", 1.0, 2000.0),
    Coefficient("best", "", "flaky share at the setting", 0.0, 0.6),
    Coefficient("rise_finer", "", "added by each halving of size below it", 0.0, 0.5, 0.04),
    Coefficient("rise_coarser", "", "added by each doubling above it", 0.0, 0.5, 0.10),
    Coefficient("most", "", "upper limit of the flaky share", 0.05, 1.0, 0.5),
    Coefficient("usual_ratio", "", "reduction ratio `best` belongs to", 1.0, 30.0, 3.0),
    Coefficient("ratio_exponent", "", "flaky share rises as ratio to this", 0.0, 2.0, 0.3),
    Coefficient("speed_ratio", "", "speed over the speed `best` belongs to", 0.2, 5.0, 1.0),
    _SPEED_EXPONENT,
    Coefficient("starved_rise", "", "flaky share added in a starved chamber", 0.0, 0.5, 0.0),
)

_EVEN = _flakiness(
    "even",
    "shape:even_share",
    "flaky share of freshly broken rock, the same in every size: rock broken by rock",
    "common practice, no source",
    Coefficient("share", "", "flaky share at the usual speed", 0.0, 0.6),
    _USUAL_SPEED,
    _SPEED_EXPONENT,
)


def _flat_elongated(flaky: Model, meaning: str) -> Model:
    """A model of flaky rock, for flat and elongated rock."""
    return replace(
        flaky,
        role="flat_elongated",
        meaning=meaning,
        source="common practice, no source",
        coefficients=tuple(
            replace(c, meaning=c.meaning.replace("flaky", "flat and elongated"))
            for c in flaky.coefficients
        ),
    )


MODELS = (
    _breakage(
        "matrix",
        "breakage:whiten_operator",
        "repeated classification and breakage in a chamber, p = (I - C)(I - B C)^-1 f",
        "Whiten (1972); Whiten, Walter & White (1979); King (2001), ch. 5",
        *_CLASSIFICATION,
        *_TWO_TERM_BREAKAGE,
        _PIECE_RESPONSE,
        Coefficient("rock_exponent", "", "k1, k2 rise as the work index to this", 0.0, 1.0, 0.0),
        Coefficient("usual_work_index", "kWh/t", "of the rock of k1 and k2", 2.0, 60.0, 15.0),
        *_FEED_RESPONSE,
        _STARVED,
        feed_coefficients=("k1_feed", "k2_feed"),
        load_coefficients=("starved_rise",),
        rock_coefficients=("work_index_kwh_t",),
        size_coefficients=("k1", "k2"),
        fineness="breakage:whiten_fineness",
        above=(_SIZES_BROKEN,),
        needs=(_PIECE_NEEDS,),
    ),
    _model(
        "breakage",
        ("operator", "energy"),
        "matrix_t10",
        "t10:t10_operator t10:t10_energy",
        "the chamber of `matrix` with breakage from t10 = A (1 - exp(-b Ecs)) of the rock",
        "Whiten (1972); Napier-Munn et al. (1996), ch. 4; King (2001), ch. 5; from memory",
        *_CLASSIFICATION,
        Coefficient("t10_limit", "", "t10 of the rock at high energy (A)", 0.05, 0.95),
        Coefficient("energy_scale", "kWh/t", "energy over which t10 nears it (1/b)", 0.1, 20.0),
        Coefficient("specific_energy", "kWh/t", "energy of one breakage (Ecs)", 0.005, 10.0),
        Coefficient("energy_response", "", "Ecs rises as the toughness to this", 0.0, 1.0, 0.0),
        Coefficient(
            "usual_toughness",
            "kWh/t",
            "1/(A b) of the rock that Ecs is stated for",
            0.1,
            100.0,
            2.5,
        ),
        _PIECE_RESPONSE,
        *_FEED_RESPONSE,
        Coefficient("t10_feed", "", "added to t10 at twice the usual_f80", -0.5, 0.5, 0.0),
        _STARVED,
        feed_coefficients=("k1_feed", "k2_feed", "t10_feed"),
        load_coefficients=("starved_rise",),
        rock_coefficients=("t10_limit", "energy_scale"),
        size_coefficients=("k1", "k2"),
        fineness="t10:t10_fineness",
        above=(_SIZES_BROKEN,),
        needs=(
            Needs("t10_feed", "usual_f80", "the F80 of the feed that t10 belongs to"),
            _PIECE_NEEDS,
        ),
    ),
    _breakage(
        "setting_curve",
        "breakage:setting_curve_operator",
        "a product curve through the share passing the setting, up to a multiple of it",
        "common practice, no source",
        Coefficient("css", "mm", "closed side setting", 1.0, 2000.0),
        Coefficient("passing_css", "", "fraction of the product finer than the css", 0.2, 0.98),
        Coefficient("top_ratio", "", "top size of the product over the css", 1.1, 20.0, 2.0),
        Coefficient("slope", "", "log-log slope of the curve below the css", 0.2, 3.0, 0.9),
        Coefficient(
            "starved_loss", "", "by which less passes the css in a starved chamber", 0.0, 0.15, 0.0
        ),
        load_coefficients=("starved_loss",),
        size_coefficients=("css",),
        fineness="breakage:setting_curve_fineness",
    ),
    _model(
        "breakage",
        ("operator", "energy"),
        "impact",
        "impact:impact_operator impact:impact_energy",
        "breakage by rotor impact, set by the energy at the rotor tip, which the shaft gives",
        "Nikolov (2002), Nikolov (2004), the form from memory; energy by conservation",
        Coefficient("tip_speed", "m/s", "speed of the rotor tip", 5.0, 120.0),
        Coefficient("reference_speed", "m/s", "tip speed d_min, d50 belong to", 5.0, 120.0, 35.0),
        Coefficient("d_min", "mm", "largest size never broken, at reference speed", 0.0, 500.0),
        Coefficient("d50", "mm", "size scale of the classification above d_min", 0.05, 1000.0),
        Coefficient("sharpness", "", "exponent k of the classification", 0.2, 6.0, 1.0),
        Coefficient("energy_factor", "", "energy over tip speed squared; 0.5 or 1", 0.1, 2.0, 0.5),
        Coefficient("energy_exponent", "", "size falls as energy to minus this", 0.0, 2.0, 0.5),
        Coefficient("fines_energy", "", "fines_share rises as energy to this", 0.0, 2.0, 0.0),
        Coefficient(
            "struck_again",
            "",
            "share of the impacts after the first that the rotor pays for: 1 between rotor and "
            "aprons, 0 where rock is thrown once",
            0.0,
            1.0,
            1.0,
        ),
        Coefficient("cascade", "", "share of the feed that falls around the rotor", 0.0, 0.6, 0.0),
        Coefficient(
            "cascade_energy", "", "of an impact there, over that of thrown rock", 0.001, 1.0, 0.1
        ),
        Coefficient(
            "crowding", "", "share of the energy that breaks nothing in a full rotor", 0.0, 0.6, 0.0
        ),
        *_TWO_TERM_BREAKAGE,
        load_coefficients=("crowding",),
        size_coefficients=("d_min", "d50"),
        fineness="impact:impact_fineness",
    ),
    _model(
        "breakage",
        ("operator", "energy"),
        "pressed_bed",
        "pressing:pressed_operator pressing:pressing_energy",
        "a bed pressed between two rolls: lumps broken singly, the bed by its energy, open edges",
        "Morrell, Tondo & Shi (1997); Torres & Casali (2009); from memory",
        Coefficient("diameter", "mm", "of the rolls", 200.0, 4000.0),
        Coefficient("width", "mm", "of the rolls", 50.0, 4000.0),
        Coefficient("gap", "mm", "between the rolls at work", 0.5, 500.0),
        Coefficient("specific_force", "MPa", "force over diameter times width", 0.1, 20.0),
        Coefficient("flake_share", "", "density of the flake over the solid's", 0.5, 1.0, 0.85),
        Coefficient("acting_share", "", "angle of the force over the angle of grip", 0.1, 1.0, 0.5),
        Coefficient("edge_gaps", "", "width of each edge over the gap", 0.0, 10.0, 1.5),
        Coefficient("rate", "t/kWh", "of breakage by energy, at 10 mm", 0.01, 20.0, 0.8),
        Coefficient("rate_exponent", "", "the rate rises as size to this", 0.0, 2.0, 0.5),
        *_TWO_TERM_BREAKAGE,
        Coefficient("single_fines_share", "", "K of what is broken singly", 0.0, 1.0, 0.16),
        Coefficient("usual_work_index", "kWh/t", "of the rock of `rate`", 2.0, 60.0, 15.0),
        rock_coefficients=BREAKING_FACTS,
        fineness="pressing:pressed_fineness",
        above=(Above("diameter", "gap", "rolls grip rock only in a gap far below their size"),),
    ),
    _partition(
        "karra",
        "partition:karra_cut_size partition:oversize",
        "screen partition whose cut size falls as the deck's load rises",
        "Karra (1979), as in King (2001), ch. 4; constants from memory",
        Coefficient("inclination", "deg", "slope of the deck to the horizontal", 0.0, 50.0, 0.0),
        Coefficient("wet", "", "1 with spray water on the deck, 0 dry", 0.0, 1.0, 0.0),
        Coefficient("sharpness", "", "exponent of the partition curve", 0.5, 20.0, 5.846),
        *_CLINGING,
        Coefficient("width", "mm", "width of the bed; 0 leaves its depth out", 0.0, 6000.0, 0.0),
        Coefficient("travel_speed", "m/s", "of the bed along the deck", 0.05, 3.0, 0.4),
        Coefficient("max_bed_factor", "", "limit of the bed, over the aperture", 0.5, 20.0, 4.0),
        Coefficient("blinding", "", "largest share of its openings damp fines close", 0, 0.9, 0.6),
        fineness="partition:karra_fineness",
    ),
    _partition(
        "fixed",
        "partition:fixed_cut_size partition:oversize",
        "screen partition at a fixed ratio of cut size to aperture, whatever the load",
        "common practice, no source",
        Coefficient("ratio", "", "cut size over aperture", 0.3, 1.5, 0.9),
        Coefficient("sharpness", "", "exponent of the partition curve", 0.5, 50.0, 5.846),
        *_CLINGING,
        fineness="partition:fixed_fineness",
    ),
    _partition(
        "settling",
        "classify:settling_cut_size classify:settling_coarse",
        "wet classification: a Rosin-Rammler curve about a cut size, and a bypass",
        "Plitt (1971, 1976), as in King (2001), ch. 4; form from memory",
        Coefficient("d50", "mm", "corrected cut size", 0.001, 10.0),
        Coefficient("sharpness", "", "exponent of the curve", 0.5, 10.0, 2.5),
        Coefficient("bypass", "", "share that goes with the coarse unclassified", 0.0, 1.0, 0.1),
        kinds=("classifier", "thickener"),
        fineness="classify:settling_fineness",
    ),
    _area(
        "factor_method",
        "screens:needed_area",
        "deck area from tonnes of undersize and the screen makers' association's factors",
        "screen makers' association tables, as in public wire-cloth references",
        Coefficient("wet", "", "1 with spray water: factor E of the opening; 0 dry", 0.0, 1.0, 0.0),
        Coefficient("efficiency", "", "undersize to be removed, as a fraction", 0.7, 0.95, 0.95),
    ),
    _area(
        "unit_rate",
        "screens:unit_rate_area",
        "deck area from the feed that a square metre takes: dewatering decks",
        "the class's own source",
        Coefficient("unit_rate", "t/h/m2", "feed of a square metre", 0.5, 500.0),
        kinds=("screen",),
    ),
    _cut(
        "plitt",
        "cyclone:plitt_cut_mm cyclone:plitt_pressure_kpa cyclone:plitt_flow_m3_h",
        "cut size and pressure of a hydrocyclone from its flow and its openings",
        "Plitt (1976), from memory",
        Coefficient("diameter", "mm", "inner diameter", 10.0, 2000.0),
        Coefficient("inlet", "mm", "diameter of a round inlet of the same area", 1.0, 1000.0),
        Coefficient("vortex_finder", "mm", "diameter of the outlet of the fine product", 1.0, 1e3),
        Coefficient("spigot", "mm", "diameter of the outlet of the coarse product", 1.0, 1000.0),
        Coefficient("height", "mm", "from the vortex finder to the spigot", 10.0, 20_000.0),
        above=(
            Above("diameter", "vortex_finder", "the vortex finder is inside the cyclone"),
            Above("diameter", "spigot", "the cone narrows to the spigot"),
        ),
    ),
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
    _breakage(
        "table",
        "tabulated:table_operator",
        "product of a table of gradings by setting, never coarser than the feed",
        "the class's own table; its use is common practice",
        Coefficient("css", "mm", "setting that picks the row of the table", 0.1, 3000.0),
        Coefficient("feed_top", "mm", "top size of the feed that the table is for", 1.0, 5000.0),
        Coefficient(
            "feed_f80", "mm", "F80 of that feed; 0 where the table does not say", 0.0, 5000.0, 0.0
        ),
        kinds=("crusher",),
        fineness="tabulated:table_fineness",
        table="passing",
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
    _capacity(
        "trough",
        "conveyors:trough_capacity",
        "section of rock on a troughed belt on three rolls, times its speed",
        "ISO 5048 (1989), from memory",
        Coefficient("width", "mm", "width of the belt", 300.0, 3200.0),
        Coefficient("middle_roll", "mm", "length of the middle roll", 100.0, 3200.0),
        Coefficient("trough_angle", "deg", "outer rolls to the horizontal", 0.0, 60.0),
        Coefficient("surcharge_angle", "deg", "surface of the moving rock", 0.0, 35.0),
        *_BELT_RUN,
        Coefficient("fill", "", "share of the section that is used", 0.1, 1.2, 1.0),
        kinds=("feeder", "conveyor"),
        above=(_BELT_RISES,),
    ),
    _belt_power(
        "resistance",
        "conveyors:belt_power",
        "rolling resistance by artificial friction and coefficient C, and the lift",
        "ISO 5048 (1989), shorter than 80 m DIN 22101; from memory",
        *_BELT_RUN,
        Coefficient("belt_mass", "t", "both strands of the belt", 0.0, 1000.0),
        Coefficient("roll_mass", "t", "turning parts of all idlers", 0.0, 1000.0),
        Coefficient("friction", "", "artificial friction f", 0.01, 0.06, 0.02),
        Coefficient("efficiency", "", "of gear and coupling", 0.5, 1.0, 0.9),
        above=(_BELT_RISES,),
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
        kinds=(*_DECKED, "feeder"),
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
    _NEAR_SETTING,
    _EVEN,
    _flat_elongated(
        _NEAR_SETTING,
        "flat and elongated share of freshly broken rock, by the rule of the flaky share",
    ),
    _flat_elongated(
        _EVEN, "flat and elongated share of freshly broken rock, the same in every size"
    ),
)
