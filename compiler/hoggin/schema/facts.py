"""Every fact that a block of the language may state, declared once.

The checker, its messages, completion, hover, the reference page and `compare` read these
declarations; no other list of facts exists. A class of machine may also state any word of its own
as a trait (`action inter_particle`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import TypedDict, Unpack

from hoggin.schema.units import (
    ANGLE,
    AREA,
    DENSITY,
    LENGTH,
    MASS,
    NUMBER,
    PER_MASS,
    POWER,
    RATE,
    SPECIFIC_ENERGY,
    SPEED,
    TIME,
    VOLUME,
    VOLUME_RATE,
    Dimension,
    number_text,
    trade_unit,
)

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact of one or more kinds of blocks.

    owners: the blocks that state it. A kind of machine stands for its class, but a bin or stockpile
        for itself; `class` for a class of any kind, `operation` for any machine.
    sample: a value that the checker takes, for messages and the editor. It may go on with the facts
        this one needs.
    dimension: None of what is not a number: a text, a name, a list.
    low, high: bounds in the trade's unit. above_low: the low end itself is out of bounds.
    bounds: the bounds as a sentence, where a range does not say enough.
    share: a fraction, shown in per cent. whole: a number without a fraction.
    default: what holds where it is not stated, if that is always the same.
    needed: whether the block can't do without it.
    by_machine: whether a machine may state it in its class's place.
    source: what the bounds rest on.
    """

    name: str
    owners: tuple[str, ...]
    meaning: str
    sample: str
    dimension: Dimension | None = None
    low: float = -math.inf
    high: float = math.inf
    above_low: bool = False
    bounds: str = ""
    share: bool = False
    whole: bool = False
    default: float | None = None
    needed: bool = False
    by_machine: bool = False
    source: str = PRACTICE

    @property
    def field(self) -> str:
        """The name of a field that holds it, with its unit: `feed_opening_mm`."""
        found = trade_unit(self.dimension) if self.dimension is not None else None
        return self.name + (found[1] if found else "")

    @property
    def unit(self) -> str:
        """The unit it is shown in; "" for a plain number and for what is not a number."""
        if self.share:
            return "%"
        found = trade_unit(self.dimension) if self.dimension is not None else None
        return "" if found is None or found[0].name == "number" else found[0].name

    def allows(self, number: float) -> bool:
        """Whether a number, in the trade's unit, is within the bounds."""
        if self.whole and number % 1.0:
            return False
        return (self.low < number if self.above_low else self.low <= number) and number <= self.high

    def shown(self, number: float) -> str:
        """A number in the trade's unit as a reader writes it: `85 %`, `20 mm`."""
        scaled = 100.0 * number if self.share else number
        return f"{number_text(scaled)} {self.unit}".rstrip()

    @property
    def range(self) -> str:
        """`0.5 to 4 t/m3`, `above 0 to 8784 h`; empty for what is not a number."""
        if self.dimension is None:
            return ""
        low = self.shown(self.low).removesuffix(f" {self.unit}")
        return f"{'above ' * self.above_low}{low} to {self.shown(self.high)}"


class _More(TypedDict, total=False):
    above_low: bool
    bounds: str
    whole: bool
    default: float
    needed: bool
    by_machine: bool
    source: str


def _words(owners: str, name: str, meaning: str, sample: str, *, needed: bool = False) -> Fact:
    return Fact(name, tuple(owners.split()), meaning, sample, needed=needed)


def _number(
    owners: str,
    name: str,
    meaning: str,
    sample: str,
    dimension: Dimension,
    low: float,
    high: float,
    **more: Unpack[_More],
) -> Fact:
    return Fact(name, tuple(owners.split()), meaning, sample, dimension, low, high, **more)


def _share(
    owners: str,
    name: str,
    meaning: str,
    sample: str,
    low: float,
    high: float,
    **more: Unpack[_More],
) -> Fact:
    spread = tuple(owners.split())
    return Fact(name, spread, meaning, sample, NUMBER, low, high, share=True, **more)


