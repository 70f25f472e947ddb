"""Streams of rock and of water, and the feeds they start from."""

from __future__ import annotations

from typing import Annotated, Literal

from hoggin.schema import quantity as of
from hoggin.schema.quantity import Nature
from hoggin.schema.results.common import (
    P50,
    P80,
    Flakiness,
    FlatElongated,
    Frozen,
    Key,
    Listed,
    Moisture,
    Passing,
    PerYear,
    Rate,
    ShareOfFeed,
    Solids,
    Stated,
    VoidBy,
    WaterRate,
)


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
    recirculating: Annotated[bool, Nature.VERDICT]  # whether it runs against the order of flow
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
    kind: Annotated[WaterKind, Nature.KEY]
    water_m3_h: Annotated[float, of.WATER("water per hour", ask="")]


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
