"""The results document: the one thing every backend reads, and Hoggin's versioned JSON format.

Every number is declared here, once, by a call of its family; every other field says by `Told`
what it holds. Nothing else lists results: see `schema.quantity`. Fractions are 0 to 1 (a backend
shows per cent), numbers are kept to nine significant digits. Lists are in the plant's order, which
is that of the flow. Generate the JSON schema with `Results.model_json_schema()`.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import GetJsonSchemaHandler
from pydantic_core import CoreSchema

from hoggin.schema import frozen
from hoggin.schema import quantity as of
from hoggin.schema.declared import results_of
from hoggin.schema.kinds import CLASS_KINDS, DRIVEN, KINDS, STORES, kinds_with
from hoggin.schema.plant import Plant, Project
from hoggin.schema.quantity import Told

FORMAT_VERSION = 4
Verdict = Literal["ok", "watch", "over"]  # within limits, near or outside good practice, beyond
Judgement = Literal["met", "not met", "not judged"]  # the last downstream of an overload

Key = Annotated[str, Told.KEY]
Stated = Annotated[str, Told.STATED]
Text = Annotated[str, Told.TEXT]
Texts = Annotated[tuple[str, ...], Told.TEXT]
Derived = Annotated[str, Told.DERIVED]

_PILE = ("stockpile",)
_DIVIDING = ("splitter", *STORES)
_CRUSHER = kinds_with("breakage")
_LOADED = tuple(kind.name for kind in KINDS.values() if "capacity" in kind.models)
_SLURRY = tuple(kind.name for kind in KINDS.values() if kind.slurry)
_TAKING = tuple(dict.fromkeys((*_LOADED, *DRIVEN, "pump", "thickener")))
_STOPPING = tuple(kind.name for kind in KINDS.values() if kind.beside and kind.needs)
_DUSTY = (*_CRUSHER, "screen", "stream")

Moisture = Annotated[float | None, of.SHARE("water over dry solids; none if nothing flows")]
Solids = Annotated[float | None, of.OF_SHARE("dry solids over the mass of solids and water")]
WaterRate = Annotated[float, of.WATER("water per hour")]
Flakiness = Annotated[
    float | None, of.SHAPE("share of flaky pieces, of the sizes 4 mm to 100 mm (EN 933-3)")
]
FlatElongated = Annotated[
    float | None,
    of.SHAPE(
        "share of flat and elongated pieces, 4.75 mm to 100 mm (ASTM D4791)",
        label="flat and elongated",
    ),
]
P80 = Annotated[
    float | None, of.SIZE("size that 80 % passes; none below the finest sieve", label="P80")
]
P50 = Annotated[float | None, of.SIZE("size that 50 % passes", label="P50")]
Rate = Annotated[float, of.RATE("dry solids per hour")]
ShareOfFeed = Annotated[
    float, of.OF_RATE("rate over the plant's feed", label="share of feed", ask="share")
]
Passing = Annotated[
    tuple[float, ...], of.PASSING("share finer than a size: `passing(4 mm)`", sizes="sieves_mm")
]
VoidBy = Annotated[tuple[str, ...], Told.MARK]
"""The overloaded machines that a part of the plant is downstream of: its numbers are void."""
PerYear = Annotated[
    float | None,
    of.YEARLY("dry tonnes in the hours per year that the plant states", ask="per_year"),
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


class Listed(Frozen):
    """What documents call a feed, machine or product. Its tag is its name, which routes use; its
    item tag is the site's own."""

    tag: Key
    title: Stated = ""
    item_tag: Stated = ""
    sheet: Stated = ""  # of the drawing
    notes: Annotated[tuple[str, ...], Told.STATED] = ()

    @property
    def shown_tag(self) -> str:
        """The tag that documents lead with."""
        return self.item_tag or self.tag


class StreamResult(Frozen):
    """One stream of the mass balance (dry solids). Streams are numbered in the order of the flow,
    and every document has the same numbers."""

    number: Key
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
    water_m3_h: WaterRate = 0.0
    solids: Solids = None
    slurry_m3_h: Annotated[
        float | None,
        of.WATER("solids and water, where the water fills the voids of the rock", label="slurry"),
    ] = None
    pulp_density_t_m3: Annotated[
        float | None, of.WATER("mass over volume of the slurry", label="pulp density")
    ] = None
    flakiness: Flakiness = None
    flat_elongated: FlatElongated = None
    void_by: VoidBy = ()


WaterKind = Literal["make-up", "spray", "dilution", "return"]


