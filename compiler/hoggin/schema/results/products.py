"""Products against what is required of them."""

from __future__ import annotations

from typing import Annotated

from hoggin.schema import quantity as of
from hoggin.schema.quantity import Nature
from hoggin.schema.results.common import (
    P50,
    P80,
    Derived,
    Flakiness,
    FlatElongated,
    Frozen,
    Judgement,
    Key,
    Listed,
    Moisture,
    Passing,
    PerYear,
    Rate,
    RockResult,
    ShareOfFeed,
    Solids,
    Stated,
    VoidBy,
    WaterRate,
)


class BandVerdict(Frozen):
    """A product's grading against one specification, sieve by sieve (coarse to fine)."""

    name: Key
    about: Stated
    source: Stated
    sizes_mm: Annotated[tuple[float, ...], Nature.STATED]
    low: Annotated[tuple[float, ...], Nature.STATED]
    high: Annotated[tuple[float, ...], Nature.STATED]
    passing: Annotated[
        tuple[float, ...], of.PASSING("share finer than a size", ask="", sizes="sizes_mm")
    ]
    verdict: Annotated[Judgement, Nature.VERDICT]
    worst_size_mm: Annotated[float | None, of.SIZE("sieve with the smallest margin", ask="")]
    worst_margin: Annotated[
        float, of.PASSING("share inside (+) or outside (-) the nearest limit on that sieve", ask="")
    ]

    @property
    def met(self) -> bool:
        return self.verdict == "met"


class FlakinessFraction(Frozen):
    """Flakiness of one sieve fraction of a product, as EN 933-3 measures it."""

    upper_mm: Annotated[float, Nature.KEY]
    lower_mm: Annotated[float, Nature.KEY]
    share: Annotated[
        float, of.SHAPE("share of the mass from 4 mm to 100 mm", "share of mass", ask="")
    ]
    flakiness: Annotated[float, of.SHAPE("share of flaky pieces", ask="")]


class ElongationFraction(Frozen):
    """Flat and elongated pieces in one sieve fraction of a product, as ASTM D4791 counts them."""

    upper_mm: Annotated[float, Nature.KEY]
    lower_mm: Annotated[float, Nature.KEY]
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
    curve: Annotated[tuple[tuple[float, float], ...], Nature.DERIVED]
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
        of.CARBON(
            "carbon dioxide of what motors take for it, per tonne of it", label="CO2", ask="co2"
        ),
    ] = None


class RequirementResult(Frozen):
    text: Key
    verdict: Annotated[Judgement, Nature.VERDICT]
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
    file: Annotated[str, Nature.PLACE]
    line: Annotated[int, Nature.PLACE]
    reason: Derived = ""  # why it is not judged

    @property
    def met(self) -> bool:
        return self.verdict == "met"
