"""The results a plant may be asked for by name, by kind of thing, and their dimensions."""

from __future__ import annotations

from hoggin.schema.units import (
    LENGTH,
    MASS,
    NUMBER,
    PER_MASS,
    POWER,
    RATE,
    SPECIFIC_ENERGY,
    TIME,
    Dimension,
)

_STREAM = {"rate": RATE, "share": NUMBER, "p80": LENGTH, "p50": LENGTH, "moisture": NUMBER}
# What can be asked for, by kind of thing; passing and retained take a size: passing(5 mm).
QUANTITIES: dict[str, dict[str, Dimension]] = {
    "product": {
        **_STREAM,
        "passing": NUMBER,
        "retained": NUMBER,
        "fineness_modulus": NUMBER,
        "flakiness": NUMBER,
        "flat_elongated": NUMBER,
    },
    "feed": {**_STREAM, "passing": NUMBER, "retained": NUMBER},
    "crusher": {
        "rate": RATE,
        "load": NUMBER,
        "power": POWER,
        "power_use": NUMBER,
        "reduction_ratio": NUMBER,
        "f80": LENGTH,
        "p80": LENGTH,
        "recirculating_load": NUMBER,
        "specific_energy": SPECIFIC_ENERGY,
        "liner_life": TIME,
        "liner_cost": PER_MASS,
    },
    "screen": {"rate": RATE, "recirculating_load": NUMBER},
    "deck": {
        "rate": RATE,
        "area_use": NUMBER,
        "efficiency": NUMBER,
        "bed_depth": LENGTH,
        "cut_size": LENGTH,
    },
    "feeder": {"rate": RATE, "load": NUMBER},
    "conveyor": {"rate": RATE, "load": NUMBER, "power": POWER, "specific_energy": SPECIFIC_ENERGY},
    "machine": {"rate": RATE},
    "bin": {"rate": RATE, "live": MASS, "surge_time": TIME},
    "stockpile": {"rate": RATE, "live": MASS, "surge_time": TIME},
    "classifier": {"rate": RATE, "recirculating_load": NUMBER},
    "plant": {"rate": RATE, "power": POWER, "energy": SPECIFIC_ENERGY},
}
SIZED = ("passing", "retained")