# One table: each fact on a line or two.
# fmt: off
_OF_PLANTS = (
    _words("plant", "revision", "the mark of this revision, as it stands on documents", '"A"'),
    _words("plant", "sieves", "the sizes that results are reported on",
        "{ 63 mm, 16 mm, 4 mm, 1 mm }", needed=True),
    _number("plant", "hours_per_year", "hours the plant runs in a year, for dust in t/y",
        "2500 h", TIME, 0.0, 8784.0, above_low=True, source="hours of a leap year"),
    _words("plant", "history", "the revisions so far, with what each changed",
        '{ "A": "first issue" }'),
    _words("plant", "currency", "the word for the money that prices are in", '"EUR"'),
    _number("plant crusher", "elongation_ratio",
        "length over thickness from which a piece counts as flat and elongated",
        "5", NUMBER, 1.5, 10.0, bounds="1.5 to 10; ASTM D4791 tests at 2, 3 or 5", default=5.0,
        source="ASTM D4791 tests at 2, 3 and 5, from memory"),
    _words("plant", "shifts", "hours of the day that are worked, for `hoggin operate`",
        "{ day: 6 h to 14 h }"),
    _number("plant", "days_per_week", "days that are worked, for `hoggin operate`",
        "5", NUMBER, 1.0, 7.0, whole=True, bounds="a plant runs on 1 to 7 days of a week",
        source="the calendar"),
)

_OF_FEEDS = (
    _words("feed", "rock", "the material, by its name", "NAME", needed=True),
    _number("feed", "rate", "dry solids that come in",
        "450 t/h", RATE, 0.0, 100_000.0, above_low=True, needed=True),
    _words("feed", "passing", "share passing by size, coarse to fine, or a grading by its name",
        "{ 500 mm: 100 %, 100 mm: 30 % }", needed=True),
    _number("feed", "tramp", "the largest tramp metal to be expected",
        "50 mm", LENGTH, 0.0, 10_000.0),
    _words("feed", "loading", "hours of delivery, for `hoggin operate`", "{ day: 6 h to 14 h }"),
    _share("feed", "flakiness", "share of flaky pieces, EN 933-3; one number, or by size",
        "20 %", 0.0, 1.0, source="a share"),
    _share("feed", "flat_elongated",
        "share of flat and elongated pieces, ASTM D4791; one number, or by size",
        "8 %", 0.0, 1.0, source="a share"),
)

_OF_OTHERS = (
    _words("product", "title", "the words for it on documents", '"Sand 0/4"'),
    _words("file", "edition", "the edition of the language that the file is written for", "2026"),
    _words("class", "about", "what it is, in words", '"what it is"'),
    _words("class", "source", "where its figures are from", '"where from"'),
    _words("class", "caution", "a warning that every schedule repeats", '"guard it"'),
    _words("grading band", "about", "what it is, in words", '"what it is"'),
    _words("grading band", "source", "where its figures are from", '"where from"'),
    _words("grading", "passing", "share passing by size, coarse to fine",
        "{ 63 mm: 100 %, 31.5 mm: 55 %, 4 mm: 8 % }", needed=True),
    _words("band", "passing", "limits of the share passing by size, coarse to fine",
        "{ 16 mm: 100 %, 8 mm: 20 % to 60 % }", needed=True),
)

_OF_MATERIALS = (
    _number("material", "solid_density", "of the rock without the air between its pieces",
        "2.70 t/m3", DENSITY, 1.0, 6.0, needed=True),
    _number("material", "bulk_density", "of broken rock with the air between its pieces",
        "1.60 t/m3", DENSITY, 0.5, 4.0, needed=True),
    _number("material", "work_index", "Bond's, for crushing",
        "15 kWh/t", SPECIFIC_ENERGY, 2.0, 60.0, needed=True),
    _number("material", "abrasion_index", "Bond's, for the wear of liners",
        "0.3", NUMBER, 0.0, 2.0),
    _share("material", "moisture", "water over dry solids", "2 %", 0.0, 0.5, default=0.0),
    # Both of one drop-weight test: neither goes with the other of another rock. Bounds as those of
    # the breakage model's coefficients, whose place they take.
    _share("material", "t10_limit", "A of the rock's own drop-weight test", "48 %", 0.05, 0.95),
    _number("material", "energy_scale", "1 / b of the rock's own drop-weight test",
        "1.1 kWh/t", SPECIFIC_ENERGY, 0.1, 20.0),
)

