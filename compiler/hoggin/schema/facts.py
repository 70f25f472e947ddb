"""Every fact that a block of the language may state, declared once.

The checker, its messages, completion, hover, the reference page and `compare` read these
declarations; no other list of facts exists. A class of machine may also state any word of its own
as a trait (`action inter_particle`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, partial
from types import MappingProxyType

from hoggin.schema.kinds import CLASS_KINDS, DRIVEN, KINDS
from hoggin.schema.units import (
    ANGLE,
    AREA,
    DENSITY,
    LENGTH,
    MASS,
    MONEY,
    MONEY_RATE,
    NUMBER,
    PER_ENERGY,
    POWER,
    PRESSURE,
    PRICE,
    PRICE_OF_ENERGY,
    RATE,
    SPECIFIC_ENERGY,
    SPEED,
    TIME,
    VOLUME,
    VOLUME_RATE,
    Dimension,
    in_currency,
    number_text,
    trade_unit,
)

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact of one or more kinds of blocks.

    blocks: those that state it, separated by blanks. A kind of machine stands for its class, but a
        bin or stockpile for itself; `class` for a class of any kind, `machine` for any machine of a
        class. `operation` is the block of that name in any machine, `feed.operation` that in a
        feed.
    sample: a value that the checker takes, for messages and the editor. It may go on with the facts
        this one needs. "" of a fact that stands alone, as `existing`.
    dimension: None of what is not a number: a text, a name, a list.
    low, high: bounds in the trade's unit. above_low: the low end itself is out of bounds.
    bounds: the bounds as a sentence, where a range does not say enough.
    share: a fraction, shown in per cent. whole: a number without a fraction.
    default: what holds where it is not stated, if that is always the same.
    needed: whether the block can't do without it.
    ranged: whether it is `between(0.8 to 1.25)`, of pure numbers; its ends are within the bounds.
    source: what the bounds rest on.
    """

    blocks: str
    name: str
    meaning: str
    sample: str
    low: float = -math.inf
    high: float = math.inf
    dimension: Dimension | None = None
    above_low: bool = False
    bounds: str = ""
    share: bool = False
    whole: bool = False
    default: float | None = None
    needed: bool = False
    ranged: bool = False
    source: str = PRACTICE

    @property
    def owners(self) -> tuple[str, ...]:
        return tuple(self.blocks.split())

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
        return "" if found is None else in_currency(found[0].sign, "EUR")  # as its sample is

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


_share = partial(Fact, dimension=NUMBER, share=True)

# One table: each fact on a line or two.
# fmt: off
_OF_PLANTS = (
    Fact("plant", "revision", "the mark of this revision, as shown on documents", '"A"'),
    Fact("plant", "sieves", "the sieve sizes to report results on",
        "{ 63 mm, 16 mm, 4 mm, 1 mm }", needed=True),
    Fact("plant.operation", "hours_per_year",
        "hours per year for which the plant is manned to run",
        "2500 h", 0.0, 8784.0, TIME, above_low=True, source="hours of a leap year"),
    Fact("plant.operation", "availability",
        "share of its hours in which the plant runs at the balance's rates",
        "85 %", 0.01, 1.0, NUMBER, share=True,
        bounds="a plant is available for 1 % to 100 % of its hours", default=1.0),
    Fact("plant", "history", "the revisions so far, each with what changed",
        '{ "A": "first issue" }'),
    Fact("plant", "currency", "currency of all prices, as in ISO 4217", "EUR"),
    Fact("plant crusher", "elongation_ratio",
        "length over thickness above which a piece counts as flat and elongated",
        "5", 1.5, 10.0, NUMBER, bounds="1.5 to 10; ASTM D4791 tests at 2, 3 or 5", default=5.0,
        source="ASTM D4791 tests at 2, 3 and 5, from memory"),
    Fact("plant", "checks", "names of checks that other packages add", "{ NAME }"),
    Fact("plant.operation", "energy_price", "price of the energy that its machines draw",
        "0.15 EUR/kWh", 0.0, 1e9, PRICE_OF_ENERGY),
    Fact("plant.operation", "labour_cost", "cost of all who run it, per running hour",
        "120 EUR/h", 0.0, 1e9, MONEY_RATE),
    Fact("plant.operation", "grid_carbon", "carbon dioxide of the energy drawn",
        "0.35 kg/kWh", 0.0, 5000.0, PER_ENERGY,
        bounds="energy brings 0 to 5 kg of carbon dioxide per kWh"),
    Fact("plant.operation", "shifts", "working hours of the day, for `hoggin simulate`",
        "{ day: 6 h to 14 h }"),
    Fact("plant.operation", "days_per_week", "working days of the week, for `hoggin simulate`",
        "5", 1.0, 7.0, NUMBER, whole=True, bounds="a plant runs on 1 to 7 days of a week",
        source="the calendar"),
)

