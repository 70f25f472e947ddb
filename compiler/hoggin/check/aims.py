"""`maximize` and `minimize` lines: what a plant's free settings are chosen
for, as expressions over results.

Results may be scaled by numbers with a unit, so that money an hour comes out of prices:
`12 EUR/t * chips.rate - 0.15 EUR/kWh * plant.power`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from hoggin.check.evaluate import as_quantity, evaluate
from hoggin.check.machines import place
from hoggin.check.requirements import RequirementChecker, reads
from hoggin.check.scope import Wanted
from hoggin.diagnostics.families.unused import W0102
from hoggin.diagnostics.families.values import E0308
from hoggin.diagnostics.fault import Fault
from hoggin.schema.plant import Aim, Combination, Constant, Expression
from hoggin.schema.tracing import Traced
from hoggin.schema.units import NUMBER, Dimension, describe, in_currency, trade_unit
from hoggin.syntax import tree


@dataclass(frozen=True)
class _Typed:
    """`size` SI units make one of the expression's own."""

    expression: Expression
    dimension: Dimension
    size: float
    reads: bool
    scaled: bool = False  # a result weighed by a pure number
    trace: bool = False  # a number that is left free


def aims(
    node: tree.PlantDefinition, readings: RequirementChecker, currency: str
) -> tuple[Aim, ...]:
    """The plant's aims, the weightiest first, then by their words; faults are reported. Money is
    shown in the currency."""
    lines = [statement for statement in node.body if isinstance(statement, tree.Aim)]
    found = [_AimChecker(readings, currency).check(line) for line in lines]
    if len(lines) == 1 and lines[0].weight is not None:
        readings.session.report(W0102.single_aim(), lines[0].weight.span)
    whole = (aim for aim in found if aim is not None)
    return tuple(sorted(whole, key=lambda aim: (-aim.weight, aim.text)))


@dataclass
class _AimChecker:
    readings: RequirementChecker
    currency: str

    def check(self, node: tree.Aim) -> Aim | None:
        weight = self._weight(node)
        typed = self._typed(node.expression)
        if typed is None or weight is None:
            return None
        if not typed.reads:
            return self._refuse(node.expression, E0308.no_result())
        if typed.trace:
            return self._refuse(node.expression, E0308.free_number())
        unit = _unit(typed, self.currency)
        if unit is None:
            return self._refuse(node.expression, E0308.mixed_units(describe(typed.dimension)))
        return Aim(
            text=" ".join(node.span.text.split()),
            direction="most" if node.direction.text == "maximize" else "least",
            expression=typed.expression,
            unit=unit[0],
            unit_size=unit[1] / typed.size,
            weight=weight,
            place=place(node.span),
        )

    def _weight(self, node: tree.Aim) -> float | None:
        if node.weight is None:
            return 1.0
        if node.weight.number <= 0:
            return self._refuse(node.weight, E0308.weight())
        return node.weight.number

    def _typed(self, node: tree.Expression) -> _Typed | None:
        if not reads(node, self.readings.body):
            return self._number(node)
        match node:
            case tree.Arithmetic(operator="^"):
                return self._refuse(node, E0308.power())
            case tree.Arithmetic():
                return self._combined(node)
            case tree.Negated():
                inner = self._typed(node.operand)
                return None if inner is None else _times(_constant(-1.0, NUMBER), inner)
            case tree.Path() | tree.Call():
                found = self.readings.reading(node)
                if found is None:
                    return None
                expression, dimension = found
                trade = trade_unit(dimension)
                size = 1.0 if trade is None else trade[0].size
                # A library's number has a dot in its name as a result has, and is a constant.
                return _Typed(expression, dimension, size, not isinstance(expression, Constant))
        return self._number(node)

    def _number(self, node: tree.Expression) -> _Typed | None:
        scope, session = self.readings.scope, self.readings.session
        value = as_quantity(evaluate(node, scope, session), node.span, session)
        if value is None or not value.known:
            return None
        found = _constant(float(value.si), value.dimension)
        return _Typed(
            found.expression, found.dimension, 1.0, False, trace=isinstance(value.si, Traced)
        )

    def _combined(self, node: tree.Arithmetic) -> _Typed | None:
        left, right = self._typed(node.left), self._typed(node.right)
        if left is None or right is None:
            return None
        if node.operator == "*":
            return _times(left, right)
        if node.operator == "/":
            if right.expression == Constant(value=0.0):
                return self._refuse(node.right, E0308.division_by_zero())
            return _joined(
                "/", left, right, left.dimension / right.dimension, left.size / right.size
            )
        if left.dimension != right.dimension:
            kinds = describe(left.dimension), describe(right.dimension)
            return self._refuse(node, E0308.added(*kinds))
        if left.size != right.size:  # both in the left one's
            scale = Constant(value=right.size / left.size)
            same = Combination(operator="*", left=scale, right=right.expression)
            right = replace(right, expression=same, size=left.size)
        return _joined(node.operator, left, right, left.dimension, left.size)

    def _refuse(self, node: tree.Node, fault: Fault) -> Wanted | None:
        return self.readings.session.report(fault, node.span)


def _constant(value: float, dimension: Dimension) -> _Typed:
    return _Typed(Constant(value=value), dimension, 1.0, False)


def _times(left: _Typed, right: _Typed) -> _Typed:
    return _joined("*", left, right, left.dimension * right.dimension, left.size * right.size)


def _joined(
    operator: str, left: _Typed, right: _Typed, dimension: Dimension, size: float
) -> _Typed:
    weighed = operator in "*/" and any(
        one.reads and not other.reads and other.dimension.is_number and not _is_sign(other)
        for one, other in ((left, right), (right, left))
    )
    return _Typed(
        Combination(operator=operator, left=left.expression, right=right.expression),
        dimension,
        size,
        left.reads or right.reads,
        left.scaled or right.scaled or weighed,
        left.trace or right.trace,
    )


def _is_sign(typed: _Typed) -> bool:
    return typed.expression in (Constant(value=1.0), Constant(value=-1.0))


def _unit(typed: _Typed, currency: str) -> tuple[str, float] | None:
    """The unit the aim is shown in, and its size in SI units; None for mixed units."""
    trade = trade_unit(typed.dimension)
    if trade is None:
        return None
    name = in_currency(trade[0].sign, currency)
    weighed = typed.scaled and not typed.dimension.money
    return (f"{name} as weighed".strip() if weighed else name), trade[0].size
