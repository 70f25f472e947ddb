"""The facts a machine or class may state: their names and dimensions. No class, no coefficient."""

from __future__ import annotations

from hoggin.schema.units import (
    ANGLE,
    AREA,
    LENGTH,
    MASS,
    NUMBER,
    PER_MASS,
    POWER,
    SPEED,
    VOLUME,
    VOLUME_RATE,
    Dimension,
)

# What rating and balance read from a class, by kind of machine. A class may also state any word
# of its own as a trait (`action multi_layer`), and `about`, `source` and `caution` texts.
CLASS_FACTS: dict[str, dict[str, Dimension]] = {
    "crusher": {
        "feed_opening": LENGTH,
        "max_feed_size": LENGTH,
        "max_reduction_ratio": NUMBER,
        "installed_power": POWER,
        "relief_stroke": LENGTH,
        "min_load": NUMBER,
        "closest_setting": LENGTH,
        "chamber_angle": ANGLE,
        "thread_pitch": LENGTH,
        "adjustment_teeth": NUMBER,
        "liner_mass": MASS,
        "liner_wear_share": NUMBER,
        "liner_price": PER_MASS,
        "elongation_ratio": NUMBER,
        "moisture_limit": NUMBER,
        "moisture_capacity_loss": NUMBER,
    },
    "screen": {
        "area": AREA,
        "width": LENGTH,
        "length": LENGTH,
        "max_decks": NUMBER,
        "inclination": ANGLE,
        "travel_speed": SPEED,
        "max_bed_factor": NUMBER,
        "open_area": NUMBER,
        "wire": LENGTH,
        "wet": NUMBER,
        "installed_power": POWER,
        "retained_moisture": NUMBER,
    },
    "classifier": {
        "added_water": VOLUME_RATE,
        "retained_moisture": NUMBER,
        "installed_power": POWER,
    },
    "feeder": {
        "installed_power": POWER,
        "max_feed_size": LENGTH,
    },
    "conveyor": {
        "installed_power": POWER,
        "max_lump": LENGTH,
        "max_slope": ANGLE,
    },
}

# The models a class must name before its machines can be balanced and rated.
NEEDED_MODELS: dict[str, tuple[str, ...]] = {
    "crusher": ("breakage", "capacity", "power"),
    "screen": ("partition",),
    "feeder": ("capacity",),
    "classifier": ("partition",),
    "conveyor": ("capacity", "belt_power"),
}
# An area model is left out where the association's method does not apply: bars, for instance.
ALLOWED_MODELS = {**NEEDED_MODELS, "screen": ("partition", "area")}
# Wear is known for liners that squeeze the rock, not for blow bars: an impactor names no model.
ALLOWED_MODELS["crusher"] = (*NEEDED_MODELS["crusher"], "wear")
# Shape is needed only where a plant asks for it.
ALLOWED_MODELS["crusher"] = (*ALLOWED_MODELS["crusher"], "shape", "elongation")

# Facts that geometry divides by, with their least and greatest value in the trade's unit.
FACT_RANGES: dict[str, tuple[float, float]] = {
    "chamber_angle": (1.0, 90.0),  # from the vertical
    "thread_pitch": (0.1, 1000.0),  # the bowl's lift in one turn
    "adjustment_teeth": (1.0, 10_000.0),
    "liner_mass": (0.001, 1000.0),
    "liner_wear_share": (0.01, 1.0),
    "liner_price": (0.0, 1e9),  # a tonne, in the plant's currency
    "elongation_ratio": (1.5, 10.0),  # ASTM D4791 tests at 2, 3 and 5, from memory
    "moisture_limit": (0.0, 0.2),  # of the feed, up to which capacity is the dry one
    "moisture_capacity_loss": (0.0, 0.5),  # of capacity, for each per cent of moisture beyond
}

STORAGE_FACTS: dict[str, dict[str, Dimension]] = {
    "bin": {"live": MASS, "volume": VOLUME, "live_share": NUMBER, "start_level": NUMBER},
    "stockpile": {
        "live": MASS,
        "height": LENGTH,
        "repose_angle": ANGLE,
        "drawdown_angle": ANGLE,
        "live_share": NUMBER,
        "start_level": NUMBER,
    },
}
# Least and greatest value in the trade's unit, and the bounds in words; common practice, no source.
STORAGE_RANGES: dict[str, tuple[float, float, str]] = {
    "live": (0.0, 1e7, "storage holds no less than nothing"),
    "volume": (0.1, 1e6, "a bin holds 0.1 to 1000000 m3"),
    "height": (500.0, 100_000.0, "a pile is 0.5 to 100 m high"),
    "repose_angle": (15.0, 50.0, "loose rock lies at 15 to 50 degrees"),
    "drawdown_angle": (15.0, 85.0, "a crater stands at 15 to 85 degrees"),
    "live_share": (0.01, 1.0, "between 1 % and 100 % of what is held is live"),
    "start_level": (0.0, 1.0, "a store starts between empty, 0 %, and full, 100 % of what is live"),
}
CLASS_TEXTS = ("about", "source", "caution")
