"""Flakiness as the documents show it: of streams, products and their sieve fractions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

from hoggin.balance.result import Balance
from hoggin.balance.shape import trace
from hoggin.models import shape
from hoggin.rating.flows import Flows
from hoggin.rating.results import (
    FeedResult,
    FlakinessFraction,
    ProductResult,
    StreamResult,
    Warning,
)

# Common practice, no source: what is nearly all sand is not tested, nor is a trace of a fraction.
_LEAST_MEASURED = 0.10  # of a stream, from 4 mm to 100 mm
_LEAST_FRACTION = 0.001  # of what is measured
_LOW, _HIGH = shape.COVERED_MM

ASSUMPTIONS = (
    "Flakiness is the mass share of particles that pass slots half as wide as the upper sieve of "
    "their fraction, of the sizes 4 mm to 100 mm (EN 933-3). It is followed by size class through "
    "the finished mass balance: crushers keep the shape of what they leave unbroken and give what "
    "they break the flakiness of their class's shape model, square and round openings are blind to "
    f"shape, slots cut flaky rock {shape.FLAKY_CUT_RATIO:g} times as coarse as other rock (common "
    "practice, no source), streams mix by mass.",
    "Flakiness is a tendency between settings and circuits, from figures of common practice, not "
    "a guarantee: test the product. Flat and elongated particles (ASTM D4791) are not derived "
    "from it, for want of a sourced relation.",
)


class Shapes:
    """Flakiness of one case's streams by name; None wherever it is not known."""

    def __init__(self, flows: Flows) -> None:
        self._flows = flows
        self._shape = trace([flows.plant], _one_case(flows.balance, flows.case))

    @property
    def assumptions(self) -> tuple[str, ...]:
        return ASSUMPTIONS if self._shape is not None and self._shape.known.any() else ()

    @property
    def warnings(self) -> tuple[Warning, ...]:
        """W0515 for each product whose flakiness stays open where that of some rock is known."""
        if self._shape is None:
            return ()
        return tuple(
            Warning(
                code="W0515",
                text=f"`{product.tag}`: its flakiness is not known, though that of some rock is",
                help="state `flakiness` of every feed, and use crushers whose class has a shape "
                "model",
                file=product.place.file,
                line=product.place.line,
                column=product.place.column,
            )
            for product in self._flows.plant.products
            if not self._known(self._streams("target", product.tag))
        )

    def of_feeds(self, feeds: Iterable[FeedResult]) -> tuple[FeedResult, ...]:
        """The feeds with their flakiness."""
        return tuple(
            feed.model_copy(update={"flakiness": self._index(self._streams("source", feed.tag))})
            for feed in feeds
        )

    def of_streams(self, streams: Iterable[StreamResult]) -> tuple[StreamResult, ...]:
        """The plant's streams, in its order, with their flakiness."""
        return tuple(
            stream.model_copy(update={"flakiness": self._index([index])})
            for index, stream in enumerate(streams)
        )

    def of_products(self, products: Iterable[ProductResult]) -> tuple[ProductResult, ...]:
        """The products with their flakiness, in all and by sieve fraction."""
        return tuple(
            product.model_copy(
                update={
                    "flakiness": self.into(product.tag),
                    "flakiness_by_fraction": self.fractions(product.tag),
                }
            )
            for product in products
        )

    def into(self, tag: str) -> float | None:
        """Flakiness index of what runs into a product, a fraction."""
        return self._index(self._streams("target", tag))

    def fractions(self, tag: str) -> tuple[FlakinessFraction, ...]:
        """A product's flakiness in the sieve fractions it is measured in, coarse to fine."""
        streams = self._streams("target", tag)
        if self.into(tag) is None:
            return ()
        found = []
        for upper, lower in pairwise(shape.FRACTIONS_MM):
            share = self._mass(streams, lower, upper) / self._mass(streams)
            if share >= _LEAST_FRACTION:
                found.append(
                    FlakinessFraction(
                        upper_mm=upper,
                        lower_mm=lower,
                        share=share,
                        flakiness=self._flaky(streams, lower, upper),
                    )
                )
        return tuple(found)

    def _streams(self, end: str, tag: str) -> list[int]:
        plant = self._flows.plant
        return [s for s, stream in enumerate(plant.streams) if getattr(stream, end) == tag]

    def _known(self, streams: Iterable[int]) -> bool:
        return self._shape is not None and bool(self._shape.known[list(streams)].all())

    def _index(self, streams: list[int]) -> float | None:
        """Flakiness index of some streams together; None where not known or not measured."""
        rate = float(self._flows.balance.streams_t_h[self._flows.case, streams].sum())
        measured = self._mass(streams)
        if not self._known(streams) or measured <= _LEAST_MEASURED * rate:
            return None
        return self._flaky(streams)

    def _mass(self, streams: list[int], low_mm: float = _LOW, high_mm: float = _HIGH) -> float:
        """Mass between two sieves, t/h."""
        balance = self._flows.balance
        mass = balance.streams_t_h[self._flows.case, streams].sum(axis=0)
        return float(shape.measured_mass(balance.edges_mm, mass, low_mm, high_mm)[0])

    def _flaky(self, streams: list[int], low_mm: float = _LOW, high_mm: float = _HIGH) -> float:
        """Flakiness index between two sieves that hold some mass."""
        assert self._shape is not None
        balance = self._flows.balance
        mass = balance.streams_t_h[self._flows.case, streams].sum(axis=0)
        flaky = self._shape.flaky_t_h[0, streams].sum(axis=0)
        return float(shape.flakiness_index(balance.edges_mm, mass, flaky, low_mm, high_mm)[0])


def _one_case(balance: Balance, case: int) -> Balance:
    some = slice(case, case + 1)
    return replace(
        balance,
        streams_t_h=balance.streams_t_h[some],
        machine_feeds_t_h=balance.machine_feeds_t_h[some],
        deck_feeds_t_h={key: feed[some] for key, feed in balance.deck_feeds_t_h.items()},
        cut_sizes_mm={key: cut[some] for key, cut in balance.cut_sizes_mm.items()},
    )