class WaterStreamResult(Frozen):
    """Water by itself: what is put on a deck or into a machine, what thickeners give back, and the
    fresh water that makes up the difference. All run from or into the process water. They are
    numbered in an order of their own, from W1."""

    number: Key
    source: Key  # tag of a thickener, "process water", "fresh water"
    target: Key  # tag of a machine, "tag.deck", "process water"
    kind: Annotated[WaterKind, Told.KEY]
    water_m3_h: Annotated[float, of.WATER("water per hour", ask="")]


class Check(Frozen):
    """One limit checked on a machine or deck, in trade terms."""

    name: Key  # "load", "reduction ratio", "feed opening", "installed power", "bed depth" ...
    verdict: Annotated[Verdict, Told.VERDICT]
    text: Derived  # "load 112 % of 310 t/h capacity"
    value: Annotated[float, of.MARGIN("value compared with the limit", ask="")]
    limit: Annotated[float | None, of.MARGIN("the limit", ask="")]
    unit: Key  # "%", "mm", "kW", ""
    code: Annotated[str | None, Told.DERIVED]  # diagnostic code when not ok, e.g. "W0503"
    fit: Derived = ""  # what would do where it is over: "`head: 1150 mm` or `count 2`"


class DeckResult(Frozen):
    name: Key
    aperture_mm: Annotated[float, Told.STATED]
    shape: Stated
    feed_t_h: Annotated[float, of.RATE("dry solids fed to the deck", ask="rate")]
    oversize_t_h: Annotated[float, of.RATE("rate that stays on the deck")]
    undersize_t_h: Annotated[float, of.RATE("rate that passes the deck")]
    cut_size_mm: Annotated[float, of.SIZE("size of which half passes, d50")]
    undersize_efficiency: Annotated[
        float | None,
        of.LOAD(
            "share of the undersize fed that passes; none if there is no undersize",
            called="efficiency",
        ),
    ]
    near_size: Annotated[
        float | None, of.LOAD("share of the feed between 0.75 and 1.25 of the aperture")
    ]
    area_m2: Annotated[float, of.DIMENSION("area fitted", stated=True)]
    area_needed_m2: Annotated[
        float | None, of.DIMENSION("area needed: the larger of that by tables and by partition")
    ]
    area_use: Annotated[float | None, of.LOAD("area needed over area fitted")]
    bed_depth_mm: Annotated[float | None, of.DIMENSION("depth of rock at the discharge")]
    checks: tuple[Check, ...]
    area_by_tables_m2: Annotated[
        float | None, of.DIMENSION("area needed by the class's model of area")
    ] = None
    area_by_partition_m2: Annotated[
        float | None, of.DIMENSION("area at which the wanted share of the undersize passes")
    ] = None
    slot_ratio: Annotated[float | None, Told.STATED] = None  # length of a slot over its width


class SettingResult(Frozen):
    name: Key
    text: Stated


class DriveResult(Frozen):
    """The power of a machine's drive, and its motor."""

    energy_kwh_t: Annotated[
        float | None, of.ENERGY("power drawn over the machine's own feed", called="specific energy")
    ]
    energy_of_plant_feed_kwh_t: Annotated[float, of.ENERGY("power drawn over the plant's feed")]
    motor_margin: Annotated[float, Told.STATED]  # for starting and peaks, over the drawn power
    motor_kw: Annotated[
        float | None,
        of.DIMENSION("motor: the class's, else the next of the series, with its margin"),
    ]
    demand_kw: Annotated[
        float | None,
        of.POWER("electrical power it takes from the supply", "electrical demand", "demand"),
    ]


class LinerCost(Frozen):
    """What liners cost, in the plant's currency. A set is bought whole, and its wear share is worn
    off; where the class states no such share, the metal worn off is priced alone."""

    currency: Stated
    price_money_kg: Annotated[float, of.WEAR("price of liner metal", called="liner price")]
    cost_money_t: Annotated[
        float,
        of.WEAR(
            "price of liner metal per tonne of its own feed",
            label="liner cost per tonne",
            ask="liner_cost",
        ),
    ]
    cost_of_plant_feed_money_t: Annotated[
        float,
        of.WEAR(
            "price of liner metal per tonne of plant feed",
            label="liner cost per tonne of plant feed",
            ask="liner_cost_of_plant_feed",
        ),
    ]
    cost_money_h: Annotated[
        float, of.WEAR("price of liner metal per hour", called="liner cost per hour")
    ]
    set_price_money: Annotated[
        float | None,
        of.WEAR("price of one set of liners, metal only", "price of a set", "liner_set_price"),
    ]


