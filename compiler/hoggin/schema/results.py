"""The results document: the one thing every backend reads, and Hoggin's versioned JSON format.

Every number is declared here, once, by a `Quantity`; every other field says by `Told` what it
holds. Nothing else lists results: see `schema.quantity`. Fractions are 0 to 1 (a backend shows per
cent), numbers are kept to nine significant digits. Lists are in the plant's order, which is that of
the flow. Generate the JSON schema with `Results.model_json_schema()`.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import GetJsonSchemaHandler
from pydantic_core import CoreSchema

from hoggin.schema import frozen
from hoggin.schema import quantity as of
from hoggin.schema.declared import results_of
from hoggin.schema.kinds import STORES, kinds_with
from hoggin.schema.plant import Plant
from hoggin.schema.quantity import Quantity, Told

FORMAT_VERSION = 2
Verdict = Literal["ok", "watch", "over"]  # within limits, near or outside good practice, beyond

Key = Annotated[str, Told.KEY]
Stated = Annotated[str, Told.STATED]
Text = Annotated[str, Told.TEXT]
Texts = Annotated[tuple[str, ...], Told.TEXT]
Derived = Annotated[str, Told.DERIVED]

_CRUSHER = kinds_with("breakage")
_LOADED = kinds_with("capacity")
_DRIVEN = kinds_with("power", "belt_power")

Moisture = Annotated[float, Quantity("water over dry solids", of.SHARE)]
Flakiness = Annotated[
    float | None,
    Quantity("share of flaky pieces, of the sizes 4 mm to 100 mm (EN 933-3)", of.SHAPE),
]
FlatElongated = Annotated[
    float | None,
    Quantity(
        "share of flat and elongated pieces, 4.75 mm to 100 mm (ASTM D4791)",
        of.SHAPE,
        label="flat and elongated",
    ),
]
P80 = Annotated[
    float | None,
    Quantity("size that 80 % passes; none below the finest sieve", of.SIZE, label="P80"),
]
P50 = Annotated[float | None, Quantity("size that half passes", of.SIZE, label="P50")]
Rate = Annotated[float, Quantity("dry solids an hour", of.RATE)]
ShareOfFeed = Annotated[
    float, Quantity("rate over the plant's feed", of.OF_RATE, label="share of feed", ask="share")
]
Passing = Annotated[
    tuple[float, ...],
    Quantity("share finer than a size: `passing(4 mm)`", of.PASSING, sizes="sieves_mm"),
]
PerYear = Annotated[
    float | None,
    Quantity("dry tonnes in the hours a year that the plant states", of.YEARLY, ask="per_year"),
]


class Frozen(frozen.Frozen):
    @classmethod
    def __get_pydantic_json_schema__(
        cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """With what is declared of each result: meaning, unit, family, weighing, tolerance."""
        found = handler(core_schema)
        properties = handler.resolve_ref_schema(found)["properties"]
        for one in results_of(cls):
            properties[one.field] |= one.json_schema()
        return found


class StreamResult(Frozen):
    """One stream of the mass balance (dry solids)."""

    name: Key  # "sizing.top.over -> secondary"
    source: Key  # tag
    outlet: Key  # "" for a feed, "product", "top.over", "under" ...
    target: Key  # tag of a machine or product
    rate_t_h: Rate
    share_of_feed: ShareOfFeed
    passing: Passing  # at Results.sieves_mm
    p80_mm: P80
    p50_mm: P50
    moisture: Moisture
    recirculating: Annotated[bool, Told.VERDICT]  # whether it runs against the order of flow
    water_t_h: Annotated[float, Quantity("water an hour", of.WATER)] = 0.0
    flakiness: Flakiness = None
    flat_elongated: FlatElongated = None


class Check(Frozen):
    """One limit checked on a machine or deck, in the trade's words."""

    name: Key  # "load", "reduction ratio", "feed opening", "installed power", "bed depth" ...
    verdict: Annotated[Verdict, Told.VERDICT]
    text: Derived  # "load 112 % of 310 t/h capacity"
    value: Annotated[float, Quantity("what is held against the limit", of.MARGIN, ask="")]
    limit: Annotated[float | None, Quantity("the limit", of.MARGIN, ask="")]
    unit: Key  # "%", "mm", "kW", ""
    code: Annotated[str | None, Told.DERIVED]  # diagnostic code when not ok, e.g. "W0503"


