"""The whole plant in all cases: what the results document is made of."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np

from hoggin.models.arrays import Array, over
from hoggin.rating.cost import PlantCostView
from hoggin.rating.dust import DustView, dust_sources
from hoggin.rating.rated import Rated
from hoggin.rating.streams import FeedView, LoopView, ProductView, StreamView, per_year
from hoggin.rating.view import View
from hoggin.rating.water_streams import WaterStreamView, water_streams
from hoggin.schema.results import Results, WaterResult


class PlantView(View):
    """Totals are sums over the plant's parts."""

    document = Results

    def __init__(self, rated: Rated) -> None:
        self.rated = rated
        plant = rated.plant
        self.title, self.revision, self.project = plant.title, plant.revision, plant.project
        self.sieves_mm, self.running_h = plant.sieves_mm, plant.running_h
        self.plant = plant
        self.feed_t_h = rated.plant_feed_t_h
        self.per_year_t_y = per_year(rated, self.feed_t_h)
        self.products = tuple(ProductView(rated, product) for product in plant.products)
        self.machines = tuple(rated.machine(machine.tag) for machine in plant.machines)
        self.feeds = tuple(FeedView(rated, feed) for feed in plant.feeds)

    @cached_property
    def streams(self) -> tuple[StreamView, ...]:
        return tuple(StreamView(self.rated, index) for index in range(len(self.plant.streams)))

    @cached_property
    def loops(self) -> tuple[LoopView, ...]:
        return tuple(LoopView(self.rated, loop) for loop in self.rated.balance.loops)

    # -- totals ---------------------------------------------------------------------------------

    @cached_property
    def power_kw(self) -> Array:
        return _total(machine.power_kw for machine in self.machines)

    @cached_property
    def installed_power_kw(self) -> Array:
        return _total(machine.installed_power_kw for machine in self.machines)

    @cached_property
    def demand_kw(self) -> Array:
        drives = (machine.drive for machine in self.machines)
        return _total(drive.demand_kw for drive in drives if drive is not None)

    @property
    def energy_kwh_t(self) -> Array:
        return over(self.power_kw, self.feed_t_h)

    @cached_property
    def cost(self) -> PlantCostView | None:
        """None where the plant states no price at all."""
        found = PlantCostView(self.rated)
        known = (found.total_money_h, found.budget_money)
        return None if all(np.isnan(one).all() for one in known) else found

    @property
    def co2_kg_t(self) -> Array:
        carbon = self.rated.plant.prices.carbon_g_kwh
        return self.energy_kwh_t * (np.nan if carbon is None else carbon / 1000.0)

    @cached_property
    def dust(self) -> tuple[DustView, ...]:
        return dust_sources(self.rated)

    @property
    def pm_kg_h(self) -> Array:
        return _total(source.pm_kg_h for source in self.dust)

    @property
    def pm_controlled_kg_h(self) -> Array:
        return _total(source.pm_controlled_kg_h for source in self.dust)

    @property
    def pm10_kg_h(self) -> Array:
        return _total(source.pm10_kg_h for source in self.dust)

    @property
    def pm10_controlled_kg_h(self) -> Array:
        return _total(source.pm10_controlled_kg_h for source in self.dust)

    @property
    def pm25_controlled_kg_h(self) -> Array:
        return _total(source.pm25_controlled_kg_h for source in self.dust)

    @cached_property
    def water(self) -> WaterView:
        return WaterView(self.rated)

    @cached_property
    def water_streams(self) -> tuple[WaterStreamView, ...]:
        return water_streams(self.rated)


class WaterView(View):
    """A cubic metre weighs a tonne, as in the balance of water."""

    document = WaterResult

    def __init__(self, rated: Rated) -> None:
        products = {product.tag for product in rated.plant.products}
        streams = enumerate(rated.plant.streams)
        leaving = [index for index, stream in streams if stream.target in products]
        self.with_feeds_m3_h, self.added_m3_h = rated.water.with_feeds_t_h, rated.water.added_t_h
        self.with_products_m3_h: Array = rated.water.streams_t_h[:, leaving].sum(axis=1)
        thickeners = (rated.machine(machine.tag).thickener for machine in rated.plant.machines)
        self.reused_m3_h = _total(one.water_reused_m3_h for one in thickeners if one is not None)
        self.fresh_m3_h = np.maximum(self.added_m3_h - self.reused_m3_h, 0.0)


def _total(values: Iterable[Array]) -> Array:
    """The sum of what has a value."""
    return sum((np.nan_to_num(value) for value in values), start=np.zeros(1))