class WearResult(Frozen):
    """Liner metal worn off a crusher, from the abrasion index of its feed."""

    abrasion_index: Annotated[float, of.WEAR("abrasion index of its feed")]
    net_energy_kwh_t: Annotated[float, of.ENERGY("energy of breaking, without losses")]
    metal_g_kwh: Annotated[
        float, of.WEAR("liner metal worn off per net energy", ask="metal_of_energy")
    ]
    metal_g_t: Annotated[
        float, of.WEAR("liner metal worn off per tonne of its own feed", called="liner metal")
    ]
    liner_mass_t: Annotated[float | None, of.WEAR("metal of a set of liners")]
    liner_wear_share: Annotated[
        float | None, of.LOAD("share of the liners' metal that may wear off")
    ]
    life_h: Annotated[float | None, of.WEAR("hours until the liners are worn", called="liner life")]
    cost: LinerCost | None = None


class SettingPosition(Frozen):
    """The position of a cone's bowl or shaft, from the point where the liners touch."""

    css_mm: Annotated[float, Told.STATED]
    moves: Stated  # "bowl_up", "shaft_down", or "" where the class does not say
    travel_mm: Annotated[
        float,
        of.DIMENSION(
            "travel of bowl or shaft from the point where the liners touch",
            label="travel of setting",
        ),
    ]
    # Turns of a threaded bowl: as a number, and as whole turns and the teeth beyond them.
    turns: Annotated[
        float | None, of.DIMENSION("turns of the bowl from the point where the liners touch")
    ] = None
    whole_turns: Annotated[int | None, Told.DERIVED] = None
    teeth: Annotated[int | None, Told.DERIVED] = None
    teeth_a_turn: Annotated[int | None, Told.STATED] = None
    css_a_tooth_mm: Annotated[float | None, of.DIMENSION("change of the setting by one tooth")] = (
        None
    )
    liner_set: Stated = ""


class StorageResult(Frozen):
    """A bin or stockpile. Height, angles and diameter are those of a cone."""

    height_m: Annotated[float | None, of.STORAGE("height of the pile", kinds=_PILE)]
    repose_deg: Annotated[float | None, of.STORAGE("angle of repose", kinds=_PILE)]
    drawdown_deg: Annotated[
        float | None, of.STORAGE("angle of the crater over the opening", kinds=_PILE)
    ]
    base_diameter_m: Annotated[float | None, of.STORAGE("diameter of the pile", kinds=_PILE)]
    volume_m3: Annotated[float | None, of.STORAGE("volume it holds")]
    held_t: Annotated[float | None, of.STORAGE("mass it holds")]
    live_share: Annotated[float | None, of.LOAD("live mass over mass held")]
    live_t: Annotated[
        float | None, of.STORAGE("mass that can be drawn without a machine on the pile")
    ]
    through_t_h: Annotated[float, of.RATE("dry solids that pass through")]
    surge_time_h: Annotated[float | None, of.STORAGE("live mass over the rate through it")]
    fill_time_h: Annotated[float | None, of.STORAGE("mass it holds over its feed rate")] = None


class BeltResult(Frozen):
    """A belt conveyor: its run, its load, and the pull that moves it."""

    length_m: Annotated[float, of.DIMENSION("length of the conveyor")]
    lift_m: Annotated[float, of.DIMENSION("height of lift")]
    slope_deg: Annotated[float, of.DIMENSION("slope of the belt")]
    travel_speed_m_s: Annotated[float, of.DIMENSION("speed of the belt")]
    # None where the class's capacity does not follow from a trough
    width_mm: Annotated[float | None, of.DIMENSION("width of the belt")]
    section_m2: Annotated[float | None, of.DIMENSION("section of rock on the full belt, level")]
    slope_factor: Annotated[float | None, of.RATIO("section on the slope over section when level")]
    rock_kg_m: Annotated[
        float, of.DIMENSION("mass of rock on the belt, with its water", ask="rock_on_belt")
    ]
    secondary_coefficient: Annotated[float, of.RATIO("coefficient C of ISO 5048")]
    pull_n: Annotated[float, of.POWER("pull at the drive pulley")]