class DeckResult(Frozen):
    name: Key
    aperture_mm: Annotated[float, Told.STATED]
    shape: Stated
    feed_t_h: Annotated[float, Quantity("dry solids fed to the deck", of.RATE, ask="rate")]
    oversize_t_h: Annotated[float, Quantity("what stays on the deck", of.RATE)]
    undersize_t_h: Annotated[float, Quantity("what passes the deck", of.RATE)]
    cut_size_mm: Annotated[float, Quantity("the size of which half passes, d50", of.SIZE)]
    undersize_efficiency: Annotated[
        float,
        Quantity(
            "undersize that passes, of what is fed", of.LOAD, label="efficiency", ask="efficiency"
        ),
    ]
    near_size: Annotated[
        float, Quantity("share of the feed between 0.75 and 1.25 of the aperture", of.LOAD)
    ]
    area_m2: Annotated[float, Quantity("area fitted", of.DIMENSION)]
    area_needed_m2: Annotated[float | None, Quantity("area needed", of.DIMENSION)]
    area_use: Annotated[float | None, Quantity("area needed over area fitted", of.LOAD)]
    bed_depth_mm: Annotated[float | None, Quantity("depth of rock at the discharge", of.DIMENSION)]
    checks: tuple[Check, ...]
    area_by_karra_m2: Annotated[
        float | None, Quantity("area at which Karra's capacity is just used up", of.DIMENSION)
    ] = None
    slot_ratio: Annotated[float | None, Told.STATED] = None  # length of a slot over its width


class SettingResult(Frozen):
    name: Key
    text: Stated


class DriveResult(Frozen):
    """What a machine's drive takes, and the motor the common series would give it."""

    energy_kwh_t: Annotated[
        float | None,
        Quantity(
            "power drawn over the machine's own feed",
            of.ENERGY,
            label="specific energy",
            ask="specific_energy",
        ),
    ]
    energy_of_plant_feed_kwh_t: Annotated[
        float, Quantity("power drawn over the plant's feed", of.ENERGY)
    ]
    motor_margin: Annotated[float, Told.STATED]  # over the drawn power, fraction
    motor_kw: Annotated[
        float | None, Quantity("next motor of the common series, with its margin", of.DIMENSION)
    ]


class LinerCost(Frozen):
    """What liners cost, in the plant's currency. A set is bought whole, and its wear share is worn
    off; where the class states no such share, the metal worn off is priced alone."""

    currency: Stated
    price_per_kg: Annotated[
        float, Quantity("price of liner metal", of.WEAR, label="liner price", ask="")
    ]
    cost_per_t: Annotated[
        float,
        Quantity(
            "price of liner metal for a tonne of its own feed",
            of.WEAR,
            label="liner cost per tonne",
            ask="liner_cost",
        ),
    ]
    cost_of_plant_feed_per_t: Annotated[
        float,
        Quantity(
            "price of liner metal for a tonne of plant feed",
            of.WEAR,
            label="liner cost per tonne of plant feed",
            ask="liner_cost_of_plant_feed",
        ),
    ]
    cost_per_h: Annotated[
        float,
        Quantity("price of liner metal an hour", of.WEAR, label="liner cost per hour", ask=""),
    ]
    set_price: Annotated[
        float | None,
        Quantity("price of one change of liners, metal only", of.WEAR, "price of a set", ask=""),
    ]


