"""Particle shape of streams, products and their sieve fractions, in all cases.

Flakiness and the flat and elongated share are two measures, followed alike and apart.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from hoggin.balance.result import Array
from hoggin.balance.shape import trace
from hoggin.models import shape
from hoggin.rating.rated import Rated
from hoggin.rating.view import plain
from hoggin.rating.warnings import warning
from hoggin.schema.measures import FLAKINESS, FLAT_ELONGATED, MEASURES, Measure, elongation_of
from hoggin.schema.results import ElongationFraction, FlakinessFraction, Warning

# Common practice, no source: what is nearly all sand is not tested, nor is a trace of a fraction.
_LEAST_MEASURED = 0.10  # of a stream, between the sieves the test covers
_LEAST_FRACTION = 0.001  # of what is measured

_FLAKINESS_ASSUMPTIONS = (
    "Flakiness is the mass share of particles that pass slots half as wide as the upper sieve of "
    "their fraction, of the sizes 4 mm to 100 mm (EN 933-3). It is computed by size class on the "
    "finished mass balance. Unbroken rock keeps its shape; rock broken by a crusher has the "
    "flakiness that the class states. Square and round openings do not separate by shape; slots "
    f"cut flaky rock {shape.FLAKY_CUT_RATIO:g} times as coarse as other rock (common practice, no "
    "source). Streams mix by mass.",
    "Flakiness is a comparison of settings and circuits, from values of common practice, and not "
    "a guarantee: test the product. Flat and elongated particles (ASTM D4791) are not derived "
    "from it, because no relation has a source.",
)
_ELONGATION_ASSUMPTION = (
    "Flat and elongated is the mass share of particles more than {ratio:g} times as long as "
    "thick, of the sizes 4.75 mm to 100 mm in all their fractions (ASTM D4791, from memory; the "
    "test gives fractions under a tenth of the sample the value of their neighbours). It has its "
    "own values in the feeds and its own model in the crushers' classes; it is computed like "
    "flakiness and not derived from it. Slots pass such pieces like flakes: a piece five times as "
    "long as thick is under half as thick as its sieve size unless it is a long rod. Its values "
    "are common practice, no source: a comparison and not a guarantee. Test the product."
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
    """Shape of streams by measure; NaN wherever it is not known."""

    def __init__(self, rated: Rated) -> None:
        self._rated = rated
        self._followed: Mapping[str, _Followed] = {
            name: _Followed(rated, measure) for name, measure in MEASURES.items()
        }

    def of(self, measure: str, streams: Sequence[int]) -> Array:
        """(B,) share of a measure in some streams together."""
        return self._followed[measure].index(list(streams))

    def fractions(self, measure: str, streams: Sequence[int], case: int) -> tuple[Any, ...]:
        """Some streams in the sieve fractions they are tested in, coarse to fine."""
        return self._followed[measure].fractions(list(streams), case)

    @property
    def assumptions(self) -> tuple[str, ...]:
        ratio = elongation_of(self._rated.plant)
        said: dict[str, tuple[str, ...]] = {
            FLAKINESS.name: _FLAKINESS_ASSUMPTIONS,
            FLAT_ELONGATED.name: (_ELONGATION_ASSUMPTION.format(ratio=ratio),),
        }
        known = [name for name, followed in self._followed.items() if followed.known_anywhere]
        return tuple(text for name in known for text in said[name])

    @property
    def warnings(self) -> tuple[Warning, ...]:
        """W0515 for each product whose shape stays open where that of some rock is known."""
        return tuple(
            warning(
                "W0515",
                product.tag,
                f"`{product.tag}`: its {followed.measure.words} is known for only a part of its "
                "rock",
                f"state `{name}` for every feed, and use crushers whose class has a {name} model",
                product.place,
            )
            for name, followed in self._followed.items()
            if followed.stated
            for product in self._rated.plant.products
            if not followed.known(self._rated.streams_into(product.tag))
        )


class _Followed:
    """One measure of shape, followed through all cases."""

    def __init__(self, rated: Rated, measure: Measure) -> None:
        self.measure = measure
        self._test = _TESTS[measure.name]
        self._edges_mm = rated.balance.edges_mm
        self._streams_t_h = rated.balance.streams_t_h
        self.stated = any(measure.stated_by(feed) is not None for feed in rated.plant.feeds)
        self._shape = (
            trace(rated.plant, rated.balance, measure, circuit=rated.circuit, numbers=rated.numbers)
            if self.stated
            else None
        )
        self.known_anywhere = self._shape is not None and bool(self._shape.known.any())

    def known(self, streams: list[int]) -> bool:
        return self._shape is not None and bool(self._shape.known[streams].all())

    def index(self, streams: list[int]) -> Array:
        """Share of some streams together; NaN where not known or not tested."""
        if not self.known(streams):
            return np.full(1, np.nan)
        rate = self._streams_t_h[:, streams].sum(axis=(1, 2))
        tested = self._mass(streams, *self._test.covered_mm) > _LEAST_MEASURED * rate
        return np.where(tested, self._share(streams, *self._test.covered_mm), np.nan)

    def fractions(
        self, streams: list[int], case: int
    ) -> tuple[FlakinessFraction | ElongationFraction, ...]:
        """Some streams of a case in the sieve fractions of the test, coarse to fine."""
        index = self.index(streams)
        if np.isnan(index[case if len(index) > 1 else 0]):
            return ()
        tested = self._mass(streams, *self._test.covered_mm)[case]
        found: list[FlakinessFraction | ElongationFraction] = []
        for upper, lower in pairwise(self._test.fractions_mm):
            share = float(self._mass(streams, lower, upper)[case] / tested)
            if share >= _LEAST_FRACTION:
                value = float(self._share(streams, lower, upper)[case])
                one = {"upper_mm": upper, "lower_mm": lower, "share": plain(share)}
                one[self.measure.name] = plain(value)
                found.append(self._test.fraction.model_validate(one))
        return tuple(found)

    def _mass(self, streams: list[int], low_mm: float, high_mm: float) -> Array:
        """(B,) mass between two sieves, t/h."""
        mass = self._streams_t_h[:, streams].sum(axis=1)
        return shape.measured_mass(self._edges_mm, mass, low_mm, high_mm)

    def _share(self, streams: list[int], low_mm: float, high_mm: float) -> Array:
        """(B,) share of the measure between two sieves; NaN where they hold no mass."""
        mass = self._streams_t_h[:, streams].sum(axis=1)
        assert self._shape is not None
        flaky = self._shape.flaky_t_h[:, streams].sum(axis=1)
        return shape.flakiness_index(self._edges_mm, mass, flaky, low_mm, high_mm)
