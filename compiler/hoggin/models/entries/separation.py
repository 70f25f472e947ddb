"""Decks and classifiers: partitions, areas and cuts."""

from __future__ import annotations

from functools import partial

from hoggin.models.entries.common import DECKED, model
from hoggin.models.model import Above, Coefficient

_partition = partial(model, "partition", ("cut_size", "oversize"), kinds=DECKED)

_area = partial(model, "area", ("needed_area",))

_cut = partial(model, "cut", ("cut_size", "pressure_drop", "flow_through"), kinds=("classifier",))

_CLINGING = (
    Coefficient("clinging", "", "share of the finest that clings to dry oversize", 0.0, 0.5, 0.0),
    Coefficient("damp_clinging", "", "times as much clings at 5 % moisture", 1.0, 10.0, 2.0),
)

MODELS = (
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
)