_OF_PROJECT = (
    Fact("plant.project", "name", "the project that the plant belongs to", '"North quarry"'),
    Fact("plant.project", "client", "who it is designed for", '"..."'),
    Fact("plant.project", "owner", "who owns the documents", '"..."'),
    Fact("plant.project", "document_number", "number of the documents", '"4711-PR-001"'),
    Fact("plant.project", "status", "what the documents are issued for", '"for comment"'),
    Fact("plant.project", "drawn", "who made them, by name or initials", '"..."'),
    Fact("plant.project", "checked", "who checked them", '"..."'),
    Fact("plant.project", "approved", "who approved them", '"..."'),
)

_UNCLASSED = " ".join(kind for kind in KINDS if kind not in CLASS_KINDS)
_OF_LISTED = (
    Fact(f"machine {_UNCLASSED} feed product", "title", "its title on documents", '"Sand 0/4"'),
    Fact(f"machine {_UNCLASSED} feed product", "tag",
        "its tag at the site, unique in the plant; documents lead with it", '"20-CR-101"'),
    Fact(f"machine {_UNCLASSED} feed product section", "sheet",
        "name of the drawing sheet that it is on", '"crushing"'),
    Fact(f"machine {_UNCLASSED}", "existing",
        "it stands already: it is not to be bought", ""),
)

_OF_CASES = (
    Fact("case", "hours", "hours per year for which the plant is manned to run in this case",
        "600 h", 0.0, 8784.0, TIME, above_low=True, source="hours of a leap year"),
)

_OF_FEEDS = (
    Fact("feed", "rock", "name of the material", "NAME", needed=True),
    Fact("feed", "rate", "dry solids that enter",
        "450 t/h", 0.0, 100_000.0, RATE, above_low=True, needed=True),
    Fact("feed", "passing", "share passing by size, coarse to fine, or the name of a grading",
        "{ 500 mm: 100 %, 100 mm: 30 % }", needed=True),
    _share("feed", "moisture", "water over dry solids; replaces that of its rock",
        "3 %", 0.0, 0.5),
    _share("feed", "clay", "sticky clay over dry solids; replaces that of its rock",
        "2 %", 0.0, 0.5),
    Fact("feed", "tramp", "largest expected tramp iron, which a magnet holds",
        "50 mm", 0.0, 10_000.0, LENGTH),
    Fact("feed", "tramp_every", "mean time between two pieces of tramp iron",
        "40 h", 0.01, 1e6, TIME),
    Fact("feed", "nonmagnetic_tramp",
        "largest tramp metal that no magnet holds, such as manganese steel",
        "40 mm", 0.0, 10_000.0, LENGTH),
    Fact("feed", "nonmagnetic_tramp_every", "mean time between two pieces that no magnet holds",
        "200 h", 0.01, 1e6, TIME),
    Fact("feed.operation", "loading", "hours of delivery, for `hoggin simulate`",
        "{ day: 6 h to 14 h }"),
    _share("feed", "flakiness", "share of flaky pieces, EN 933-3; one number, or by size",
        "20 %", 0.0, 1.0, source="a share"),
    _share("feed", "flat_elongated",
        "share of flat and elongated pieces, ASTM D4791; one number, or by size",
        "8 %", 0.0, 1.0, source="a share"),
)