class SlurryResult(Frozen):
    """The slurry in a sump, pump, classifier or thickener, with the water that is added there."""

    flow_m3_h: Annotated[float, of.WATER("flow of slurry")]
    density_t_m3: Annotated[float | None, of.WATER("density of the slurry", "slurry density")]
    solids_share: Annotated[float | None, of.SHARE("share of solids by mass")]
    flow_use: Annotated[
        float | None, of.LOAD("flow over the largest flow of the pump", kinds=("pump",))
    ]
    residence_h: Annotated[
        float | None, of.STORAGE("volume of a sump over the flow", kinds=("sump",))
    ]
    head_m: Annotated[float | None, of.DIMENSION("head that a pump works against", kinds=("pump",))]


class ThickenerResult(Frozen):
    """A thickener's surface, and its outflows."""

    surface_m2: Annotated[float, of.DIMENSION("surface of the pool")]
    surface_needed_m2: Annotated[
        float | None, of.DIMENSION("surface needed for settling and for the rising water")
    ]
    surface_use: Annotated[float | None, of.LOAD("surface needed over surface of the pool")]
    overflow_m3_h: Annotated[float, of.WATER("water that overflows")]
    underflow_solids: Annotated[float | None, of.SHARE("share of solids by mass in the underflow")]
    water_reused_m3_h: Annotated[
        float, of.WATER("water of the overflow that returns to the sprays")
    ]


class RinseResult(Frozen):
    """The water of a screen that works wet."""

    water_m3_h: Annotated[float, of.WATER("water on the screen: of its feed and of its sprays")]
    water_needed_m3_h: Annotated[float, of.WATER("water that wet screening takes")]
    water_share: Annotated[
        float | None, of.LOAD("water on the screen over the water that wet screening takes")
    ]


class ClassifierResult(Frozen):
    """What a classifier can do under its flow. Speed and pressure are those of each."""

    stated_cut_mm: Annotated[float, Told.STATED]  # that the balance takes
    cut_size_mm: Annotated[float | None, of.SIZE("size at which it cuts under its flow")]
    overflow_m3_h: Annotated[float, of.WATER("slurry that leaves with the fine product")]
    rise_speed_m_s: Annotated[
        float | None, of.DIMENSION("speed of the water that rises in the pool")
    ]
    surface_m2: Annotated[float | None, of.DIMENSION("surface of the pool")]
    surface_needed_m2: Annotated[
        float | None, of.DIMENSION("surface needed to settle the stated cut size")
    ]
    surface_use: Annotated[float | None, of.LOAD("surface needed over surface of the pool")]
    pressure_kpa: Annotated[
        float | None, of.DIMENSION("pressure drop that drives the flow through a cyclone")
    ]
    passes_m3_h: Annotated[
        float | None, of.WATER("slurry that a cyclone passes at its largest pressure drop")
    ]
    rim_speed_m_s: Annotated[float | None, Told.STATED]
    fastest_rim_m_s: Annotated[
        float | None, of.DIMENSION("speed above which a spiral's rim stirs up its fine sand")
    ]
    number_needed: Annotated[
        float | None, of.DIMENSION("machines of this size that its flow and sand need")
    ]


class TrampResult(Frozen):
    """Tramp metal at a crusher, magnet or detector. Of iron, what a magnet holds; of the rest, what
    none does. By the way that brings most: a piece may take any."""

    iron_mm: Annotated[float | None, of.SIZE("largest tramp iron of the feeds", ask="tramp_iron")]
    iron_share: Annotated[
        float | None, of.LOAD("share of the tramp iron pieces that may arrive", "iron arriving")
    ]
    other_mm: Annotated[
        float | None, of.SIZE("largest tramp metal that no magnet holds", ask="tramp_other")
    ]
    other_share: Annotated[
        float | None,
        of.LOAD("share of the pieces of other tramp metal that may arrive", "other arriving"),
    ]
    piece_every_h: Annotated[
        float | None, of.DIMENSION("mean time between two arriving pieces", ask="tramp_every")
    ]
    stop_every_h: Annotated[
        float | None,
        of.DIMENSION(
            "mean time between two stops of a detector for tramp", kinds=("metal_detector",)
        ),
    ]


class BreakageResult(Frozen):
    """A crusher's breakage with its feed, if it depends on the feed's F80 or rock."""

    follows_f80: Annotated[bool, Told.DERIVED]
    follows_rock: Annotated[bool, Told.DERIVED]
    f80_mm: Annotated[float, Told.DERIVED]
    k1_mm: Annotated[float, of.SIZE("size below which no piece is broken", label="K1")]
    k2_mm: Annotated[float, of.SIZE("size above which every piece is broken", label="K2")]
    t10: Annotated[float | None, of.RATIO("t10 of its feed")]


class RockShare(Frozen):
    """The part of one feed of the plant."""

    feed: Key
    share: Annotated[float, of.SHARE("share by mass of a feed", ask="")]


