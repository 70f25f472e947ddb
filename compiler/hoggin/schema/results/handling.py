"""Bins, piles, belts and everything that handles slurry."""

from __future__ import annotations

from typing import Annotated

from hoggin.schema import quantity as of
from hoggin.schema.quantity import Nature
from hoggin.schema.results.common import Frozen

_PILE = ("stockpile",)


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

    stated_cut_mm: Annotated[float, Nature.STATED]  # that the balance takes
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
    rim_speed_m_s: Annotated[float | None, Nature.STATED]
    fastest_rim_m_s: Annotated[
        float | None, of.DIMENSION("speed above which a spiral's rim stirs up its fine sand")
    ]
    number_needed: Annotated[
        float | None, of.DIMENSION("machines of this size that its flow and sand need")
    ]


class DemandResult(Frozen):
    """The tonnages of outlets, and the rates they get."""

    asked_t_h: Annotated[float, of.RATE("tonnages of its outlets")]
    delivered_t_h: Annotated[float, of.RATE("rate that leaves by the outlets with a tonnage")]
    shortfall_t_h: Annotated[
        float, of.RATE("part of the tonnages of its outlets that does not arrive")
    ]
