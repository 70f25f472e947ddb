"""The results document: the one thing every backend reads, and Hoggin's versioned JSON format.

Fractions are 0 to 1 (a backend shows per cent). Numbers are full precision here; each backend
rounds for its reader. Lists are in a fixed order: feeds, machines and products as declared,
streams by their source's order. Generate its JSON schema with `Results.model_json_schema()`.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

from hoggin.schema.plant import Plant

FORMAT_VERSION = 1
Verdict = Literal["ok", "watch", "over"]  # within limits, near or outside good practice, beyond


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class StreamResult(_Frozen):
    """One stream of the mass balance (dry solids)."""

    name: str  # "sizing.top.over -> secondary"
    source: str  # tag
    outlet: str  # "" for a feed, "product", "top.over", "under" ...
    target: str  # tag of a machine or product
    rate_t_h: float
    share_of_feed: float
    passing: tuple[float, ...]  # at Results.sieves_mm
    p80_mm: float | None  # None for an empty stream, or P80 below the finest sieve
    p50_mm: float | None
    moisture: float  # water over dry solids
    recirculating: bool  # True on the streams that close a loop
    water_t_h: float = 0.0
    flakiness: float | None = None  # 4 mm to 100 mm; None where not known or nothing to test
    flat_elongated: float | None = None  # 4.75 mm to 100 mm; likewise


class Check(_Frozen):
    """One limit checked on a machine or deck, in the trade's words."""

    name: str  # "load", "reduction ratio", "feed opening", "installed power", "bed depth" ...
    verdict: Verdict
    text: str  # "load 112 % of 310 t/h capacity"
    value: float
    limit: float | None
    unit: str  # "%", "mm", "kW", ""
    code: str | None  # diagnostic code when not ok, e.g. "W0503"


class DeckResult(_Frozen):
    name: str
    aperture_mm: float
    shape: str
    feed_t_h: float
    oversize_t_h: float
    undersize_t_h: float
    cut_size_mm: float  # d50
    undersize_efficiency: float  # undersize recovered to the undersize stream, fraction
    near_size: float  # fraction of deck feed between 0.75 and 1.25 x aperture
    area_m2: float
    area_needed_m2: float | None
    area_use: float | None  # needed / fitted
    bed_depth_mm: float | None  # at the discharge end
    checks: tuple[Check, ...]
    area_by_karra_m2: float | None = None  # at which Karra's capacity is just used up
    slot_ratio: float | None = None  # length of a slot over its width, where it is stated


class SettingResult(_Frozen):
    name: str
    text: str


class DriveResult(_Frozen):
    """What a machine's drive takes, and the motor the common series would give it."""

    energy_kwh_t: float | None  # drawn power over the machine's own feed
    energy_of_plant_feed_kwh_t: float
    motor_margin: float  # over the drawn power, fraction
    motor_kw: float | None  # None where the series ends


class LinerCost(_Frozen):
    """What liners cost, in the plant's currency. A set is bought whole, and its wear share is worn
    off; where the class states no such share, the metal worn off is priced alone."""

    currency: str
    price_per_kg: float  # of liner metal
    per_t: float  # of the machine's own feed
    of_plant_feed_per_t: float
    per_h: float
    set_price: float | None  # of one change of liners, metal only


class WearResult(_Frozen):
    """Liner metal worn off a crusher, from the abrasion index of its feed."""

    abrasion_index: float
    net_energy_kwh_t: float  # Bond's, without losses
    metal_g_kwh: float  # of net energy
    metal_g_t: float  # of the machine's own feed
    liner_mass_t: float | None
    liner_wear_share: float | None  # of the mass, that may wear off
    life_h: float | None
    cost: LinerCost | None = None


class SettingPosition(_Frozen):
    """Where a cone's bowl or shaft stands, counted from the liners' touching."""

    css_mm: float
    moves: str  # "bowl_up", "shaft_down", or "" where the class does not say
    travel_mm: float  # along the crusher's axis
    turns: float | None = None  # of a threaded bowl
    whole_turns: int | None = None  # the same turns, to the nearest tooth ...
    teeth: int | None = None  # ... and the teeth beyond them
    teeth_a_turn: int | None = None
    css_a_tooth_mm: float | None = None
    liner_set: str = ""


class StorageResult(_Frozen):
    """A bin or stockpile. Height, angles and diameter are of a pile that is a cone."""

    height_m: float | None
    repose_deg: float | None
    drawdown_deg: float | None  # of the crater, where the live share follows from it
    base_diameter_m: float | None
    volume_m3: float | None
    held_t: float | None
    live_share: float | None  # of what is held
    live_t: float | None
    through_t_h: float
    surge_time_h: float | None  # live over what runs through


class BeltResult(_Frozen):
    """A belt conveyor: its run, its load, and the pull that moves it."""

    length_m: float
    lift_m: float
    slope_deg: float
    travel_speed_m_s: float
    width_mm: float | None  # None where the class's capacity does not follow from a trough
    section_m2: float | None  # of rock on the full belt, level
    slope_factor: float | None  # what the slope leaves of the section
    rock_kg_m: float  # with its water
    secondary_coefficient: float  # C of ISO 5048
    pull_n: float  # at the drive pulley


class BreakageResult(_Frozen):
    """A crusher's breakage under the feed it has, where it follows the feed's F80 or its rock."""

    follows_f80: bool
    follows_rock: bool
    f80_mm: float
    k1_mm: float  # below it no piece is broken
    k2_mm: float  # above it every piece is
    t10: float | None  # None for a model without it


class MoistureResult(_Frozen):
    """What moisture takes of a crusher's capacity, where its class states it."""

    moisture: float  # of its feed, water over dry solids
    dry_capacity_t_h: float
    lost: float  # share of the dry capacity


