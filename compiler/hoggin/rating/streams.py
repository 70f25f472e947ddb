"""Feeds, streams, products and closed circuits in all cases."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np

from hoggin.balance.result import Loop
from hoggin.models import slurry
from hoggin.models.arrays import Array, over
from hoggin.rating.dust import transfer
from hoggin.rating.flow import Flow
from hoggin.rating.rated import Rated
from hoggin.rating.rock import rock_of
from hoggin.rating.view import ListedView, View
from hoggin.schema.measures import FLAKINESS, FLAT_ELONGATED
from hoggin.schema.plant import Feed, Product
from hoggin.schema.results import FeedResult, LoopResult, ProductResult, StreamResult


class _Flowing(View):
    """What feeds, streams and products have in common: some streams together."""

    def flows(self, rated: Rated, flow: Flow, streams: Sequence[int]) -> None:
        self.rated, self.flow, self.indices = rated, flow, streams
        self.rate_t_h = flow.rate_t_h
        self.share_of_feed = over(self.rate_t_h, rated.plant_feed_t_h)

    @cached_property
    def passing(self) -> Array:
        return self.flow.passing_sieves(self.rated.plant.sieves_mm)

    def passing_at(self, size_mm: float) -> Array:
        """(B,) share finer than a size; NaN for an empty flow."""
        return np.where(self.flow.empty, np.nan, self.flow.passing(size_mm))

    @property
    def p80_mm(self) -> Array:
        return self.flow.p80_mm

    @property
    def p50_mm(self) -> Array:
        return self.flow.p50_mm

    @property
    def water_m3_h(self) -> Array:
        """A cubic metre weighs a tonne, as in the balance of water."""
        water: Array = self.rated.water.streams_t_h[:, self.indices].sum(axis=1)
        return water

    @property
    def moisture(self) -> Array:
        return over(self.water_m3_h, self.rate_t_h, ~self.flow.empty)

    @property
    def solids(self) -> Array:
        return 1 / (1 + self.moisture)

    @cached_property
    def flakiness(self) -> Array:
        return self.rated.shapes.of(FLAKINESS.name, self.indices)

    @cached_property
    def flat_elongated(self) -> Array:
        return self.rated.shapes.of(FLAT_ELONGATED.name, self.indices)


class FeedView(ListedView, _Flowing):
    document = FeedResult

    def __init__(self, rated: Rated, feed: Feed) -> None:
        super().__init__(feed)
        self.flows(rated, rated.out_of(feed.tag), rated.streams_from(feed.tag))
        self.material = feed.material
        self.per_year_t_y = per_year(rated, self.rate_t_h)
        self.clay = rated.numbers.of_load(rated.plant, feed, "clay")


class _PulpView(_Flowing):
    """Streams that may be slurry."""

    @cached_property
    def slurry_m3_h(self) -> Array:
        """NaN for damp rock, where air is left between the pieces."""
        rock = self.rated.mixture_of(self.indices)
        found = slurry.flow_m3_h(self.rate_t_h, self.water_m3_h, rock.solid_density_t_m3)
        loose_m3_h = self.rate_t_h / rock.bulk_density_t_m3
        filled = (found >= loose_m3_h) & (self.water_m3_h > 0.0)
        return np.where(filled, found, np.nan)

    @property
    def pulp_density_t_m3(self) -> Array:
        return slurry.density_t_m3(self.rate_t_h, self.water_m3_h, self.slurry_m3_h)


class StreamView(_PulpView):
    document = StreamResult

    def __init__(self, rated: Rated, index: int) -> None:
        self.flows(rated, rated.stream(index), [index])
        stream = rated.plant.streams[index]
        self.number = str(index + 1)  # the plant's order is that of the flow
        self.name, self.source = stream.name, stream.source
        self.outlet, self.target = stream.outlet, stream.target
        # Against the order of flow: back to where its rock has come through.
        self.recirculating = any(index in loop.closing_streams for loop in rated.balance.loops)


class OutletView(_PulpView):
    """All that leaves a machine by an outlet, wherever it goes. Results are asked of it; documents
    list its streams."""

    document = StreamResult

    def __init__(self, rated: Rated, tag: str, outlet: str) -> None:
        self.flows(rated, rated.leaving(tag, outlet), rated.streams_by(tag, outlet))
        self.dust = transfer(rated, f"{tag}.{outlet}", self.flow, rated.streams_by(tag, outlet))


class ProductView(ListedView, _Flowing):
    document = ProductResult

    def __init__(self, rated: Rated, product: Product) -> None:
        super().__init__(product)
        self.flows(rated, rated.into(product.tag), rated.streams_into(product.tag))
        self.per_year_t_y = per_year(rated, self.rate_t_h)
        self.rock = rock_of(rated, product.tag)

    @property
    def energy_kwh_t(self) -> Array:
        return self.rated.allocation.energy_kwh_t[self.tag]

    @property
    def cost_money_t(self) -> Array:
        return self.rated.allocation.cost_money_t[self.tag]

    @property
    def co2_kg_t(self) -> Array:
        return self.rated.allocation.co2_kg_t[self.tag]

    @property
    def fineness_modulus(self) -> Array:
        return self.flow.fineness_modulus


def per_year(rated: Rated, rate_t_h: Array) -> Array:
    """Tonnes in the plant's hours of a year; NaN where it states none."""
    hours, share = rated.plant.hours_per_year, rated.plant.availability
    if hours is None:
        return np.full(1, np.nan)
    run = rated.numbers.of(("hours_per_year",), hours) * rated.numbers.of(("availability",), share)
    return rate_t_h * run


class LoopView(View):
    """A closed circuit."""

    document = LoopResult

    def __init__(self, rated: Rated, loop: Loop) -> None:
        returned = [rated.balance.returned_t_h(tag) for tag in loop.machines]
        self.machines = loop.machines
        self.fresh_feed_t_h = rated.balance.fresh_feed_t_h(loop)
        self.recirculating_t_h: Array = np.max(returned, axis=0)  # where most comes back
        self.recirculating_load = over(self.recirculating_t_h, self.fresh_feed_t_h, empty=0.0)
        place = rated.balance.loops.index(loop)
        at = rated.balance.runs_away_at[place]
        self.runs_away_at: Array = np.where(np.isfinite(at), at, np.nan)
