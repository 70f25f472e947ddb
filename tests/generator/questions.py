"""What a plant is asked: requirements over its results, aims, and how it is run."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tests.generator.spelling import Pen

# What may be asked of each kind, with a unit and the range that limits are drawn from.
_RATE = ("rate", "t/h", 5, 200)
_STREAM = (
    _RATE,
    ("share", "%", 5, 90),
    ("p80", "mm", 1, 90),
    ("p50", "mm", 1, 60),
    ("passing", "%", 5, 95),
    ("retained", "%", 5, 95),
    ("moisture", "%", 1, 20),
)
_ASKED: Mapping[str, Sequence[tuple[str, str, float, float]]] = {
    "product": (*_STREAM, ("fineness_modulus", "", 1, 7)),
    "feed": _STREAM,
    "crusher": (
        _RATE,
        ("load", "%", 20, 120),
        ("power", "kW", 10, 300),
        ("power_use", "%", 20, 120),
        ("reduction_ratio", "", 2, 9),
        ("f80", "mm", 5, 500),
        ("p80", "mm", 5, 200),
        ("recirculating_load", "%", 10, 200),
        ("specific_energy", "kWh/t", 0.2, 3),
        ("liner_life", "h", 100, 3000),
    ),
    "screen": (_RATE, ("recirculating_load", "%", 10, 200)),
    "deck": (
        _RATE,
        ("area_use", "%", 10, 150),
        ("efficiency", "%", 60, 99),
        ("bed_depth", "mm", 5, 200),
        ("cut_size", "mm", 1, 90),
    ),
    "feeder": (_RATE, ("load", "%", 20, 120)),
    "conveyor": (_RATE, ("load", "%", 20, 120), ("power", "kW", 1, 90)),
    "bin": (_RATE, ("live", "t", 50, 5000), ("surge_time", "h", 0.1, 20)),
    "stockpile": (_RATE, ("live", "t", 50, 5000), ("surge_time", "h", 0.1, 20)),
    "grizzly_feeder": (_RATE, ("load", "%", 20, 120)),
    "magnet": (_RATE, ("load", "%", 20, 120), ("tramp_every", "h", 1, 100)),
    "metal_detector": (("load", "%", 20, 120), ("stop_every", "h", 1, 100)),
    "pump": (("flow", "m3/h", 20, 900), ("power", "kW", 1, 90), ("flow_use", "%", 20, 120)),
    "sump": (("flow", "m3/h", 20, 900), ("residence", "min", 0.5, 20)),
    "thickener": (("load", "%", 20, 120), ("surface_use", "%", 20, 120)),
    "plant": (_RATE, ("power", "kW", 10, 3000), ("fresh_water", "m3/h", 1, 900)),
}


def requirements(pen: Pen, tags: Mapping[str, Sequence[str]], bands: Sequence[str]) -> list[str]:
    """Some `require` lines; whether they are met is nobody's business here."""
    asked = [(kind, tag) for kind, ones in tags.items() if kind in _ASKED for tag in ones]
    asked.append(("plant", "plant"))
    lines = []
    for _ in range(pen.random.randint(0, 7)):
        kind, tag = pen.random.choice(asked)
        lines.append("require " + _limit(pen, kind, tag))
    products = tags.get("product", ())
    if bands and products and pen.chance(0.5):
        lines.append(f"require {pen.random.choice(products)} meets {pen.random.choice(bands)}")
    if len(products) > 1 and pen.chance(0.4):
        first, second = pen.random.sample(products, 2)
        lines.append(f"require {first}.rate + {second}.rate >= {pen.t_h(pen.between(10, 200))}")
        lines.append(f"require {first}.rate / plant.rate <= {pen.share(pen.between(0.2, 0.9))}")
    return lines


def _limit(pen: Pen, kind: str, tag: str) -> str:
    quantity, unit, low, high = pen.random.choice(_ASKED[kind])
    of = f"{tag}.{quantity}"
    if quantity in ("passing", "retained"):
        of += f"({pen.mm(pen.between(0.1, 60))})"
    least, most = sorted((pen.between(low, high), pen.between(low, high)))
    match pen.random.randrange(3):
        case 0:
            return f"{of} >= {_written(pen, least, unit)}"
        case 1:
            return f"{of} <= {_written(pen, most, unit)}"
    return f"{of} within {_written(pen, least, unit)} to {_written(pen, most * 1.1, unit)}"


def _written(pen: Pen, value: float, unit: str) -> str:
    return pen.t_h(value) if unit == "t/h" else pen.quantity(value, unit)


def aims(pen: Pen, tags: Mapping[str, Sequence[str]]) -> list[str]:
    products, crushers = tags.get("product", ()), tags.get("crusher", ())
    lines = []
    if products and pen.chance(0.2):
        lines += ["currency EUR", f"maximize 12 EUR/t * {pen.random.choice(products)}.rate"]
    if crushers and pen.chance(0.15):
        lines.append(f"minimize {pen.random.choice(crushers)}.power weight 2")
    return lines