class WearResult(Frozen):
    """Liner metal worn off a crusher, from the abrasion index of its feed."""

    abrasion_index: Annotated[float, Quantity("abrasion index of its feed", of.WEAR)]
    net_energy_kwh_t: Annotated[float, Quantity("Bond's energy, without losses", of.ENERGY)]
    metal_g_kwh: Annotated[
        float, Quantity("liner metal worn off by net energy", of.WEAR, ask="metal_of_energy")
    ]
    metal_g_t: Annotated[
        float,
        Quantity(
            "liner metal worn off by a tonne of its own feed",
            of.WEAR,
            label="liner metal",
            ask="liner_metal",
        ),
    ]
    liner_mass_t: Annotated[float | None, Quantity("metal of a set of liners", of.WEAR)]
    liner_wear_share: Annotated[
        float | None, Quantity("share of the liners' metal that may wear off", of.LOAD)
    ]
    life_h: Annotated[
        float | None,
        Quantity("hours until the liners are worn", of.WEAR, label="liner life", ask="liner_life"),
    ]
    cost: LinerCost | None = None


class SettingPosition(Frozen):
    """Where a cone's bowl or shaft stands, counted from the liners' touching."""

    css_mm: Annotated[float, Told.STATED]
    moves: Stated  # "bowl_up", "shaft_down", or "" where the class does not say
    travel_mm: Annotated[
        float,
        Quantity("way of bowl or shaft from touching", of.DIMENSION, label="travel of setting"),
    ]
    # Turns of a threaded bowl: as a number, and as whole turns and the teeth beyond them.
    turns: Annotated[float | None, Quantity("turns of the bowl from touching", of.DIMENSION)] = None
    whole_turns: Annotated[int | None, Told.DERIVED] = None
    teeth: Annotated[int | None, Told.DERIVED] = None
    teeth_a_turn: Annotated[int | None, Told.STATED] = None
    css_a_tooth_mm: Annotated[
        float | None, Quantity("what one tooth changes the setting by", of.DIMENSION)
    ] = None
    liner_set: Stated = ""


class StorageResult(Frozen):
    """A bin or stockpile. Height, angles and diameter are of a pile that is a cone."""

    height_m: Annotated[float | None, Quantity("height of the pile", of.STORAGE)]
    repose_deg: Annotated[float | None, Quantity("angle of repose", of.STORAGE)]
    drawdown_deg: Annotated[
        float | None, Quantity("angle of the crater over the opening", of.STORAGE)
    ]
    base_diameter_m: Annotated[float | None, Quantity("diameter of the pile", of.STORAGE)]
    volume_m3: Annotated[float | None, Quantity("volume it holds", of.STORAGE)]
    held_t: Annotated[float | None, Quantity("mass it holds", of.STORAGE)]
    live_share: Annotated[float | None, Quantity("live mass over mass held", of.LOAD)]
    live_t: Annotated[
        float | None, Quantity("mass that can be drawn without a machine on the pile", of.STORAGE)
    ]
    through_t_h: Annotated[float, Quantity("dry solids that run through", of.RATE, ask="")]
    surge_time_h: Annotated[float | None, Quantity("live mass over what runs through", of.STORAGE)]


class BeltResult(Frozen):
    """A belt conveyor: its run, its load, and the pull that moves it."""

    length_m: Annotated[float, Quantity("length of the belt's run", of.DIMENSION)]
    lift_m: Annotated[float, Quantity("height it lifts", of.DIMENSION)]
    slope_deg: Annotated[float, Quantity("slope of the belt", of.DIMENSION)]
    travel_speed_m_s: Annotated[float, Quantity("speed of the belt", of.DIMENSION)]
    # None where the class's capacity does not follow from a trough
    width_mm: Annotated[float | None, Quantity("width of the belt", of.DIMENSION)]
    section_m2: Annotated[
        float | None, Quantity("section of rock on the full belt, level", of.DIMENSION)
    ]
    slope_factor: Annotated[
        float | None, Quantity("what the slope leaves of the section", of.RATIO)
    ]
    rock_kg_m: Annotated[
        float, Quantity("rock on the belt, with its water", of.DIMENSION, ask="rock_on_belt")
    ]
    secondary_coefficient: Annotated[float, Quantity("coefficient C of ISO 5048", of.RATIO)]
    pull_n: Annotated[float, Quantity("pull at the drive pulley", of.POWER)]