class MachineResult(_Frozen):
    """One line of the equipment schedule."""

    tag: str
    kind: str
    class_name: str
    about: str
    settings: tuple[SettingResult, ...]
    traits: dict[str, str]
    feed_t_h: float
    f80_mm: float | None
    p80_mm: float | None  # of the whole product (all outlets together for a screen)
    reduction_ratio: float | None  # F80 / P80
    capacity_t_h: float | None
    load: float | None  # feed / capacity
    power_kw: float | None  # drawn
    installed_power_kw: float | None
    decks: tuple[DeckResult, ...]
    checks: tuple[Check, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    drive: DriveResult | None = None
    wear: WearResult | None = None
    storage: StorageResult | None = None
    belt: BeltResult | None = None
    setting: SettingPosition | None = None
    breakage: BreakageResult | None = None
    moisture: MoistureResult | None = None


class LoopResult(_Frozen):
    """A closed circuit: the machines in it and what goes round."""

    machines: tuple[str, ...]
    fresh_feed_t_h: float
    recirculating_t_h: float
    recirculating_load: float  # recirculating / fresh feed


class BandVerdict(_Frozen):
    """A product's grading against one specification, sieve by sieve (coarse to fine)."""

    name: str
    about: str
    source: str
    sizes_mm: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    passing: tuple[float, ...]
    met: bool
    worst_size_mm: float | None
    worst_margin: float  # fraction passing inside (+) or outside (-) the nearest limit


class FlakinessFraction(_Frozen):
    """Flakiness of one sieve fraction of a product, as EN 933-3 measures it."""

    upper_mm: float
    lower_mm: float
    share: float  # of the product's mass from 4 mm to 100 mm
    flakiness: float  # mass of flaky particles over mass


class ElongationFraction(_Frozen):
    """Flat and elongated pieces in one sieve fraction of a product, as ASTM D4791 counts them."""

    upper_mm: float
    lower_mm: float
    share: float  # of the product's mass from 4.75 mm to 100 mm
    flat_elongated: float  # mass of flat and elongated pieces over mass


class ProductResult(_Frozen):
    tag: str
    title: str
    rate_t_h: float
    share_of_feed: float
    passing: tuple[float, ...]
    p80_mm: float | None
    fineness_modulus: float | None  # ASTM C136 / EN 12620 sense, from the ASTM sieves
    curve: tuple[tuple[float, float], ...]  # (size mm, fraction passing) on the solver's grid
    bands: tuple[BandVerdict, ...]
    flakiness: float | None = None
    flakiness_by_fraction: tuple[FlakinessFraction, ...] = ()
    flat_elongated: float | None = None
    flat_elongated_by_fraction: tuple[ElongationFraction, ...] = ()


class RequirementResult(_Frozen):
    text: str
    met: bool
    value_text: str  # "118.4 t/h", "worst at 12.5 mm: 22.1 % passing, 25 % to 60 % wanted"
    limit_text: str  # ">= 120 t/h"
    margin: float  # in the requirement's unit; negative when not met
    margin_text: str  # "-1.6 t/h (-1.3 %)"
    file: str
    line: int


class FeedResult(_Frozen):
    tag: str
    material: str
    rate_t_h: float
    passing: tuple[float, ...]
    p80_mm: float | None
    moisture: float
    flakiness: float | None = None
    flat_elongated: float | None = None


class Warning(_Frozen):
    """A trade warning from rating: not an error, the documents are still issued."""

    code: str
    text: str
    help: str
    file: str
    line: int
    column: int


class Closure(_Frozen):
    """How well the balance closes: the largest error of a size class is under `worst` of plant
    feed (a power of ten, no finer than 1e-12), after so many iterations on load."""

    worst: float
    iterations: int


class WaterResult(_Frozen):
    """The plant's water, t/h: what comes with the feeds and what is added leaves with the
    products."""

    with_feeds_t_h: float
    added_t_h: float
    with_products_t_h: float


class DustResult(_Frozen):
    """Dust raised by one source: uncontrolled, and controlled by wet suppression."""

    source: str  # tag of a machine, or name of a stream
    operation: str  # "tertiary crushing", "fines screening", "transfer" ...
    upper_limit: bool  # no factors of its own: those of a dustier operation stand in
    rate_t_h: float
    pm_kg_h: float
    pm_controlled_kg_h: float
    pm10_kg_h: float  # particles to 10 um
    pm10_controlled_kg_h: float


class SourceRecord(_Frozen):
    """A file the plant was read from: its name as shown, and the SHA-256 of its text."""

    name: str
    sha256: str


class Provenance(_Frozen):
    """What the results were made from: enough to make them again."""

    compiler_version: str
    library_version: str  # of the standard library
    edition: int  # of the language
    content_sha256: str  # of all sources together
    sources: tuple[SourceRecord, ...]  # by name


class Results(_Frozen):
    format_version: int = FORMAT_VERSION
    compiler_version: str
    title: str
    revision: str
    source_file: str
    sieves_mm: tuple[float, ...]
    feeds: tuple[FeedResult, ...]
    streams: tuple[StreamResult, ...]
    machines: tuple[MachineResult, ...]
    products: tuple[ProductResult, ...]
    loops: tuple[LoopResult, ...]
    requirements: tuple[RequirementResult, ...]
    warnings: tuple[Warning, ...]
    closure: Closure
    feed_t_h: float
    power_kw: float  # all crushers and conveyors
    energy_kwh_t: float
    cautions: tuple[str, ...]  # that hold for the whole plant
    assumptions: tuple[str, ...]
    water: WaterResult | None = None
    dust: tuple[DustResult, ...] = ()
    hours_per_year: float | None = None  # as the plant states them
    plant: Plant | None = None  # as checked: all that was stated, and every class's words
    provenance: Provenance | None = None
