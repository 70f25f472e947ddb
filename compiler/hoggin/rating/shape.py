"""Particle shape as the documents show it: of streams, products and their sieve fractions.

Flakiness and the flat and elongated share are two measures, followed alike and apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

from hoggin.balance.result import Balance
from hoggin.balance.shape import trace
from hoggin.models import shape
from hoggin.rating.flows import Flows
from hoggin.schema.measures import FLAKINESS, FLAT_ELONGATED, MEASURES, Measure, elongation_of
from hoggin.schema.results import (
    ElongationFraction,
    FeedResult,
    FlakinessFraction,
    ProductResult,
    StreamResult,
    Warning,
)

# Common practice, no source: what is nearly all sand is not tested, nor is a trace of a fraction.
_LEAST_MEASURED = 0.10  # of a stream, between the sieves the test covers
_LEAST_FRACTION = 0.001  # of what is measured

_FLAKINESS_ASSUMPTIONS = (
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
_ELONGATION_ASSUMPTION = (
    "Flat and elongated is the mass share of particles more than {ratio:g} times as long as "
    "thick, of the sizes 4.75 mm to 100 mm in all their fractions (ASTM D4791, from memory; the "
    "test gives fractions of under a tenth of the sample their neighbours' figure). It has its own "
    "start in the feeds and its own model in the crushers' classes, is followed as flakiness is, "
    "and is not derived from it. Slots prefer it as they do flakes: a piece five times as long as "
    "thick is under half as thick as its sieve size unless it is a long rod. Its figures are "
    "common practice, no source, a tendency and not a guarantee: test the product."
)


@dataclass(frozen=True, slots=True)
class _Test:
    """How a measure is tested: the sizes it covers and the sieve fractions it is counted in."""

    covered_mm: tuple[float, float]
    fractions_mm: tuple[float, ...]
    fraction: type[FlakinessFraction] | type[ElongationFraction]


_TESTS = {
    FLAKINESS.name: _Test(shape.COVERED_MM, shape.FRACTIONS_MM, FlakinessFraction),
    FLAT_ELONGATED.name: _Test(
        shape.ELONGATION_COVERED_MM, shape.ELONGATION_FRACTIONS_MM, ElongationFraction
    ),
}


class Shapes:
    """Shape of one case's streams by name and measure; None wherever it is not known."""

    def __init__(self, flows: Flows) -> None:
        self._plant = flows.plant
        self._followed: Mapping[str, _Followed] = {
            name: _Followed(flows, measure) for name, measure in MEASURES.items()
        }

    @property
    def assumptions(self) -> tuple[str, ...]:
        said: dict[str, tuple[str, ...]] = {
            FLAKINESS.name: _FLAKINESS_ASSUMPTIONS,
            FLAT_ELONGATED.name: (_ELONGATION_ASSUMPTION.format(ratio=elongation_of(self._plant)),),
        }
        known = [name for name, followed in self._followed.items() if followed.known_anywhere]
        return tuple(text for name in known for text in said[name])

    @property
    def warnings(self) -> tuple[Warning, ...]:
        """W0515 for each product whose shape stays open where that of some rock is known."""
        return tuple(
            Warning(
                code="W0515",
                text=f"`{product.tag}`: its {followed.measure.words} is not known, though that of "
                "some rock is",
                help=f"state `{name}` of every feed, and use crushers whose class has "
                f"{'a' if name == FLAKINESS.name else 'an'} {followed.measure.role} model",
                file=product.place.file,
                line=product.place.line,
                column=product.place.column,
            )
            for name, followed in self._followed.items()
            if followed.stated
            for product in self._plant.products
            if not followed.known(self._streams("target", product.tag))
        )

    def of_feeds(self, feeds: Iterable[FeedResult]) -> tuple[FeedResult, ...]:
        """The feeds with their shape."""
        return tuple(
            feed.model_copy(update=self._indices(self._streams("source", feed.tag)))
            for feed in feeds
        )

    def of_streams(self, streams: Iterable[StreamResult]) -> tuple[StreamResult, ...]:
        """The plant's streams, in its order, with their shape."""
        return tuple(
            stream.model_copy(update=self._indices([index])) for index, stream in enumerate(streams)
        )

    def of_products(self, products: Iterable[ProductResult]) -> tuple[ProductResult, ...]:
        """The products with their shape, in all and by sieve fraction."""
        return tuple(
            product.model_copy(
                update={
                    **self._indices(self._streams("target", product.tag)),
                    **{f"{n}_by_fraction": self.fractions(product.tag, n) for n in self._followed},
                }
            )
            for product in products
        )

    def into(self, tag: str, measure: str = FLAKINESS.name) -> float | None:
        """Share of a measure in what runs into a product, a fraction."""
        return self._followed[measure].index(self._streams("target", tag))

    def fractions(self, tag: str, measure: str = FLAKINESS.name) -> tuple[Any, ...]:
        """A product's shape in the sieve fractions it is tested in, coarse to fine."""
        return self._followed[measure].fractions(self._streams("target", tag))

    def _indices(self, streams: list[int]) -> dict[str, float | None]:
        return {name: followed.index(streams) for name, followed in self._followed.items()}

    def _streams(self, end: str, tag: str) -> list[int]:
        streams = self._plant.streams
        return [s for s, stream in enumerate(streams) if getattr(stream, end) == tag]