_OF_OTHERS = (
    Fact("file", "edition", "the edition of the language that the file is written for", "2026"),
    Fact("file", "source", "source of lines of its classes and materials that have none",
        '"where from"'),
    Fact("class material", "about", "short description", '"what it is"'),
    Fact("class material", "source", "source of its numbers", '"where from"'),
    Fact("class", "caution", "a warning that every schedule repeats", '"guard it"'),
    Fact("grading band", "about", "short description", '"what it is"'),
    Fact("grading band", "source", "source of its numbers", '"where from"'),
    Fact("grading", "passing", "share passing by size, coarse to fine",
        "{ 63 mm: 100 %, 31.5 mm: 55 %, 4 mm: 8 % }", needed=True),
    Fact("band", "passing", "limits of the share passing by size, coarse to fine",
        "{ 16 mm: 100 %, 8 mm: 20 % to 60 % }", needed=True),
)

_OF_MATERIALS = (
    Fact("material", "solid_density", "density of the solid rock",
        "2.70 t/m3", 1.0, 6.0, DENSITY, needed=True),
    Fact("material", "bulk_density", "density of the broken rock, with the air between its pieces",
        "1.60 t/m3", 0.5, 4.0, DENSITY, needed=True),
    Fact("material", "work_index", "Bond's work index for crushing",
        "15 kWh/t", 2.0, 60.0, SPECIFIC_ENERGY, needed=True),
    Fact("material", "abrasion_index", "Bond's abrasion index, for liner wear",
        "0.3", 0.0, 2.0, NUMBER),
    _share("material", "absorption", "water that the dry rock absorbs, over its mass",
        "0.8 %", 0.0, 0.5),
    Fact("material", "compressive_strength", "strength of a core, unconfined and dry",
        "180 MPa", 1.0, 600.0, PRESSURE),
    _share("material", "moisture", "water over dry solids, for feeds that state none",
        "2 %", 0.0, 0.5, default=0.0),
    _share("material", "clay", "sticky clay over dry solids, for feeds that state none",
        "1 %", 0.0, 0.5, default=0.0),
    # Both of one drop-weight test: neither goes with the other of another rock. Bounds as those of
    # the breakage model's coefficients, whose place they take.
    _share("material", "t10_limit", "A of a drop-weight test of this rock", "48 %", 0.05, 0.95),
    Fact("material", "energy_scale", "1 / b of a drop-weight test of this rock",
        "1.1 kWh/t", 0.1, 20.0, SPECIFIC_ENERGY),
)

_OF_DECKS = (
    _share("deck screen grizzly_feeder", "open_area",
        "area of the holes over the area of the deck; by default that usual for the aperture",
        "60 %", 0.05, 0.95, bounds="an open area is 5 % to 95 %"),
    Fact("deck", "spray", "water sprayed on the deck",
        "20 m3/h", 0.0, 10_000.0, VOLUME_RATE, bounds="spray water is 0 to 10000 m3/h",
        default=0.0),
    Fact("deck", "slot_ratio", "length of a slot over its width",
        "4", 1.0, 1000.0, NUMBER, bounds="a slot is 1 to 1000 times as long as it is wide"),
)

_OF_MACHINES = (
    Fact("machine", "count", "equal machines in parallel, each with an equal part of the feed",
        "2", 1.0, 100.0, NUMBER, whole=True, default=1.0),
    Fact("machine.operation", "price", "price of one machine, for the budget",
        "250000 EUR", 0.0, 1e12, MONEY),
    Fact("machine.operation", "parts_cost",
        "cost of its wear parts but liners, as screening media or belts, per running hour",
        "2.5 EUR/h", 0.0, 1e9, MONEY_RATE),
)