_OF_DECKS = (
    _share("deck screen", "open_area", "holes over the whole area of the deck",
        "60 %", 0.05, 0.95, bounds="an open area lies between 5 % and 95 %", default=0.6),
    _number("deck", "spray", "water sprayed on the deck",
        "20 m3/h", VOLUME_RATE, 0.0, 10_000.0, bounds="spray water runs from 0 to 10000 m3/h",
        default=0.0),
    _number("deck", "slot_ratio", "length of a slot over its width",
        "4", NUMBER, 1.0, 1000.0, bounds="a slot is 1 to 1000 times as long as it is wide"),
)

_OF_STORES = (
    _number("bin stockpile", "live", "tonnes that can be drawn without help",
        "1000 t", MASS, 0.0, 1e7),
    _number("bin", "volume", "what it holds when full",
        "60 m3", VOLUME, 0.1, 1e6, bounds="a bin holds 0.1 to 1000000 m3"),
    _number("stockpile", "height", "of the whole cone",
        "12 m", LENGTH, 500.0, 100_000.0, bounds="a pile is 0.5 to 100 m high"),
    _number("stockpile", "repose_angle", "at which loose rock lies",
        "37 deg", ANGLE, 15.0, 50.0, bounds="loose rock lies at 15 to 50 degrees", default=37.0),
    _number("stockpile", "drawdown_angle", "of the crater over the opening",
        "55 deg", ANGLE, 15.0, 85.0, bounds="a crater stands at 15 to 85 degrees"),
    _share("bin stockpile", "live_share",
        "of what is held, the share that can be drawn without help",
        "85 %", 0.01, 1.0, bounds="between 1 % and 100 % of what is held is live"),
    _share("bin stockpile", "start_level",
        "how full of its live tonnes it starts, for `hoggin operate`",
        "50 %", 0.0, 1.0,
        bounds="a store starts between empty, 0 %, and full, 100 % of what is live", default=0.5),
)

_OF_OPERATION = (
    _share("operation", "availability",
        "share of the shift it can run, with the mean time of a `repair`",
        "92 %; repair 2 h", 0.01, 1.0,
        bounds="a machine is available for 1 % to 100 % of the shift", default=1.0),
    _number("operation", "repair", "mean time of a repair, for `hoggin operate`",
        "2 h", TIME, 0.01, 2000.0, bounds="a repair takes 0.01 h to 2000 h"),
    _share("operation", "pace", "of the balance's rate that it may run at, for `hoggin operate`",
        "100 %", 0.05, 10.0, bounds="a pace lies between 5 % and 1000 % of the balance's rates"),
    _words("operation", "maintenance", "planned stops: hours of running, and how long each takes",
        "{ 40 h: 2 h }"),
    _number("splitter", "campaign",
        "everything to one outlet at a time: length of a round of all outlets",
        "40 h; changeover 1 h", TIME, 0.1, 10_000.0,
        bounds="a round of campaigns takes 0.1 h to 10000 h"),
    _number("splitter", "changeover", "time lost when a campaign changes",
        "1 h", TIME, 0.0, 1000.0, bounds="a changeover takes 0 h to 1000 h", default=0.0),
)

