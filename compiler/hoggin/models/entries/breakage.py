"""What crushers do to sizes."""

from __future__ import annotations

from functools import partial

from hoggin.models.entries.common import model
from hoggin.models.model import Above, Coefficient, Needs
from hoggin.schema.plant import BREAKING_FACTS

_breakage = partial(model, "breakage", ("operator",))

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
    model(
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
    model(
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
    model(
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
)
