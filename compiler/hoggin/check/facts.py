"""The facts a machine or class may state: their names and dimensions. No class, no coefficient."""

from __future__ import annotations

from hoggin.check.units import (
    ANGLE,
    AREA,
    LENGTH,
    MASS,
    NUMBER,
    POWER,
    SPEED,
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
    },
    "feeder": {
        "installed_power": POWER,
        "max_feed_size": LENGTH,
    },
}

# The models a class must name before its machines can be balanced and rated.
NEEDED_MODELS: dict[str, tuple[str, ...]] = {
    "crusher": ("breakage", "capacity", "power"),
    "screen": ("partition",),
    "feeder": ("capacity",),
}
# An area model is left out where the association's method does not apply: bars, for instance.
ALLOWED_MODELS = {**NEEDED_MODELS, "screen": ("partition", "area")}

STORAGE_FACTS: dict[str, Dimension] = {"live": MASS}
CLASS_TEXTS = ("about", "source", "caution")