class RockResult(Frozen):
    """The rock that enters a crusher or product, in a plant with several feeds."""

    shares: tuple[RockShare, ...]
    solid_density_t_m3: Annotated[float, of.DIMENSION("density of the solid rock")]
    bulk_density_t_m3: Annotated[float, of.DIMENSION("density of the broken, loose rock")]
    work_index_kwh_t: Annotated[float, of.ENERGY("Bond's work index of the rock")]
    abrasion_index: Annotated[float | None, of.RATIO("Bond's abrasion index of the rock")]


class MoistureResult(Frozen):
    """The loss of a crusher's capacity by moisture, if its class states one."""

    moisture: Annotated[float, Told.DERIVED]  # that of its feed
    dry_capacity_t_h: Annotated[float, of.RATE("capacity for dry rock")]
    lost: Annotated[
        float,
        of.LOAD(
            "share of the dry capacity lost to moisture",
            label="capacity lost to moisture",
            ask="capacity_lost",
        ),
    ]


class DemandResult(Frozen):
    """The tonnages of outlets, and the rates they get."""

    asked_t_h: Annotated[float, of.RATE("tonnages of its outlets")]
    delivered_t_h: Annotated[float, of.RATE("rate that leaves by the outlets with a tonnage")]
    shortfall_t_h: Annotated[
        float, of.RATE("part of the tonnages of its outlets that does not arrive")
    ]


class MachineCost(Frozen):
    """What a machine costs at the plant's own prices, in its currency; none without a price."""

    energy_money_h: Annotated[
        float | None, of.COST("cost of the power drawn, per hour", called="energy cost per hour")
    ]
    liners_money_h: Annotated[float | None, of.COST("cost of its liners, per hour", ask="")]
    parts_money_h: Annotated[float | None, of.COST("cost of its other parts, per hour", ask="")]
    total_money_h: Annotated[
        float | None, of.COST("energy, liners and parts per hour", called="running cost per hour")
    ]
    budget_money: Annotated[
        float | None,
        of.COST("price of the machines; none of existing ones", ask="", stated=True),
    ]


class PlantCost(Frozen):
    """What the plant costs at its own prices, in its currency; without what has no price."""

    currency: Stated
    energy_money_h: Annotated[
        float | None, of.COST("cost of the power drawn, per hour", called="energy cost per hour")
    ]
    liners_money_h: Annotated[
        float | None, of.COST("cost of liners, per hour", called="liners cost per hour")
    ]
    parts_money_h: Annotated[
        float | None, of.COST("cost of other wear parts, per hour", called="parts cost per hour")
    ]
    labour_money_h: Annotated[
        float | None,
        of.COST("cost of all who run it, per hour", called="labour cost per hour", stated=True),
    ]
    total_money_h: Annotated[
        float | None, of.COST("all of these, per hour", called="running cost per hour")
    ]
    total_money_t: Annotated[
        float | None, of.COST("all of these, per tonne of plant feed", called="running cost")
    ]
    budget_money: Annotated[
        float | None, of.COST("prices of its machines", called="budget", stated=True)
    ]
    unpriced: Texts  # "screening media of sizing"