_OF_STORES = (
    Fact("bin stockpile", "live", "mass that can be drawn without help",
        "1000 t", 0.0, 1e7, MASS),
    Fact("bin stockpile", "opening", "narrower side of the opening by which it is drawn",
        "900 mm", 50.0, 20_000.0, LENGTH, bounds="an opening is 50 to 20000 mm wide"),
    Fact("bin", "volume", "volume when full",
        "60 m3", 0.1, 1e6, VOLUME, bounds="a bin holds 0.1 to 1000000 m3"),
    Fact("stockpile", "height", "height of the full cone",
        "12 m", 500.0, 100_000.0, LENGTH, bounds="a pile is 0.5 to 100 m high"),
    Fact("stockpile", "repose_angle", "angle of the slope of loose rock",
        "37 deg", 15.0, 50.0, ANGLE, bounds="loose rock lies at 15 to 50 degrees", default=37.0),
    Fact("stockpile", "drawdown_angle", "angle of the crater over the opening",
        "55 deg", 15.0, 85.0, ANGLE, bounds="a crater stands at 15 to 85 degrees"),
    Fact("bin stockpile", "draw",
        "largest rate by the outlet `draw`; the surplus leaves by `overflow`",
        "120 t/h", 0.0, 100_000.0, RATE),
    _share("bin stockpile", "live_share",
        "share of the mass held that can be drawn without help",
        "85 %", 0.01, 1.0, bounds="1 % to 100 % of the mass held is live"),
    _share("bin.operation stockpile.operation", "start_level",
        "level at the start, of its live tonnes, for `hoggin simulate`",
        "50 %", 0.0, 1.0,
        bounds="a store starts at 0 % (empty) to 100 % (full) of its live tonnes", default=0.5),
)

_OF_OPERATION = (
    _share("operation", "availability",
        "share of the shift in which it can run; needs `repair`",
        "92 %; repair 2 h", 0.01, 1.0,
        bounds="a machine is available for 1 % to 100 % of the shift", default=1.0),
    Fact("operation", "repair", "mean time of a repair, for `hoggin simulate`",
        "2 h", 0.01, 2000.0, TIME, bounds="a repair takes 0.01 h to 2000 h"),
    _share("operation", "pace", "highest rate over that of the balance, for `hoggin simulate`",
        "100 %", 0.05, 10.0, bounds="a pace is 5 % to 1000 % of the balance's rates"),
    Fact("operation", "maintenance", "planned stops: hours from one to the next, and of a stop",
        "{ 40 h: 2 h }"),
    Fact("splitter", "position", "the outlet that gets everything", "mill"),
    Fact("splitter.operation", "campaign",
        "time of a round in which each outlet in turn gets everything",
        "40 h; changeover 1 h", 0.1, 10_000.0, TIME,
        bounds="a round of campaigns takes 0.1 h to 10000 h"),
    Fact("splitter.operation", "changeover", "time lost when a campaign changes",
        "1 h", 0.0, 1000.0, TIME, bounds="a changeover takes 0 h to 1000 h", default=0.0),
)

_OF_CRUSHERS = (
    Fact("crusher", "feed_opening", "opening through which the feed enters the chamber",
        "300 mm", 1.0, 10_000.0, LENGTH),
    Fact("crusher feeder grizzly_feeder", "max_feed_size", "largest piece it takes",
        "250 mm", 1.0, 10_000.0, LENGTH),
    Fact("crusher", "slip_free_size", "largest piece that moving rolls draw in without slip",
        "40 mm", 0.1, 10_000.0, LENGTH),
    Fact("crusher", "max_reduction_ratio", "largest F80 over P80",
        "6", 1.0, 200.0, NUMBER),
    Fact(" ".join(CLASS_KINDS), "installed_power", "power of its motor",
        "200 kW", 0.01, 50_000.0, POWER),
    Fact(" ".join(DRIVEN), "design_power",
        "power that its motor is chosen for: the next standard size is fitted",
        "190 kW", 0.01, 50_000.0, POWER),
    _share(" ".join(DRIVEN), "motor_margin",
        "reserve of its motor over the drawn power, for starting and peaks",
        "25 %", 0.0, 5.0, default=0.15),
    Fact("crusher", "relief_stroke", "distance it opens for tramp metal",
        "40 mm", 0.0, 2000.0, LENGTH),
    _share("crusher", "min_load", "share of capacity that keeps it full", "60 %", 0.01, 1.0),
    Fact("crusher", "closest_setting", "the lower end of its setting range",
        "6 mm", 0.1, 2000.0, LENGTH),
    Fact("crusher", "chamber_angle", "angle of the liners at the discharge, from the vertical",
        "40 deg", 1.0, 90.0, ANGLE),
    Fact("crusher", "thread_pitch", "lift of the bowl in one turn", "20 mm", 0.1, 1000.0, LENGTH),
    Fact("crusher", "adjustment_teeth", "teeth of the bowl's gear for one turn",
        "72", 1.0, 10_000.0, NUMBER, whole=True),
    Fact("crusher", "liner_mass", "mass of a new set of liners", "2 t", 0.001, 1000.0, MASS),
    _share("crusher", "liner_wear_share", "share of the liners' mass that may wear off",
        "50 %", 0.01, 1.0),
    Fact("crusher crusher.operation", "liner_price",
        "price of liner metal; a machine's replaces that of its class",
        "4.2 EUR/kg", 0.0, 1e9, PRICE),
    _share("crusher", "moisture_limit", "moisture of the feed up to which it has its dry capacity",
        "3 %", 0.0, 0.2),
    _share("crusher", "moisture_capacity_loss",
        "share of capacity lost for each per cent of moisture above the limit",
        "5 %", 0.0, 0.5),
)

