"""The results document: the one thing every backend reads, and Hoggin's versioned JSON format.

Every number is declared here, once, by a call of its family; every other field says by `Nature`
what it holds. Nothing else lists results: see `schema.quantity`. Fractions are 0 to 1 (a backend
shows per cent), numbers are kept to nine significant digits. Lists are in the plant's order, which
is that of the flow. Generate the JSON schema with `Results.model_json_schema()`.
"""

from __future__ import annotations

from typing import Annotated

from hoggin.schema import quantity as of
from hoggin.schema.plant import Plant, Project
from hoggin.schema.quantity import Nature
from hoggin.schema.results.common import (
    Check,
    Derived,
    Frozen,
    Judgement,
    Key,
    Listed,
    RockResult,
    RockShare,
    Stated,
    Texts,
    Verdict,
)
from hoggin.schema.results.crushing import (
    BreakageResult,
    MoistureResult,
    SettingPosition,
    TrampResult,
)
from hoggin.schema.results.drives import DriveResult, LinerCost, MachineCost, WearResult
from hoggin.schema.results.handling import (
    BeltResult,
    ClassifierResult,
    DemandResult,
    RinseResult,
    SlurryResult,
    StorageResult,
    ThickenerResult,
)
from hoggin.schema.results.machines import CRUSHING, DeckResult, MachineResult, SettingResult
from hoggin.schema.results.products import (
    BandVerdict,
    ElongationFraction,
    FlakinessFraction,
    ProductResult,
    RequirementResult,
)
from hoggin.schema.results.streams import FeedResult, StreamResult, WaterKind, WaterStreamResult

FORMAT_VERSION = 4
_DUSTY = (*CRUSHING, "screen", "stream")


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


class LoopResult(Frozen):
    """A closed circuit: its machines and what recirculates."""

    machines: Annotated[tuple[str, ...], Nature.KEY]
    fresh_feed_t_h: Annotated[float, of.RATE("rate that enters it from outside")]
    recirculating_t_h: Annotated[float, of.RATE("largest rate that returns to one of its machines")]
    recirculating_load: Annotated[
        float, of.RECIRCULATION("rate that returns over rate that enters from outside")
    ]
    runs_away_at: Annotated[
        float | None,
        of.RATIO("times this feed at which it runs away; without a value where that is not near"),
    ]


class Warning(Frozen):
    """A trade warning from rating: not an error, the documents are still issued."""

    code: Key
    subject: Key  # tag of a machine, "tag.deck", tag of a product, text of a requirement
    text: Derived
    help: Derived
    file: Annotated[str, Nature.PLACE]
    line: Annotated[int, Nature.PLACE]
    column: Annotated[int, Nature.PLACE]


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
    operation: Annotated[str, Nature.VERDICT]  # "tertiary crushing", "fines screening", "transfer"
    upper_limit: Annotated[bool, Nature.DERIVED]  # by the factors of a dustier operation
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
    format_version: Annotated[int, Nature.PLACE] = FORMAT_VERSION
    compiler_version: Annotated[str, Nature.PLACE]
    title: Stated
    revision: Stated
    project: Annotated[Project, Nature.STATED]
    source_file: Annotated[str, Nature.PLACE]
    sieves_mm: Annotated[tuple[float, ...], Nature.STATED]
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
    running_h: Annotated[float | None, Nature.DERIVED] = None  # of the year, at these rates
    plant: Annotated[Plant | None, Nature.STATED] = None  # all that was stated, classes' words too
    provenance: Annotated[Provenance | None, Nature.PLACE] = None
    # Machines that are fed more than they can take: what is downstream of them is void.
    overloaded: Annotated[tuple[str, ...], Nature.VERDICT] = ()
    cost: PlantCost | None = None
    co2_kg_t: Annotated[
        float | None,
        of.CARBON(
            "carbon dioxide of what motors take, per tonne of plant feed", label="CO2", ask="co2"
        ),
    ] = None

    @property
    def met(self) -> bool:
        """Whether the plant can run as balanced, and meets every requirement."""
        return not self.overloaded and all(one.met for one in self.requirements)


__all__ = [
    "FORMAT_VERSION",
    "BandVerdict",
    "BeltResult",
    "BreakageResult",
    "Check",
    "ClassifierResult",
    "Closure",
    "DeckResult",
    "DemandResult",
    "DriveResult",
    "DustResult",
    "ElongationFraction",
    "FeedResult",
    "FlakinessFraction",
    "Judgement",
    "LinerCost",
    "Listed",
    "LoopResult",
    "MachineCost",
    "MachineResult",
    "MoistureResult",
    "PackageRecord",
    "PlantCost",
    "ProductResult",
    "Provenance",
    "RequirementResult",
    "Results",
    "RinseResult",
    "RockResult",
    "RockShare",
    "SettingPosition",
    "SettingResult",
    "SlurryResult",
    "SourceRecord",
    "StorageResult",
    "StreamResult",
    "ThickenerResult",
    "TrampResult",
    "Verdict",
    "Warning",
    "WaterKind",
    "WaterResult",
    "WaterStreamResult",
    "WearResult",
]