_OF_CRUSHERS = (
    _number("crusher", "feed_opening", "of the chamber, that the feed has to enter",
        "300 mm", LENGTH, 1.0, 10_000.0),
    _number("crusher feeder", "max_feed_size", "the largest piece it takes",
        "250 mm", LENGTH, 1.0, 10_000.0),
    _number("crusher", "max_reduction_ratio", "F80 over P80 that it reaches at most",
        "6", NUMBER, 1.0, 200.0),
    _number("crusher screen classifier feeder conveyor", "installed_power", "of its motor",
        "200 kW", POWER, 0.01, 50_000.0),
    _number("crusher", "relief_stroke", "how far it gives way to tramp metal",
        "40 mm", LENGTH, 0.0, 2000.0),
    _share("crusher", "min_load", "share of capacity below which it runs badly", "60 %", 0.01, 1.0),
    _number("crusher", "closest_setting", "the lower end of its setting range",
        "6 mm", LENGTH, 0.1, 2000.0),
    _number("crusher", "chamber_angle", "of the liners at the discharge, from the vertical",
        "40 deg", ANGLE, 1.0, 90.0),
    _number("crusher", "thread_pitch", "the bowl's lift in one turn", "20 mm", LENGTH, 0.1, 1000.0),
    _number("crusher", "adjustment_teeth", "teeth of the bowl's gear for one turn",
        "72", NUMBER, 1.0, 10_000.0, whole=True),
    _number("crusher", "liner_mass", "of a new set of liners", "2 t", MASS, 0.001, 1000.0),
    _share("crusher", "liner_wear_share", "of the liners' mass that may wear away",
        "50 %", 0.01, 1.0),
    _number("crusher", "liner_price", "of a mass of liner metal, in the plant's currency",
        "4.2 per_kg", PER_MASS, 0.0, 1e9, by_machine=True),
    _share("crusher", "moisture_limit", "of the feed, up to which capacity is the dry one",
        "3 %", 0.0, 0.2),
    _share("crusher", "moisture_capacity_loss",
        "of capacity, for each per cent of moisture beyond the limit",
        "5 %", 0.0, 0.5),
)

_OF_SCREENS = (
    _number("screen", "area", "of one deck", "9 m2", AREA, 0.01, 1000.0),
    _number("screen", "width", "of the decks", "2 m", LENGTH, 50.0, 20_000.0),
    _number("screen", "length", "of the decks", "6 m", LENGTH, 50.0, 50_000.0),
    _number("screen", "max_decks", "how many it can carry", "3", NUMBER, 1.0, 4.0, whole=True),
    _number("screen", "inclination", "of the decks, from the horizontal",
        "18 deg", ANGLE, 0.0, 60.0),
    _number("screen", "travel_speed", "of the rock along the deck", "0.4 m/s", SPEED, 0.01, 10.0),
    _number("screen", "max_bed_factor", "depth of bed at the discharge over the aperture, at most",
        "4", NUMBER, 0.1, 10_000.0, default=4.0),
    _number("screen", "wire", "thickness of the wire of its media", "8 mm", LENGTH, 0.01, 200.0),
    _number("screen", "wet", "1 where it is sprayed, 0 where not",
        "0", NUMBER, 0.0, 1.0, whole=True),
    _share("screen classifier", "retained_moisture",
        "water that leaves with what was drained, over dry solids",
        "12 %", 0.0, 2.0),
    _number("classifier", "added_water", "water that is put in",
        "60 m3/h", VOLUME_RATE, 0.0, 100_000.0, default=0.0),
    _number("conveyor", "max_lump", "the largest piece it carries", "300 mm", LENGTH, 1.0, 5000.0),
    _number("conveyor", "max_slope", "the steepest it carries rock", "18 deg", ANGLE, 0.0, 90.0),
)
# fmt: on

FACTS = (
    *(*_OF_PLANTS, *_OF_FEEDS, *_OF_MATERIALS, *_OF_OTHERS, *_OF_DECKS, *_OF_STORES),
    *(*_OF_OPERATION, *_OF_CRUSHERS, *_OF_SCREENS),
)
# The size of a deck's holes: it stands in the deck's own line, so no block states it.
APERTURE = _number("", "aperture", "of the holes of a deck", "20 mm", LENGTH, 0.1, 1000.0)


@cache
def facts_of(owner: str) -> Mapping[str, Fact]:
    """What a kind of block may state, by name, as declared; nothing for an unknown kind."""
    return MappingProxyType({fact.name: fact for fact in FACTS if owner in fact.owners})


def usual(owner: str, name: str) -> float:
    """What holds where a block does not state a fact, in the trade's unit."""
    found = facts_of(owner)[name].default
    if found is None:
        raise ValueError(f"`{name}` of a {owner} has no default")
    return found