_OF_SCREENS = (
    Fact("screen grizzly_feeder", "area", "area of one deck", "9 m2", 0.01, 1000.0, AREA),
    Fact("screen grizzly_feeder", "width", "width of the decks", "2 m", 50.0, 20_000.0, LENGTH),
    Fact("screen grizzly_feeder", "length", "length of the decks", "6 m", 50.0, 50_000.0, LENGTH),
    Fact("screen grizzly_feeder", "max_decks", "largest number of decks",
        "3", 1.0, 4.0, NUMBER, whole=True),
    Fact("screen grizzly_feeder", "inclination", "slope of the decks, from the horizontal",
        "18 deg", 0.0, 60.0, ANGLE),
    Fact("screen grizzly_feeder", "travel_speed", "speed of the rock along the deck",
        "0.4 m/s", 0.01, 10.0, SPEED),
    Fact("screen grizzly_feeder", "max_bed_factor",
        "largest depth of bed at the discharge, over the aperture",
        "4", 0.1, 10_000.0, NUMBER, default=4.0),
    Fact("screen", "max_bed", "largest depth of bed at the discharge, whatever the aperture",
        "200 mm", 1.0, 5000.0, LENGTH),
    Fact("screen", "max_lump_factor", "largest piece on a deck, over its aperture",
        "8", 1.0, 10_000.0, NUMBER),
    _share("screen", "min_efficiency", "least share of its undersize that each deck must pass",
        "80 %", 0.3, 0.99),
    Fact("screen", "wire", "wire diameter of its media", "8 mm", 0.01, 200.0, LENGTH),
    Fact("screen", "wet", "1 if it is sprayed, otherwise 0",
        "0", 0.0, 1.0, NUMBER, whole=True),
)

_OF_BELTS = (
    Fact("conveyor", "max_lump", "largest piece it carries", "300 mm", 1.0, 5000.0, LENGTH),
    Fact("conveyor", "max_slope", "steepest slope on which it carries rock",
        "18 deg", 0.0, 90.0, ANGLE),
    Fact("conveyor", "pile_height", "height of the highest pile that it can build",
        "12 m", 500.0, 100_000.0, LENGTH),
    Fact("conveyor", "pile_arc", "arc along which it can move the top of the pile",
        "30 m", 0.0, 1e6, LENGTH, default=0.0),
    _share("magnet", "tramp_removal", "share of the arriving tramp iron pieces that it removes",
        "90 %", 0.0, 1.0, source="a share"),
    _share("metal_detector", "detected_share",
        "share of the detectable pieces for which it stops the belt",
        "98 %", 0.0, 1.0, source="a share"),
    Fact("metal_detector", "detected_size", "size of the smallest piece that it can detect",
        "50 mm", 1.0, 1000.0, LENGTH),
    Fact("metal_detector", "clearing", "mean time to find and remove a piece",
        "15 min", 0.01, 24.0, TIME),
)