class MachineResult(Listed):
    """One line of the equipment schedule: a machine, or `count` equal ones in parallel. Then rates,
    capacity, power, costs and areas of decks are of all of them; loads are of each, and so is what
    a single machine is fitted with or does: its motor, liners and their life, bed depth, pull."""

    kind: Key
    class_name: Stated
    about: Stated
    settings: tuple[SettingResult, ...]
    traits: Annotated[dict[str, str], Told.STATED]
    feed_t_h: Annotated[float, of.RATE("dry solids fed to it", ask="rate")]
    f80_mm: Annotated[
        float | None, of.SIZE("size that 80 % of its feed passes", label="F80", kinds=_CRUSHER)
    ]
    p80_mm: Annotated[
        float | None, of.SIZE("size that 80 % of its product passes", label="P80", kinds=_CRUSHER)
    ]
    top_size_mm: Annotated[float | None, of.SIZE("size that 98 % of its feed passes")]
    moisture_of_feed: Annotated[float | None, of.SHARE("water over dry solids in its feed")]
    clay_of_feed: Annotated[float, of.SHARE("clay over dry solids in its feed")]
    reduction_ratio: Annotated[float | None, of.RATIO("F80 over P80", kinds=_CRUSHER)]
    capacity_t_h: Annotated[
        float | None, of.RATE("dry solids it can take; of a classifier rake", kinds=_LOADED)
    ]
    load: Annotated[
        float | None, of.LOAD("feed over capacity; of a classifier what it rakes", kinds=_LOADED)
    ]
    power_kw: Annotated[float | None, of.POWER("power drawn", kinds=DRIVEN)]
    installed_power_kw: Annotated[
        float | None, of.POWER("power of its motor", kinds=DRIVEN, stated=True)
    ]
    power_use: Annotated[float | None, of.LOAD("power drawn over power installed", kinds=DRIVEN)]
    recirculating_load: Annotated[
        float,
        of.RECIRCULATION(
            "rate that reaches it for a second or later time over the fresh feed of its loop"
        ),
    ]
    decks: tuple[DeckResult, ...]
    checks: tuple[Check, ...]
    cautions: Texts
    sources: Annotated[tuple[str, ...], Told.STATED]
    drive: Annotated[DriveResult | None, DRIVEN] = None
    wear: Annotated[WearResult | None, _CRUSHER] = None
    storage: Annotated[StorageResult | None, STORES] = None
    belt: Annotated[BeltResult | None, ("conveyor",)] = None
    setting: Annotated[SettingPosition | None, _CRUSHER] = None
    breakage: Annotated[BreakageResult | None, _CRUSHER] = None
    moisture: Annotated[MoistureResult | None, _CRUSHER] = None
    rock: Annotated[RockResult | None, _CRUSHER] = None
    demand: Annotated[DemandResult | None, _DIVIDING] = None
    slurry: Annotated[SlurryResult | None, _SLURRY] = None
    thickener: Annotated[ThickenerResult | None, ("thickener",)] = None
    rinse: Annotated[RinseResult | None, ("screen",)] = None
    classifier: Annotated[ClassifierResult | None, ("classifier",)] = None
    tramp: Annotated[TrampResult | None, (*_CRUSHER, *_STOPPING)] = None
    existing: Annotated[bool, Told.STATED] = False  # it stands already, and is not bought
    count: Annotated[
        int, of.COUNT("equal machines in parallel", kinds=CLASS_KINDS, stated=True)
    ] = 1
    void_by: VoidBy = ()
    cost: Annotated[MachineCost | None, DRIVEN] = None
    utilization: Annotated[
        float | None,
        of.OF_SHARE(
            "largest of its load and the use of its power, flow and surface; overloaded over 100 %",
            label="utilization",
            kinds=_TAKING,
        ),
    ] = None


class LoopResult(Frozen):
    """A closed circuit: its machines and what recirculates."""

    machines: Annotated[tuple[str, ...], Told.KEY]
    fresh_feed_t_h: Annotated[float, of.RATE("rate that enters it from outside")]
    recirculating_t_h: Annotated[float, of.RATE("largest rate that returns to one of its machines")]
    recirculating_load: Annotated[
        float, of.RECIRCULATION("rate that returns over rate that enters from outside")
    ]
    runs_away_at: Annotated[
        float | None,
        of.RATIO("times this feed at which it runs away; without a value where that is not near"),
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
        tuple[float, ...], of.PASSING("share finer than a size", ask="", sizes="sizes_mm")
    ]
    verdict: Annotated[Judgement, Told.VERDICT]
    worst_size_mm: Annotated[float | None, of.SIZE("sieve with the smallest margin", ask="")]
    worst_margin: Annotated[
        float, of.PASSING("share inside (+) or outside (-) the nearest limit on that sieve", ask="")
    ]

    @property
    def met(self) -> bool:
        return self.verdict == "met"


class FlakinessFraction(Frozen):
    """Flakiness of one sieve fraction of a product, as EN 933-3 measures it."""

    upper_mm: Annotated[float, Told.KEY]
    lower_mm: Annotated[float, Told.KEY]
    share: Annotated[
        float, of.SHAPE("share of the mass from 4 mm to 100 mm", "share of mass", ask="")
    ]
    flakiness: Annotated[float, of.SHAPE("share of flaky pieces", ask="")]


class ElongationFraction(Frozen):
    """Flat and elongated pieces in one sieve fraction of a product, as ASTM D4791 counts them."""

    upper_mm: Annotated[float, Told.KEY]
    lower_mm: Annotated[float, Told.KEY]
    share: Annotated[
        float, of.SHAPE("share of the mass from 4.75 mm to 100 mm", "share of mass", ask="")
    ]
    flat_elongated: Annotated[float, of.SHAPE("share of flat and elongated pieces", ask="")]


