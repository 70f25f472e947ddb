"""Results by the names they are asked for, in all cases at once, and expressions over them."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from hoggin.balance.result import Array
from hoggin.rating.rated import Rated
from hoggin.rating.streams import FeedView, OutletView, ProductView
from hoggin.rating.view import View
from hoggin.schema.asked import Asked, asked
from hoggin.schema.plant import (
    Combination,
    Constant,
    Expression,
    Limit,
    Place,
    Reading,
    Requirement,
)

Year = Mapping[Place, Mapping[Reading, float]]
"""What is of a year, over the states of the plant that the requirement at a place holds in; NaN
where a machine upstream is overloaded in one of them."""
NO_YEAR: Year = {}
Read = Callable[[Reading], Array]

_OPERATORS: dict[str, Callable[[Array, Array], Array]] = {
    "+": np.add,
    "-": np.subtract,
    "*": np.multiply,
    "/": np.divide,
}


class Readings:
    """The results of a plant's cases; each is computed once."""

    def __init__(self, rated: Rated, year: Year = NO_YEAR) -> None:
        plant = rated.view
        self._year = year
        # The view of each thing by its tag, and its kind.
        self._subjects: dict[str, tuple[View, str]] = {"": (plant, "plant")}
        self._subjects |= {feed.tag: (feed, "feed") for feed in plant.feeds}
        self._subjects |= {product.tag: (product, "product") for product in plant.products}
        for machine in plant.machines:
            self._subjects[machine.tag] = (machine, machine.kind)
            for deck in machine.decks:
                self._subjects[f"{machine.tag}.{deck.name}"] = (deck, "deck")
            for outlet in machine.machine.outlets:
                view = OutletView(rated, machine.tag, outlet)
                self._subjects[f"{machine.tag}.{outlet}"] = (view, "stream")
        self._known: dict[Reading, Array] = {}

    def value(self, expression: Expression) -> Array:
        """(B,) or (1,) in trade units and fractions; NaN where there is no value."""
        return evaluate(expression, self.read)

    def asked(self, requirement: Limit) -> Array:
        """What a requirement is about, in its unit, (B,) or (1,). What is of a year is of the year
        over all states that it holds in, where that is known."""
        year = self._year.get(requirement.place, {})

        def read(reading: Reading) -> Array:
            return np.array([year[reading]]) if reading in year else self.read(reading)

        return evaluate(requirement.expression, read) / requirement.unit_size

    def is_over_the_year(self, requirement: Limit) -> bool:
        return requirement.place in self._year

    def is_void_over_the_year(self, requirement: Requirement) -> bool:
        """Whether a part of a year's tonnage is void, which leaves it without a value."""
        year = self._year.get(requirement.place, {})
        return any(np.isnan(value) for value in year.values())

    def read(self, reading: Reading) -> Array:
        """A result, computed once."""
        found = self._known.get(reading)
        if found is None:
            found = self._known[reading] = self._read(reading)
        return found

    def _read(self, reading: Reading) -> Array:
        view, kind = self._subjects[reading.subject]
        one = asked(kind)[reading.quantity]
        if one.sized:
            assert (
                isinstance(view, FeedView | OutletView | ProductView)
                and reading.size_mm is not None
            )
            value = view.passing_at(reading.size_mm)
        else:
            value = _value(view, one)
        value = value * one.scale
        return 1.0 - value if one.complement else value


def _value(view: View, one: Asked) -> Array:
    value = view
    for step in one.path:
        value = getattr(value, step)
        if value is None:  # a part that this machine does not have
            return np.full(1, np.nan)
    return np.asarray(value, dtype=np.float64)


def evaluate(expression: Expression, read: Read) -> Array:
    """The value of an expression over results, (B,) or (1,). NaN where a result has no value (the
    P80 of an empty stream), and for a division by zero."""
    match expression:
        case Constant():
            return np.array([expression.value])
        case Reading():
            return read(expression)
        case Combination():
            left, right = evaluate(expression.left, read), evaluate(expression.right, read)
            with np.errstate(divide="ignore", invalid="ignore"):
                value = _OPERATORS[expression.operator](left, right)
            return np.where(np.isfinite(value), value, np.nan)
