"""Values that are given to a plant's settings, as numbers or as text of the language."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from numbers import Real

from hoggin.check.evaluate import evaluate
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError
from hoggin.schema.units import NUMBER, Unit, unit_of
from hoggin.studies.runner.opening import placed
from hoggin.syntax import given, tree
from hoggin.syntax.given import source_name
from hoggin.syntax.parser import parse
from hoggin.syntax.settings import Statements, stated

Value = str | float
"""`"38 mm"`, or a number in the setting's own unit: the one that the plant's file states it in."""
_NUMBER = Unit("number", NUMBER, 1.0)


@dataclass(frozen=True)
class Stated:
    """What a plant's file states of its settings, by name."""

    statements: Statements
    expressions: Mapping[str, tree.Expression]

    @classmethod
    def of(cls, source: Source) -> Stated:
        statements = parse(source, Diagnostics()).statements
        return cls(statements, dict(stated(statements)))

    def require(self, name: str) -> None:
        """Raises HogginError where the file has no place for a setting of this name."""
        placed(self.statements, [given.setting(name, "0")])

    def quantity(self, name: str) -> Quantity | None:
        """A setting as it is stated; None for a word, and where it is a sum of other settings."""
        expression = self.expressions.get(name)
        for _ in self.expressions:  # a `let` may name another
            if not isinstance(expression, tree.Path):
                break
            expression = self.expressions.get(expression.dotted)
        if expression is None:
            return None
        found = evaluate(expression, Scope(), Session(Diagnostics()))
        return found if isinstance(found, Quantity) and found.known else None

    def unit(self, name: str) -> Unit:
        """The unit that a setting is stated in. Raises HogginError where none can be seen."""
        quantity = self.quantity(name)
        if quantity is None:
            hint = did_you_mean(name, list(self.expressions))
            raise HogginError(
                f"`{name}`: the plant's file does not state it as a number with a unit; give it as "
                f'text with its unit, as "38 mm". {hint}'.strip()
            )
        return unit_of(quantity.written_in, quantity.dimension) or _NUMBER

    def text(self, name: str, value: Value) -> str:
        """A value as the language has it. Raises HogginError."""
        if isinstance(value, str):
            return " ".join(value.split())
        return written(name, value, self.unit(name))


def written(name: str, value: object, unit: Unit) -> str:
    """A number with its unit, exactly. Raises HogginError where it is none, or not finite."""
    if isinstance(value, bool) or not isinstance(value, Real) or not math.isfinite(value):
        raise HogginError(f"`{name}`: {value!r} is neither a number nor a text with its unit")
    return unit.with_number(repr(float(value)))


def quantity(name: str, text: str) -> Quantity | None:
    """What a text of the language is worth; None for a word. Raises HogginError."""
    try:
        expression = given.value(text, source_name(name))
    except HogginError as fault:
        raise HogginError(f"`{name}`: {fault}") from None
    if isinstance(expression, tree.Path | tree.Text):
        return None
    diagnostics = Diagnostics()
    found = evaluate(expression, Scope(), Session(diagnostics))
    if isinstance(found, Quantity) and found.known:
        return found
    why = next((f": {one.message}" for one in diagnostics), "")
    raise HogginError(f"`{name}`: `{text}` is not a quantity{why}")


def sources(texts: Mapping[str, str]) -> Iterator[Source]:
    """The values as sources, for the record of what a result was made from."""
    for name, text in sorted(texts.items()):
        yield Source(source_name(name), f"{text}\n")