class ProductResult(Listed):
    rate_t_h: Rate
    share_of_feed: ShareOfFeed
    passing: Passing
    p80_mm: P80
    p50_mm: P50
    moisture: Moisture
    fineness_modulus: Annotated[
        float | None,
        of.RATIO(
            "cumulative per cent retained on the standard sieves, over 100 (ASTM C136, EN 12620)"
        ),
    ]
    # (size mm, fraction passing) on the solver's grid
    curve: Annotated[tuple[tuple[float, float], ...], Told.DERIVED]
    bands: tuple[BandVerdict, ...]
    per_year_t_y: PerYear = None
    water_m3_h: WaterRate = 0.0
    solids: Solids = None
    rock: RockResult | None = None
    flakiness: Flakiness = None
    flakiness_by_fraction: tuple[FlakinessFraction, ...] = ()
    flat_elongated: FlatElongated = None
    flat_elongated_by_fraction: tuple[ElongationFraction, ...] = ()
    void_by: VoidBy = ()
    energy_kwh_t: Annotated[
        float | None, of.ENERGY("energy of the machines on its route, per tonne of it")
    ] = None
    cost_money_t: Annotated[
        float | None, of.COST("running cost per tonne of it", called="running cost")
    ] = None
    co2_kg_t: Annotated[
        float | None,
        of.CARBON("carbon dioxide of that energy, per tonne of it", label="CO2", ask="co2"),
    ] = None


class RequirementResult(Frozen):
    text: Key
    verdict: Annotated[Judgement, Told.VERDICT]
    value: Annotated[
        float | None,
        of.MARGIN("value compared with the limits, in the requirement's unit", ask=""),
    ]
    margin: Annotated[
        float | None,
        of.MARGIN("distance inside (+) or outside (-) its limits; none without a value", ask=""),
    ]
    unit: Key
    value_text: Derived  # "118.4 t/h", "worst at 12.5 mm: 22.1 % passing, 25 % to 60 % wanted"
    limit_text: Derived  # ">= 120 t/h"
    margin_text: Derived  # "-1.6 t/h (-1.3 %)"
    file: Annotated[str, Told.PLACE]
    line: Annotated[int, Told.PLACE]
    reason: Derived = ""  # why it is not judged

    @property
    def met(self) -> bool:
        return self.verdict == "met"


class FeedResult(Listed):
    material: Stated
    rate_t_h: Rate
    share_of_feed: ShareOfFeed
    passing: Passing
    p80_mm: P80
    p50_mm: P50
    moisture: Moisture
    clay: Annotated[float, of.SHARE("clay over dry solids")]
    per_year_t_y: PerYear = None
    water_m3_h: WaterRate = 0.0
    solids: Solids = None
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
    """How well the balance closes, and how exact it is."""

    # A power of ten, no finer than 1e-12
    worst: Annotated[
        float, of.SOLVER("largest error of a size class, of plant feed", "closure", ask="")
    ]
    iterations: Annotated[int, of.SOLVER("iterations on everything that depends on load", ask="")]
    # None where it can't be estimated, and in the results of studies
    flow_error: Annotated[
        float | None,
        of.SOLVER(
            "estimate of how far the rate of a stream may be from that of ever finer size classes, "
            "as a share of it; of streams above 0.1 % of plant feed",
            "flow error",
            ask="",
        ),
    ] = None


class WaterResult(Frozen):
    """The plant's water: inflow with the feeds and added water, outflow with the products."""

    with_feeds_m3_h: Annotated[
        float, of.WATER("water that enters with the feeds", called="water with feeds")
    ]
    added_m3_h: Annotated[
        float, of.WATER("water added by sprays and classifiers", called="water added")
    ]
    with_products_m3_h: Annotated[
        float, of.WATER("water that leaves with the products", called="water with products")
    ]
    reused_m3_h: Annotated[
        float, of.WATER("water that thickeners return to the sprays", called="water reused")
    ] = 0.0
    fresh_m3_h: Annotated[
        float, of.WATER("water added that is not reused", called="fresh water")
    ] = 0.0