class BreakageResult(Frozen):
    """A crusher's breakage under the feed it has, where it follows the feed's F80 or its rock."""

    follows_f80: Annotated[bool, Told.DERIVED]
    follows_rock: Annotated[bool, Told.DERIVED]
    f80_mm: Annotated[float, Told.DERIVED]
    k1_mm: Annotated[float, Quantity("size below which no piece is broken", of.SIZE, label="K1")]
    k2_mm: Annotated[float, Quantity("size above which every piece is", of.SIZE, label="K2")]
    t10: Annotated[float | None, Quantity("t10 of its feed", of.RATIO)]


class MoistureResult(Frozen):
    """What moisture takes of a crusher's capacity, where its class states it."""

    moisture: Annotated[float, Told.DERIVED]  # that of its feed
    dry_capacity_t_h: Annotated[float, Quantity("capacity for dry rock", of.RATE)]
    lost: Annotated[
        float,
        Quantity(
            "share of the dry capacity that moisture takes",
            of.LOAD,
            label="capacity lost to moisture",
            ask="capacity_lost",
        ),
    ]


class MachineResult(Frozen):
    """One line of the equipment schedule."""

    tag: Key
    kind: Key
    class_name: Stated
    about: Stated
    settings: tuple[SettingResult, ...]
    traits: Annotated[dict[str, str], Told.STATED]
    feed_t_h: Annotated[float, Quantity("dry solids fed to it", of.RATE, ask="rate")]
    f80_mm: Annotated[
        float | None,
        Quantity("size that 80 % of its feed passes", of.SIZE, label="F80", kinds=_CRUSHER),
    ]
    p80_mm: Annotated[
        float | None,
        Quantity("size that 80 % of its product passes", of.SIZE, label="P80", kinds=_CRUSHER),
    ]
    top_size_mm: Annotated[float | None, Quantity("size that 98 % of its feed passes", of.SIZE)]
    moisture_of_feed: Annotated[float, Quantity("water over dry solids of its feed", of.SHARE)]
    reduction_ratio: Annotated[float | None, Quantity("F80 over P80", of.RATIO, kinds=_CRUSHER)]
    capacity_t_h: Annotated[
        float | None, Quantity("dry solids it can take", of.RATE, kinds=_LOADED)
    ]
    load: Annotated[float | None, Quantity("feed over capacity", of.LOAD, kinds=_LOADED)]
    power_kw: Annotated[float | None, Quantity("power drawn", of.POWER, kinds=_DRIVEN)]
    installed_power_kw: Annotated[
        float | None, Quantity("power of its motor", of.POWER, kinds=_DRIVEN)
    ]
    power_use: Annotated[
        float | None, Quantity("power drawn over power installed", of.LOAD, kinds=_DRIVEN)
    ]
    recirculating_load: Annotated[
        float,
        Quantity(
            "what reaches it a second or later time over what reaches its loop for the first",
            of.RECIRCULATION,
        ),
    ]
    decks: tuple[DeckResult, ...]
    checks: tuple[Check, ...]
    cautions: Texts
    sources: Annotated[tuple[str, ...], Told.STATED]
    drive: Annotated[DriveResult | None, _DRIVEN] = None
    wear: Annotated[WearResult | None, _CRUSHER] = None
    storage: Annotated[StorageResult | None, STORES] = None
    belt: Annotated[BeltResult | None, ("conveyor",)] = None
    setting: Annotated[SettingPosition | None, _CRUSHER] = None
    breakage: Annotated[BreakageResult | None, _CRUSHER] = None
    moisture: Annotated[MoistureResult | None, _CRUSHER] = None


class LoopResult(Frozen):
    """A closed circuit: the machines in it and what recirculates."""

    machines: Annotated[tuple[str, ...], Told.KEY]
    fresh_feed_t_h: Annotated[float, Quantity("what enters it from outside", of.RATE)]
    recirculating_t_h: Annotated[
        float, Quantity("what comes back to the machine to which most does", of.RATE)
    ]
    recirculating_load: Annotated[
        float, Quantity("what comes back over what enters from outside", of.RECIRCULATION)
    ]


