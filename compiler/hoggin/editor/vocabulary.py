"""What may be stated where, with a sample of each value that the checker takes.

The checker knows these names as it reads them; the tests hold this list against its own.
"""

from __future__ import annotations

from hoggin.check import machines, materials, operation
from hoggin.check.edition import EDITIONS
from hoggin.check.facts import CLASS_FACTS, CLASS_TEXTS, FACT_RANGES, STORAGE_FACTS, STORAGE_RANGES
from hoggin.check.meanings import FACTS as MEANINGS
from hoggin.schema.units import (
    DENSITY,
    LENGTH,
    NUMBER,
    PER_MASS,
    RATE,
    SPECIFIC_ENERGY,
    TIME,
    VOLUME_RATE,
    Dimension,
    number_text,
    trade_unit,
)

TOP = ("use", "let", "material", "grading", "series", "band", "class", "template", "plant")
BODY = (
    "let",
    "feed",
    "crusher",
    "screen",
    "feeder",
    "classifier",
    "splitter",
    "blend",
    "bin",
    "stockpile",
    "conveyor",
    "product",
    "section",
    "require",
)
PLANT_ONLY = ("aim", "choose")
CLASS = ("setting", "let", "rule", "model")
DECKS = ("top", "second", "middle", "third", "bottom")
SHAPES = ("square", "round", "slotted")
CLASS_KINDS = ("crusher", "screen", "feeder", "classifier", "conveyor")

# Facts by the block they stand in: a value that may be stated, and its dimension where it has one.
Sample = tuple[str, Dimension | None]
_TEXT: Sample = ('""', None)
FACTS: dict[str, dict[str, Sample]] = {
    "plant": {
        "revision": ('"A"', None),
        "sieves": ("{ 63 mm  16 mm  4 mm  1 mm }", None),
        "hours_per_year": ("2000 h", TIME),
        "history": ('{ "A": "first issue" }', None),
        "currency": ('"EUR"', None),
        "elongation_ratio": ("5", NUMBER),
        "shifts": ("{ day: 6 h to 14 h }", TIME),
        "days_per_week": ("5", NUMBER),
    },
    "feed": {
        "material": ("", None),
        "rate": ("100 t/h", RATE),
        "grading": ("{ 100 mm: 100 %  10 mm: 20 % }", None),
        "tramp": ("50 mm", LENGTH),
        "loading": ("{ day: 6 h to 14 h }", TIME),
        "flakiness": ("20 %", NUMBER),
        "flat_elongated": ("8 %", NUMBER),
    },
    "product": {"title": ('""', None)},
    "material": {
        "solid_density": ("2.70 t/m3", DENSITY),
        "bulk_density": ("1.60 t/m3", DENSITY),
        "work_index": ("15 kWh/t", SPECIFIC_ENERGY),
        "abrasion_index": ("0.3", NUMBER),
        "moisture": ("2 %", NUMBER),
        "t10_limit": ("48 %", NUMBER),
        "energy_scale": ("1.1 kWh/t", SPECIFIC_ENERGY),
    },
    "grading": {
        "about": ('""', None),
        "source": ('""', None),
        "passing": ("{ 63 mm: 100 %  31.5 mm: 55 %  4 mm: 8 % }", None),
    },
    "band": {
        "about": ('""', None),
        "source": ('""', None),
        "passing": ("{ 16 mm: 100 %  8 mm: 20 % to 60 % }", None),
    },
    "deck": {
        "open_area": ("60 %", NUMBER),
        "spray": ("20 m3/h", VOLUME_RATE),
        "slot_ratio": ("4", NUMBER),
    },
}
EDITION: dict[str, Sample] = {"edition": (str(EDITIONS[-1]), None)}
# How a machine is run. Some facts say nothing without another: they are proposed with it, or where
# it is stated.
OPERATION: dict[str, Sample] = {
    "availability": ("92 %; repair 2 h", NUMBER),
    "pace": ("100 %", NUMBER),
    "maintenance": ("{ 40 h: 2 h }", TIME),
}
CAMPAIGN: dict[str, Sample] = {"campaign": ("40 h; changeover 1 h", TIME)}
LINER_PRICE: Sample = ("4 per_kg", PER_MASS)


def meaning(name: str) -> str:
    """What a fact says, and within which bounds: `Bond's, for crushing; 2 to 60 kWh/t`."""
    return "; ".join(part for part in (MEANINGS.get(name, ""), _bounds(name)) if part)


def _bounds(name: str) -> str:
    in_words = {**machines._DECK_FACTS, **operation._FACTS}
    if name in in_words:
        return in_words[name][3]
    if name in STORAGE_RANGES and name != "live":  # which has no bound worth telling
        return STORAGE_RANGES[name][2]
    of_classes = {one: kind for facts in CLASS_FACTS.values() for one, kind in facts.items()}
    ranges, kinds = {**FACT_RANGES, **materials._BOUNDS}, {**of_classes, **materials._FACTS}
    if name not in ranges:
        return ""
    low, high = ranges[name]
    if FACTS["material"].get(name, ("", None))[0].endswith("%"):
        return f"{100 * low:g} % to {100 * high:g} %"
    found = trade_unit(kinds[name])
    unit = "" if found is None or found[0].name == "number" else f" {found[0].name}"
    return f"{low:g} to {high:g}{unit}"


def class_facts(kind: str) -> dict[str, Sample]:
    """What a class of a kind may state."""
    found = dict.fromkeys(CLASS_TEXTS, _TEXT)
    for name, dimension in CLASS_FACTS.get(kind, {}).items():
        low, _ = FACT_RANGES.get(name, (1.0, 1.0))
        found[name] = (_text(low, dimension), dimension)
    return found


def storage_facts(kind: str) -> dict[str, Sample]:
    """What a bin or stockpile may state."""
    return {
        name: (
            _text(max(STORAGE_RANGES[name][0], 1.0 if dimension != NUMBER else 0.5), dimension),
            dimension,
        )
        for name, dimension in STORAGE_FACTS.get(kind, {}).items()
    }


def _text(number: float, dimension: Dimension) -> str:
    found = trade_unit(dimension)
    unit = "" if found is None or found[0].name == "number" else found[0].name
    return f"{number_text(number)} {unit}".rstrip()