class DustResult(Frozen):
    """Dust raised by one source: at its own moisture, and controlled, which is moist."""

    source: Key  # tag of a machine, or name of a stream
    operation: Annotated[str, Told.VERDICT]  # "tertiary crushing", "fines screening", "transfer"
    upper_limit: Annotated[bool, Told.DERIVED]  # by the factors of a dustier operation
    rate_t_h: Annotated[float, of.RATE("dry solids that raise it", ask="")]
    fines_t_h: Annotated[
        float | None, of.RATE("of these, by the factors of fines; none for a transfer", ask="")
    ]
    moisture: Annotated[float, of.SHARE("water over dry solids", ask="")]
    pm_kg_h: Annotated[float, of.DUST("dust, at its moisture", called="dust")]
    pm_controlled_kg_h: Annotated[
        float, of.OF_DUST("dust, wet suppression", called="dust controlled")
    ]
    pm10_kg_h: Annotated[
        float, of.OF_DUST("dust to 10 um, at its moisture", "dust to 10 um", "pm10")
    ]
    pm10_controlled_kg_h: Annotated[
        float,
        of.OF_DUST("dust to 10 um, wet suppression", "dust to 10 um controlled", "pm10_controlled"),
    ]
    pm25_controlled_kg_h: Annotated[
        float | None,
        of.OF_DUST(
            "dust to 2.5 um, wet suppression, but for fines screening",
            "dust to 2.5 um controlled",
            "pm25_controlled",
        ),
    ]


class SourceRecord(Frozen):
    """A file the plant was read from: its name as shown, and the SHA-256 of its text."""

    name: str
    sha256: str


class PackageRecord(Frozen):
    """A plug-in package: another package that the compiler used."""

    name: str
    version: str


class Provenance(Frozen):
    """The origin of the results: enough to reproduce them."""

    compiler_version: str
    library_version: str  # of the standard library
    edition: int  # of the language
    content_sha256: str  # of all sources together
    sources: tuple[SourceRecord, ...]  # by name
    plugins: tuple[PackageRecord, ...] = ()  # whose models, libraries or checks are used; by name


class Results(Frozen):
    format_version: Annotated[int, Told.PLACE] = FORMAT_VERSION
    compiler_version: Annotated[str, Told.PLACE]
    title: Stated
    revision: Stated
    project: Annotated[Project, Told.STATED]
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
    feed_t_h: Annotated[float, of.RATE("dry solids that enter the plant", ask="rate", stated=True)]
    power_kw: Annotated[float, of.POWER("power drawn by all machines")]
    installed_power_kw: Annotated[
        float, of.POWER("connected power: that of all motors", stated=True)
    ]
    demand_kw: Annotated[
        float, of.POWER("electrical power taken from the supply", "electrical demand", "demand")
    ]
    energy_kwh_t: Annotated[float, of.ENERGY("power drawn per tonne of plant feed")]
    cautions: Texts  # that hold for the whole plant
    assumptions: Texts
    pm_kg_h: Annotated[float, of.DUST("dust of all sources, at their moisture", called="dust")]
    pm_controlled_kg_h: Annotated[
        float, of.DUST("dust of all sources, wet suppression", called="dust controlled")
    ]
    pm10_kg_h: Annotated[
        float,
        of.OF_DUST("dust to 10 um of all sources, at their moisture", "dust to 10 um", "pm10"),
    ]
    pm10_controlled_kg_h: Annotated[
        float,
        of.OF_DUST(
            "dust to 10 um of all sources, wet suppression",
            "dust to 10 um controlled",
            "pm10_controlled",
        ),
    ]
    pm25_controlled_kg_h: Annotated[
        float,
        of.OF_DUST(
            "dust to 2.5 um of all sources with a factor for it, wet suppression",
            "dust to 2.5 um controlled",
            "pm25_controlled",
        ),
    ]
    per_year_t_y: Annotated[
        float | None,
        of.YEARLY(
            "dry tonnes fed in the hours per year that the plant states",
            ask="per_year",
            stated=True,
        ),
    ] = None
    water: WaterResult | None = None
    water_streams: tuple[WaterStreamResult, ...] = ()
    dust: Annotated[tuple[DustResult, ...], _DUSTY] = ()  # asked of each source
    running_h: Annotated[float | None, Told.DERIVED] = None  # of the year, at these rates
    plant: Annotated[Plant | None, Told.STATED] = None  # all that was stated, classes' words too
    provenance: Annotated[Provenance | None, Told.PLACE] = None
    # Machines that are fed more than they can take: what is downstream of them is void.
    overloaded: Annotated[tuple[str, ...], Told.VERDICT] = ()
    cost: PlantCost | None = None
    co2_kg_t: Annotated[
        float | None,
        of.CARBON("carbon dioxide of the energy, per tonne of plant feed", label="CO2", ask="co2"),
    ] = None

    @property
    def met(self) -> bool:
        """Whether the plant can run as balanced, and meets every requirement."""
        return not self.overloaded and all(one.met for one in self.requirements)