class BandVerdict(Frozen):
    """A product's grading against one specification, sieve by sieve (coarse to fine)."""

    name: Key
    about: Stated
    source: Stated
    sizes_mm: Annotated[tuple[float, ...], Told.STATED]
    low: Annotated[tuple[float, ...], Told.STATED]
    high: Annotated[tuple[float, ...], Told.STATED]
    passing: Annotated[
        tuple[float, ...],
        Quantity("share finer than a size", of.PASSING, ask="", sizes="sizes_mm"),
    ]
    met: Annotated[bool, Told.VERDICT]
    worst_size_mm: Annotated[float | None, Quantity("sieve with the least margin", of.SIZE, ask="")]
    worst_margin: Annotated[
        float,
        Quantity("share inside (+) or outside (-) the nearest limit there", of.PASSING, ask=""),
    ]


class FlakinessFraction(Frozen):
    """Flakiness of one sieve fraction of a product, as EN 933-3 measures it."""

    upper_mm: Annotated[float, Told.KEY]
    lower_mm: Annotated[float, Told.KEY]
    share: Annotated[
        float, Quantity("share of the mass from 4 mm to 100 mm", of.SHAPE, "share of mass", ask="")
    ]
    flakiness: Annotated[float, Quantity("share of flaky pieces", of.SHAPE, ask="")]


class ElongationFraction(Frozen):
    """Flat and elongated pieces in one sieve fraction of a product, as ASTM D4791 counts them."""

    upper_mm: Annotated[float, Told.KEY]
    lower_mm: Annotated[float, Told.KEY]
    share: Annotated[
        float,
        Quantity("share of the mass from 4.75 mm to 100 mm", of.SHAPE, "share of mass", ask=""),
    ]
    flat_elongated: Annotated[
        float, Quantity("share of flat and elongated pieces", of.SHAPE, ask="")
    ]


class ProductResult(Frozen):
    tag: Key
    title: Stated
    rate_t_h: Rate
    share_of_feed: ShareOfFeed
    passing: Passing
    p80_mm: P80
    p50_mm: P50
    moisture: Moisture
    fineness_modulus: Annotated[
        float | None,
        Quantity("what the standard sieves retain, over 100 (ASTM C136, EN 12620)", of.RATIO),
    ]
    # (size mm, fraction passing) on the solver's grid
    curve: Annotated[tuple[tuple[float, float], ...], Told.DERIVED]
    bands: tuple[BandVerdict, ...]
    per_year_t_y: PerYear = None
    flakiness: Flakiness = None
    flakiness_by_fraction: tuple[FlakinessFraction, ...] = ()
    flat_elongated: FlatElongated = None
    flat_elongated_by_fraction: tuple[ElongationFraction, ...] = ()


class RequirementResult(Frozen):
    text: Key
    met: Annotated[bool, Told.VERDICT]
    value: Annotated[
        float | None,
        Quantity("what is held against the limits, in the requirement's unit", of.MARGIN, ask=""),
    ]
    margin: Annotated[
        float, Quantity("how far inside (+) or outside (-) its limits", of.MARGIN, ask="")
    ]
    unit: Key
    value_text: Derived  # "118.4 t/h", "worst at 12.5 mm: 22.1 % passing, 25 % to 60 % wanted"
    limit_text: Derived  # ">= 120 t/h"
    margin_text: Derived  # "-1.6 t/h (-1.3 %)"
    file: Annotated[str, Told.PLACE]
    line: Annotated[int, Told.PLACE]


class FeedResult(Frozen):
    tag: Key
    material: Stated
    rate_t_h: Rate
    share_of_feed: ShareOfFeed
    passing: Passing
    p80_mm: P80
    p50_mm: P50
    moisture: Moisture
    flakiness: Flakiness = None
    flat_elongated: FlatElongated = None


class Warning(Frozen):
    """A trade warning from rating: not an error, the documents are still issued."""

    code: Key
    subject: Key  # tag of a machine, "tag.deck", tag of a product, text of a requirement
    text: Derived
    help: Derived
    file: Annotated[str, Told.PLACE]
    line: Annotated[int, Told.PLACE]
    column: Annotated[int, Told.PLACE]


class Closure(Frozen):
    """How well the balance closes."""

    # A power of ten, no finer than 1e-12
    worst: Annotated[
        float,
        Quantity("largest error of a size class, of plant feed", of.SOLVER, "closure", ask=""),
    ]
    iterations: Annotated[int, Quantity("iterations on what depends on load", of.SOLVER, ask="")]