class _Followed:
    """One measure of shape, followed through one case."""

    def __init__(self, flows: Flows, measure: Measure) -> None:
        self.measure = measure
        self._test = _TESTS[measure.name]
        self._edges_mm = flows.balance.edges_mm
        self._streams_t_h = flows.balance.streams_t_h[flows.case]
        self._shape = trace([flows.plant], _one_case(flows.balance, flows.case), measure)

    @property
    def stated(self) -> bool:
        return self._shape is not None

    @property
    def known_anywhere(self) -> bool:
        return self._shape is not None and bool(self._shape.known.any())

    def known(self, streams: Iterable[int]) -> bool:
        return self._shape is not None and bool(self._shape.known[list(streams)].all())

    def index(self, streams: list[int]) -> float | None:
        """Share of some streams together; None where not known or not tested."""
        if not self.known(streams):
            return None
        rate = float(self._streams_t_h[streams].sum())
        if self._mass(streams, *self._test.covered_mm) <= _LEAST_MEASURED * rate:
            return None
        return self._share(streams, *self._test.covered_mm)

    def fractions(self, streams: list[int]) -> tuple[FlakinessFraction | ElongationFraction, ...]:
        """Some streams together in the sieve fractions of the test, coarse to fine."""
        if self.index(streams) is None:
            return ()
        tested = self._mass(streams, *self._test.covered_mm)
        found: list[FlakinessFraction | ElongationFraction] = []
        for upper, lower in pairwise(self._test.fractions_mm):
            share = self._mass(streams, lower, upper) / tested
            if share >= _LEAST_FRACTION:
                value = {self.measure.name: self._share(streams, lower, upper)}
                found.append(
                    self._test.fraction.model_validate(
                        {"upper_mm": upper, "lower_mm": lower, "share": share, **value}
                    )
                )
        return tuple(found)

    def _mass(self, streams: list[int], low_mm: float, high_mm: float) -> float:
        """Mass between two sieves, t/h."""
        mass = self._streams_t_h[streams].sum(axis=0)
        return float(shape.measured_mass(self._edges_mm, mass, low_mm, high_mm)[0])

    def _share(self, streams: list[int], low_mm: float, high_mm: float) -> float:
        """Share of the measure between two sieves that hold some mass."""
        assert self._shape is not None
        mass = self._streams_t_h[streams].sum(axis=0)
        flaky = self._shape.flaky_t_h[0, streams].sum(axis=0)
        return float(shape.flakiness_index(self._edges_mm, mass, flaky, low_mm, high_mm)[0])


def _one_case(balance: Balance, case: int) -> Balance:
    some = slice(case, case + 1)
    return replace(
        balance,
        streams_t_h=balance.streams_t_h[some],
        machine_feeds_t_h=balance.machine_feeds_t_h[some],
        deck_feeds_t_h={key: feed[some] for key, feed in balance.deck_feeds_t_h.items()},
        cut_sizes_mm={key: cut[some] for key, cut in balance.cut_sizes_mm.items()},
    )
