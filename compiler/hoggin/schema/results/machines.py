"""Machines of the equipment schedule, with their decks."""

from __future__ import annotations

from typing import Annotated

from hoggin.schema import quantity as of
from hoggin.schema.kinds import CLASS_KINDS, DRIVEN, KINDS, STORES, kinds_with
from hoggin.schema.quantity import Nature
from hoggin.schema.results.common import (
    Check,
    Frozen,
    Key,
    Listed,
    RockResult,
    Stated,
    Texts,
    VoidBy,
)
from hoggin.schema.results.crushing import (
    BreakageResult,
    MoistureResult,
    SettingPosition,
    TrampResult,
)
from hoggin.schema.results.drives import DriveResult, MachineCost, WearResult
from hoggin.schema.results.handling import (
    BeltResult,
    ClassifierResult,
    DemandResult,
    RinseResult,
    SlurryResult,
    StorageResult,
    ThickenerResult,
)

_DIVIDING = ("splitter", *STORES)
CRUSHING = kinds_with("breakage")
_LOADED = tuple(kind.name for kind in KINDS.values() if "capacity" in kind.models)
_SLURRY = tuple(kind.name for kind in KINDS.values() if kind.slurry)
_TAKING = tuple(dict.fromkeys((*_LOADED, *DRIVEN, "pump", "thickener")))
_STOPPING = tuple(kind.name for kind in KINDS.values() if kind.beside and kind.needs)


class DeckResult(Frozen):
    name: Key
    aperture_mm: Annotated[float, Nature.STATED]
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
    slot_ratio: Annotated[float | None, Nature.STATED] = None  # length of a slot over its width


class SettingResult(Frozen):
    name: Key
    text: Stated


class MachineResult(Listed):
    """One line of the equipment schedule: a machine, or `count` equal ones in parallel. Then rates,
    capacity, power, costs and areas of decks are of all of them; loads are of each, and so is what
    a single machine is fitted with or does: its motor, liners and their life, bed depth, pull."""

    kind: Key
    class_name: Stated
    about: Stated
    settings: tuple[SettingResult, ...]
    traits: Annotated[dict[str, str], Nature.STATED]
    feed_t_h: Annotated[float, of.RATE("dry solids fed to it", ask="rate")]
    f80_mm: Annotated[
        float | None, of.SIZE("size that 80 % of its feed passes", label="F80", kinds=CRUSHING)
    ]
    p80_mm: Annotated[
        float | None, of.SIZE("size that 80 % of its product passes", label="P80", kinds=CRUSHING)
    ]
    top_size_mm: Annotated[float | None, of.SIZE("size that 98 % of its feed passes")]
    moisture_of_feed: Annotated[float | None, of.SHARE("water over dry solids in its feed")]
    clay_of_feed: Annotated[float, of.SHARE("clay over dry solids in its feed")]
    reduction_ratio: Annotated[float | None, of.RATIO("F80 over P80", kinds=CRUSHING)]
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
    sources: Annotated[tuple[str, ...], Nature.STATED]
    drive: Annotated[DriveResult | None, DRIVEN] = None
    wear: Annotated[WearResult | None, CRUSHING] = None
    storage: Annotated[StorageResult | None, STORES] = None
    belt: Annotated[BeltResult | None, ("conveyor",)] = None
    setting: Annotated[SettingPosition | None, CRUSHING] = None
    breakage: Annotated[BreakageResult | None, CRUSHING] = None
    moisture: Annotated[MoistureResult | None, CRUSHING] = None
    rock: Annotated[RockResult | None, CRUSHING] = None
    demand: Annotated[DemandResult | None, _DIVIDING] = None
    slurry: Annotated[SlurryResult | None, _SLURRY] = None
    thickener: Annotated[ThickenerResult | None, ("thickener",)] = None
    rinse: Annotated[RinseResult | None, ("screen",)] = None
    classifier: Annotated[ClassifierResult | None, ("classifier",)] = None
    tramp: Annotated[TrampResult | None, (*CRUSHING, *_STOPPING)] = None
    existing: Annotated[bool, Nature.STATED] = False  # it stands already, and is not bought
    count: Annotated[
        int, of.COUNT("equal machines in parallel", kinds=CLASS_KINDS, stated=True)
    ] = 1
    void_by: VoidBy = ()
    cost: Annotated[MachineCost | None, DRIVEN] = None
    utilization: Annotated[
        float | None,
        of.OF_SHARE(
            "largest use of its capacity, opening, power, flow or area; overloaded over 100 %",
            label="utilization",
            kinds=_TAKING,
        ),
    ] = None