class WaterResult(Frozen):
    """The plant's water: what comes with the feeds and what is added leaves with the products."""

    with_feeds_t_h: Annotated[
        float,
        Quantity(
            "water that comes with the feeds", of.WATER, "water with feeds", "water_with_feeds"
        ),
    ]
    added_t_h: Annotated[
        float,
        Quantity("water added by sprays and classifiers", of.WATER, "water added", "water_added"),
    ]
    with_products_t_h: Annotated[
        float,
        Quantity(
            "water that leaves with the products",
            of.WATER,
            "water with products",
            "water_with_products",
        ),
    ]


class DustResult(Frozen):
    """Dust raised by one source: uncontrolled, and controlled by wet suppression."""

    source: Key  # tag of a machine, or name of a stream
    operation: Annotated[str, Told.VERDICT]  # "tertiary crushing", "fines screening", "transfer"
    upper_limit: Annotated[bool, Told.DERIVED]  # those of a dustier operation stand in
    rate_t_h: Annotated[float, Quantity("dry solids that raise it", of.RATE, ask="")]
    pm_kg_h: Annotated[float, Quantity("dust, uncontrolled", of.DUST, "dust", ask="")]
    pm_controlled_kg_h: Annotated[
        float, Quantity("dust, wet suppression", of.OF_DUST, "dust controlled", ask="")
    ]
    pm10_kg_h: Annotated[
        float, Quantity("dust to 10 um, uncontrolled", of.OF_DUST, "dust to 10 um", ask="")
    ]
    pm10_controlled_kg_h: Annotated[
        float,
        Quantity("dust to 10 um, wet suppression", of.OF_DUST, "dust to 10 um controlled", ask=""),
    ]


class SourceRecord(Frozen):
    """A file the plant was read from: its name as shown, and the SHA-256 of its text."""

    name: str
    sha256: str


class Provenance(Frozen):
    """What the results were made from: enough to make them again."""

    compiler_version: str
    library_version: str  # of the standard library
    edition: int  # of the language
    content_sha256: str  # of all sources together
    sources: tuple[SourceRecord, ...]  # by name


class Results(Frozen):
    format_version: Annotated[int, Told.PLACE] = FORMAT_VERSION
    compiler_version: Annotated[str, Told.PLACE]
    title: Stated
    revision: Stated
    source_file: Annotated[str, Told.PLACE]
    sieves_mm: Annotated[tuple[float, ...], Told.STATED]
    feeds: tuple[FeedResult, ...]
    streams: tuple[StreamResult, ...]
    machines: tuple[MachineResult, ...]
    products: tuple[ProductResult, ...]
    loops: tuple[LoopResult, ...]
    requirements: tuple[RequirementResult, ...]
    warnings: tuple[Warning, ...]
    closure: Closure
    feed_t_h: Annotated[float, Quantity("dry solids that enter the plant", of.RATE, ask="rate")]
    power_kw: Annotated[float, Quantity("power drawn by crushers and conveyors", of.POWER)]
    installed_power_kw: Annotated[
        float, Quantity("power of the motors that the classes state", of.POWER)
    ]
    energy_kwh_t: Annotated[float, Quantity("power drawn for a tonne of plant feed", of.ENERGY)]
    cautions: Texts  # that hold for the whole plant
    assumptions: Texts
    pm_kg_h: Annotated[
        float, Quantity("dust of all sources, uncontrolled", of.DUST, "dust", ask="dust")
    ]
    pm_controlled_kg_h: Annotated[
        float,
        Quantity(
            "dust of all sources, wet suppression", of.DUST, "dust controlled", "dust_controlled"
        ),
    ]
    per_year_t_y: PerYear = None  # of feed
    water: WaterResult | None = None
    dust: tuple[DustResult, ...] = ()
    hours_per_year: Annotated[float | None, Told.STATED] = None
    plant: Annotated[Plant | None, Told.STATED] = None  # all that was stated, classes' words too
    provenance: Annotated[Provenance | None, Told.PLACE] = None