# How far the figures of a class are known: a measured value over the one computed.
_spread = partial(Fact, sample="between(0.8 to 1.25)", low=0.1, high=10.0, ranged=True)
_OF_SPREADS = (
    _spread("crusher screen feeder grizzly_feeder conveyor", "capacity_spread",
        "measured over computed capacity; of a screen, the area that does its work"),
    _spread("crusher conveyor pump", "power_spread", "measured over computed power"),
    _spread("crusher", "size_spread", "measured over computed sizes of its product"),
)

_OF_SLURRY = (
    _share("screen classifier thickener", "retained_moisture",
        "water that stays with the drained rock, over dry solids",
        "12 %", 0.0, 20.0),
    Fact("classifier sump", "added_water", "water that is added",
        "60 m3/h", 0.0, 100_000.0, VOLUME_RATE, default=0.0),
    Fact("sump", "volume", "volume of slurry that it holds", "10 m3", 0.01, 100_000.0, VOLUME),
    Fact("sump", "min_residence", "shortest time for which slurry stays in it",
        "1 min", 0.001, 24.0, TIME, default=1 / 60),
    Fact("pump", "max_flow", "largest flow of slurry",
        "300 m3/h", 0.1, 100_000.0, VOLUME_RATE),
    Fact("classifier thickener", "surface", "surface of its pool",
        "200 m2", 0.1, 100_000.0, AREA),
    Fact("classifier", "max_pressure", "largest pressure drop from its inlet to its overflow",
        "150 kPa", 0.001, 10.0, PRESSURE),
    Fact("thickener", "max_rise_rate", "largest speed of the rising water",
        "3 m/h", 1e-6, 0.1, SPEED),
    _share("thickener", "water_reused", "share of the overflow's water that returns to the sprays",
        "90 %", 0.0, 1.0, default=0.0),
)
# fmt: on

FACTS = (
    *(*_OF_PLANTS, *_OF_PROJECT, *_OF_LISTED, *_OF_CASES, *_OF_FEEDS, *_OF_MATERIALS),
    *(*_OF_OTHERS, *_OF_DECKS, *_OF_STORES),
    *(*_OF_MACHINES, *_OF_OPERATION, *_OF_CRUSHERS, *_OF_SCREENS, *_OF_BELTS, *_OF_SPREADS),
    *_OF_SLURRY,
)
# The size of a deck's holes: it is in the deck's own line, so no block states it.
APERTURE = Fact("", "aperture", "size of the holes of a deck", "20 mm", 0.1, 1000.0, LENGTH)
# What is asked of an outlet of a splitter: it stands in the outlet's own line.
ASKED = Fact("", "tonnage", "tonnage of an outlet", "90 t/h", 0.0, 100_000.0, RATE)

# Kinds of things whose `operation` states more than that of any machine.
OPERATED = tuple(
    dict.fromkeys(
        owner.partition(".")[0] for fact in FACTS for owner in fact.owners if "." in owner
    )
)


@cache
def facts_of(owner: str) -> Mapping[str, Fact]:
    """What a kind of block may state, by name, as declared; nothing for an unknown kind."""
    return MappingProxyType({fact.name: fact for fact in FACTS if owner in fact.owners})


@cache
def listed_of(kind: str) -> Mapping[str, Fact]:
    """What the block of a kind of thing may state for documents alone, by name."""
    owner = "machine" if kind in KINDS else kind
    return MappingProxyType({fact.name: fact for fact in _OF_LISTED if owner in fact.owners})


@cache
def operation_of(kind: str) -> Mapping[str, Fact]:
    """What the `operation` block of a kind of thing may state, by name."""
    shared = facts_of("operation") if kind in KINDS else {}
    priced = facts_of("machine.operation") if kind in CLASS_KINDS else {}
    return MappingProxyType({**shared, **priced, **facts_of(f"{kind}.operation")})


def usual(owner: str, name: str) -> float:
    """The value of a fact that a block does not state, in the trade's unit."""
    found = facts_of(owner)[name].default
    if found is None:
        raise ValueError(f"`{name}` of a {owner} has no default")
    return found
