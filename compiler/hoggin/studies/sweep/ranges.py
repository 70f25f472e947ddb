"""The settings and values of a sweep, as written on the command line.

`secondary.css 34 mm to 50 mm in 17`, `secondary.css 34 mm, 38 mm, 44 mm`; the name alone of a
number that the plant leaves open means its own range or list. `order_book.position left, right`
varies a setting that is a word.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from hoggin.balance.result import Array
from hoggin.check.evaluate import evaluate
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.errors import HogginError
from hoggin.schema.tracing import OF_CLASS, Freedom, Variable
from hoggin.schema.units import NUMBER, Unit, describe, in_unit, unit_of
from hoggin.studies.runner.formulas import beyond, bounded
from hoggin.syntax import given
from hoggin.syntax.settings import Setting

STEPS = {1: 17, 2: 13}
"""The default number of steps of a range, by the number of settings."""
MOST_STEPS = 1000
MOST_APERTURES = 64
_FORM = re.compile(r"(?P<name>[A-Za-z_][\w.]*)(?:\s+(?P<values>.*?))??(?:\s+in\s+(?P<steps>\d+))?")
_WORD = re.compile(r"[A-Za-z_]\w*")
_HOW = "write it as `secondary.css 34 mm to 50 mm in 17`, or `secondary.css 34 mm, 40 mm`"


@dataclass(frozen=True)
class Over:
    """A setting and its values in its unit. Of words, the values are their places, from 1."""

    name: str
    unit: Unit
    values: Array
    is_range: bool
    words: tuple[str, ...] = ()

    @property
    def si(self) -> Array:
        return self.values * self.unit.size

    @property
    def texts(self) -> tuple[str, ...]:
        """Its values as the language has them."""
        return self.words or tuple(self._said(float(value)) for value in self.values)

    @property
    def source(self) -> str:
        """The name of the text that frees it."""
        return given.source_name(self.name)

    def freed(self, *, start: int = 0) -> Setting:
        """The setting made free on the plant's tree. An aperture is one of a list, so that each has
        an edge on the grid of sizes; and so are whole numbers, which may be a count."""
        low, high = float(self.values.min()), float(self.values.max())
        first = float(self.values[start])
        ranged = f"free({self._said(low)} to {self._said(high)}, {self._said(first)})"
        listed = ", ".join(self._said(float(v)) for v in np.roll(self.values, -start))
        if self.values.size > MOST_APERTURES:
            listed = self._said(first)
        whole = self.values.size <= MOST_APERTURES and not (self.values % 1.0).any()
        is_listed = whole and self.unit.dimension == NUMBER
        return given.setting(
            self.name, f"any({listed})" if is_listed else ranged, deck=f"any({listed})"
        )

    def worded(self, word: str) -> Setting:
        """The setting at one of its words."""
        return given.setting(self.name, word)

    def _said(self, value: float) -> str:
        return self.unit.with_number(repr(value))


def over(text: str, freedom: Freedom, settings: int) -> Over:
    """Read a setting and its values. Raises HogginError."""
    found = _FORM.fullmatch(" ".join(text.split()))
    if found is None:
        raise HogginError(f"`{text}` can't be read: {_HOW}")
    name, values = found["name"], found["values"]
    steps = int(found["steps"]) if found["steps"] else STEPS[settings]
    if not 2 <= steps <= MOST_STEPS:
        raise HogginError(f"`{name}`: a range has from 2 to {MOST_STEPS} steps, not {steps}")
    variable = freedom.variables.get(declared_name(name, freedom))
    if values is None:
        if variable is None:
            raise HogginError(f"`{name}` has no values: {_HOW}")
        return _own_range(name, variable, steps)
    if "," in values:
        if found["steps"]:
            raise HogginError(f"`{name}`: every value of a list is a step; leave out `in`")
        words = [part.strip() for part in values.split(",")]
        if all(map(_WORD.fullmatch, words)):
            return _over_words(name, words)
        listed = [_quantity(part, name) for part in values.split(",")]
        return _over(name, listed, None)
    low, to, high = values.partition(" to ")
    if not to:
        raise HogginError(f"`{name}`: `{values}` is not a range: {_HOW}")
    return _over(name, [_quantity(low, name), _quantity(high, name)], steps)


def declared_name(name: str, freedom: Freedom) -> str:
    """The name of a number that the plant leaves open; an aperture may go by its deck."""
    return name if name in freedom.variables else f"{name}.aperture_mm"


class BeyondError(HogginError):
    """A value is outside what the plant or a class allows; the message says which and why."""


def hold(one: Over, freedom: Freedom) -> None:
    """Raise HogginError if values of a number that the plant leaves open are of another kind, and
    BeyondError if some are outside the range of its class."""
    name = declared_name(one.name, freedom)
    variable = freedom.variables[name]
    if variable.dimension != one.unit.dimension:
        raise HogginError(
            f"`{one.name}` is {describe(variable.dimension)}, not {describe(one.unit.dimension)}"
        )
    for bound in sorted(freedom.bounds, key=lambda bound: bound.by != OF_CLASS):
        outside = beyond(bound, freedom, {name: one.si})
        if len(outside) > 1 and outside.any():
            value = bounded(bound, freedom, {name: one.si})[int(np.argmax(outside))]
            raise BeyondError(bound.refusal(float(value)))


def _own_range(name: str, variable: Variable, steps: int) -> Over:
    unit = _unit(Quantity(variable.start, variable.dimension, variable.unit))
    own = np.array([in_unit(number, unit) for number in variable.numbers])
    if variable.kind == "choice":
        return Over(name, unit, own, is_range=False)
    if variable.kind == "normal":
        mean, deviation = own
        own = np.array([mean - 2 * deviation, mean + 2 * deviation])
    return Over(name, unit, np.linspace(own[0], own[-1], steps), is_range=True)


def _over_words(name: str, words: list[str]) -> Over:
    if len(set(words)) < len(words):
        raise HogginError(f"`{name}`: the same word is listed twice")
    number = unit_of("", NUMBER)
    assert number is not None
    places = np.arange(1.0, len(words) + 1)
    return Over(name, number, places, is_range=False, words=tuple(words))


def _over(name: str, listed: list[Quantity], steps: int | None) -> Over:
    unit = _unit(listed[0])
    for one in listed:
        if one.dimension != unit.dimension:
            raise HogginError(f"`{name}`: all values must have the same kind of unit")
    values = np.array([in_unit(one.si, unit) for one in listed])
    if len(set(values.tolist())) < len(values):
        raise HogginError(f"`{name}`: the same value is listed twice")
    if steps is None:
        return Over(name, unit, values, is_range=False)
    if values[0] > values[1]:
        raise HogginError(f"`{name}`: write the lower end of the range first")
    ends = np.linspace(values[0], values[1], steps)
    return Over(name, unit, np.array([float(f"{v:.12g}") for v in ends]), is_range=True)


def _quantity(text: str, name: str) -> Quantity:
    diagnostics = Diagnostics()
    value = evaluate(given.value(text, given.source_name(name)), Scope(), Session(diagnostics))
    if isinstance(value, Quantity) and value.known:
        return value
    told = next((f": {d.message}" for d in diagnostics), "")
    raise HogginError(f"`{name}`: `{text.strip()}` is not a quantity{told}")


def _unit(quantity: Quantity) -> Unit:
    unit = unit_of(quantity.written_in, quantity.dimension)
    if unit is None:
        raise HogginError(f"{describe(quantity.dimension)} can't be swept over")
    return unit
