"""`require` lines: what the plant is asked to do, as typed expressions over results by name."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from hoggin.check.evaluate import as_quantity, evaluate, report_dimension
from hoggin.check.gradings import band, size_mm
from hoggin.check.machines import place
from hoggin.check.measures import unit_of_measure
from hoggin.check.network import Body, Network, Node
from hoggin.check.prices import require_price
from hoggin.check.records import own_name, shown_name
from hoggin.check.scope import BandEntity, Scope, Session, mention, resolve
from hoggin.check.shape import require_known_shape
from hoggin.check.values import Quantity
from hoggin.check.year import calendar_share
from hoggin.diagnostics.families.cases import E0212
from hoggin.diagnostics.families.classes import E0401
from hoggin.diagnostics.families.names import E0201, E0207, E0209
from hoggin.diagnostics.families.values import E0302, E0306
from hoggin.schema import quantity as of
from hoggin.schema.asked import Asked, asked, is_share, readings, sized_names, thing_of
from hoggin.schema.measures import MEASURES
from hoggin.schema.plant import (
    Combination,
    Constant,
    Expression,
    Limit,
    Meets,
    Reading,
    Requirement,
)
from hoggin.schema.units import (
    NUMBER,
    Dimension,
    Unit,
    describe,
    in_currency,
    in_unit,
    is_yearly,
    known,
    number_text,
    trade_unit,
    unit_named,
)
from hoggin.syntax import tree

_YEARLY, _TONNES_A_YEAR = "t/y", "tonnes a year"
_MOST_LOAD = 10.0  # a limit above it, without the sign of per cent, can't be meant


@dataclass(frozen=True)
class _Typed:
    expression: Expression
    dimension: Dimension
    reads: bool  # does it hold a result, or only numbers?
    unit: str = ""  # as written
    yearly: bool = False  # whether its results are tonnes a year


@dataclass
class RequirementChecker:
    network: Network
    body: Body
    scope: Scope
    session: Session

    def check(self, node: tree.Requirement) -> list[Requirement]:
        """The requirement, or several where it joins them by `and`; faults are reported."""
        if node.cases:  # what a plant asks of its cases is not asked here
            self.session.report(E0212.of_template(), node.cases[0].span.to(node.cases[-1].span))
        condition = node.condition
        parts = condition.conditions if isinstance(condition, tree.All) else (condition,)
        found: list[Requirement] = []
        for part in parts:
            match part:
                case tree.MeetsBand():
                    one: Requirement | None = self._meets(part)
                case tree.Within(value=value, limits=limits):
                    one = self._limit(part, value, limits.low, limits.high)
                case tree.Comparison():
                    one = self._comparison(part)
                case _:
                    self.session.report(E0207.alternatives_required(), part.span)
                    one = None
            if one is not None:
                found.append(one)
            else:
                mention(part, self.scope, self.session)
        return found

    def _meets(self, node: tree.MeetsBand) -> Meets | None:
        product = self._subject(node.product)
        entity = resolve(node.band, self.scope, self.session)
        if entity is not None and not isinstance(entity, BandEntity):
            self.session.report(E0401.not_a_band(node.band.dotted), node.band.span)
        if product is None or not isinstance(entity, BandEntity):
            return None
        tag, kind, rest = product
        if kind != "product" or rest:
            return self.session.report(E0209.not_a_product(node.product.dotted), node.product.span)
        limits = band(entity, shown_name(own_name(entity)), entity.scope, self.session)
        if limits is None:
            return None
        return Meets(text=_text(node, self.body), product=tag, band=limits, place=place(node.span))

    def _comparison(self, node: tree.Comparison) -> Limit | None:
        if node.operator in ("==", "!="):
            return self.session.report(E0207.equality_required(node.operator), node.span)
        upper = node.operator in ("<", "<=")
        left_reads = reads(node.left, self.body)
        right_reads = reads(node.right, self.body)
        if not left_reads and right_reads:
            low, high = (node.left, None) if upper else (None, node.left)
            return self._limit(node, node.right, low, high)
        low, high = (None, node.right) if upper else (node.right, None)
        return self._limit(node, node.left, low, high)

    def _limit(
        self,
        node: tree.Condition,
        value: tree.Expression,
        low: tree.Expression | None,
        high: tree.Expression | None,
    ) -> Limit | None:
        typed = self._typed(value)
        if typed is None:
            return None
        if not typed.reads:
            return self.session.report(E0209.nothing_required(), value.span)
        limits: list[float | None] = []
        unit: Unit | None = None
        for side in (low, high):
            if side is None:
                limits.append(None)
                continue
            other = self._side(side, typed, value)
            if other is None:
                return None
            if other.reads:  # result against result: their difference against nothing
                typed = _Typed(
                    Combination(operator="-", left=typed.expression, right=other.expression),
                    typed.dimension,
                    True,
                    yearly=typed.yearly,
                )
                limits.append(0.0)
                continue
            unit = unit or self._unit(side, other, yearly=typed.yearly)
            limits.append(_constant(other.expression))
        trade = trade_unit(typed.dimension)
        if trade is None:
            return self.session.report(E0302.required(describe(typed.dimension)), value.span)
        shown = unit or trade[0]
        size = shown.size / trade[0].size
        lower, higher = (None if v is None else in_unit(v, Unit("", NUMBER, size)) for v in limits)
        if not self._can_be(node, typed.expression, (low, high), (lower, higher)):
            return None
        return Limit(
            text=_text(node, self.body),
            expression=typed.expression,
            low=lower,
            high=higher,
            unit=in_currency(shown.sign, self.session.currency or ""),
            unit_size=size,
            place=place(node.span),
        )

    def _side(self, node: tree.Expression, typed: _Typed, value: tree.Expression) -> _Typed | None:
        """What a value is held against; None after a reported fault."""
        found = self._typed(node)
        if found is None or found.dimension == typed.dimension:
            return None if found is None else self._alike(typed, found, node)
        wrong, what = Quantity(1.0, found.dimension), f"`{value.span.text}`"
        report_dimension(wrong, typed.dimension, what, node.span, self.session)
        return None

    def _alike(self, typed: _Typed, other: _Typed, node: tree.Expression) -> _Typed | None:
        """What results are compared with or added to, on their terms: where they are tonnes a year,
        which have the calendar's hours in the unit of the trade, a number has so too. None where
        one is by the year and the other by the hour, which is reported."""
        if typed.yearly == other.yearly or not typed.reads:
            return other
        if other.reads:
            kinds = _TONNES_A_YEAR, describe(other.dimension)
            return self.session.report(
                E0302.compared(*(kinds if typed.yearly else reversed(kinds))), node.span
            )
        hours_at = self.session.hours_of_year
        hours = None if hours_at is None else hours_at(node.span)
        if hours is None:
            return other  # no result is tonnes a year then
        value = _constant(other.expression) * calendar_share(hours)
        return replace(other, expression=Constant(value=value), yearly=True)

    def _unit(self, node: tree.Expression, of: _Typed, *, yearly: bool) -> Unit | None:
        """The unit that a limit is written in, as it is shown; None for the trade's. What is by
        the year is shown so."""
        if not isinstance(node, tree.Measure):
            return known(_YEARLY) if yearly else unit_named(of.unit)
        if not yearly:
            return unit_of_measure(node, self.session)
        unit = known(node.unit)
        return unit if is_yearly(unit) else known(_YEARLY)

    def _can_be(
        self,
        node: tree.Condition,
        of: Expression,
        written: tuple[tree.Expression | None, tree.Expression | None],
        limits: tuple[float | None, float | None],
    ) -> bool:
        """Whether limits can be meant so: the lower one below, and none a number that only per
        cent can mean, as a load of 90, which is 9000 %. Reported where not."""
        most = _MOST_LOAD if isinstance(of, Reading) and is_share(of) else math.inf
        wrong = [n for n in written if isinstance(n, tree.Number) and n.number > most]
        lower, higher = limits
        if not wrong and lower is not None and higher is not None and lower > higher:
            self.session.report(E0306.limits_reversed(), node.span)
            return False
        for number in wrong:
            self.session.report(
                E0306.limit_without_sign(
                    number_text(100 * number.number), number_text(number.number)
                ),
                number.span,
            )
        return not wrong

    def reading(self, node: tree.Path | tree.Call) -> tuple[Expression, Dimension] | None:
        """A result by its name, in trade units; None after a reported fault."""
        typed = self._typed(node)
        return None if typed is None else (typed.expression, typed.dimension)

    def _typed(self, node: tree.Expression) -> _Typed | None:
        """An expression over results, in trade units."""
        if isinstance(node, tree.Call) and node.function.parts[-1].text in sized_names():
            return self._reading(node.function, node)
        if isinstance(node, tree.Path) and (
            _is_result(node, self.body)
            or (len(node.parts) > 1 and self.scope.find(node.parts[0].text) is None)
        ):
            return self._reading(node, None)
        if isinstance(node, tree.Negated) and reads(node, self.body):
            return self._negated(node)
        if isinstance(node, tree.Call) and reads(node, self.body):
            return self.session.report(E0207.function_of_results(node.function.dotted), node.span)
        if isinstance(node, tree.Arithmetic) and reads(node, self.body):
            return self._combined(node)
        value = as_quantity(evaluate(node, self.scope, self.session), node.span, self.session)
        if value is None or not value.known:
            return None
        constant = Constant(value=value.in_trade_unit())
        return _Typed(constant, value.dimension, False, value.written_in)

    def _negated(self, node: tree.Negated) -> _Typed | None:
        inner = self._typed(node.operand)
        if inner is None:
            return None
        less = Combination(operator="*", left=Constant(value=-1.0), right=inner.expression)
        return _Typed(less, inner.dimension, inner.reads, yearly=inner.yearly)

    def _combined(self, node: tree.Arithmetic) -> _Typed | None:
        left, right = self._typed(node.left), self._typed(node.right)
        if left is None or right is None:
            return None
        sign = node.operator
        if left.dimension == right.dimension and sign != "*":
            first, second = (
                self._alike(right, left, node.left),
                self._alike(left, right, node.right),
            )
            if first is None or second is None:
                return None
            left, right = first, second
        if sign in ("+", "-"):
            if left.dimension != right.dimension:
                return self.session.report(
                    E0302.results_added(describe(left.dimension), describe(right.dimension)),
                    node.span,
                )
            dimension = left.dimension
        elif sign == "/" and left.dimension == right.dimension:
            dimension = NUMBER
        elif right.dimension.is_number and sign in ("*", "/"):
            dimension = left.dimension
        elif left.dimension.is_number and sign == "*":
            dimension = right.dimension
        else:
            return self.session.report(E0302.results_combined(), node.span)
        expression = Combination(operator=sign, left=left.expression, right=right.expression)
        yearly = not dimension.is_number and (left.yearly or right.yearly)
        return _Typed(expression, dimension, left.reads or right.reads, yearly=yearly)

    def _reading(self, path: tree.Path, call: tree.Call | None) -> _Typed | None:
        subject = self._subject(path)
        if subject is None:
            return None
        tag, kind, rest = subject
        results = asked(kind)
        name = ".".join(rest)
        if name not in results:
            what = "the plant" if kind == "plant" else f"{kind} `{tag}`"
            return self.session.report(
                E0209.no_result(what, name, results) if name else E0209.which_result(what, results),
                path.span,
            )
        one = results[name]
        size = self._size(call, one, path)
        if one.sized and size is None:
            return None
        if not self.network.damaged:
            self._require_known(tag, one, path)
        reading = Reading(subject=tag, quantity=name, size_mm=size)
        return _Typed(reading, one.dimension, True, yearly=one.unit == _YEARLY)

    def _require_known(self, tag: str, known: Asked, path: tree.Path) -> None:
        """Report what keeps a result from being known that needs more of the plant than most."""
        network, name = self.network, known.name
        if name in MEASURES:
            require_known_shape(network, tag, MEASURES[name], path.dotted, path.span, self.session)
        if known.quantity.family is of.WEAR and known.dimension.money:
            require_price(network, tag, path.dotted, path.span, self.session)

    def _size(self, call: tree.Call | None, one: Asked, path: tree.Path) -> float | None:
        if call is None:
            if one.sized:
                self.session.report(E0209.size_missing(one.name), path.span)
            return None
        size = call.arguments[0]
        if len(call.arguments) != 1 or isinstance(size, tree.Range):
            return self.session.report(E0209.one_size(one.name), call.span)
        return size_mm(size, self.scope, self.session)

    def _subject(self, path: tree.Path) -> tuple[str, str, list[str]] | None:
        """What a path is about: (tag, kind, the words after it). Steps into sections and decks."""
        parts = [part.text for part in path.parts]
        if parts[0] == "plant":
            return "", "plant", parts[1:]
        where: Node | Body = self.body
        used = 0
        while isinstance(where, Body) and used < len(parts):
            found = where.names.get(parts[used])
            if found is None:
                if parts[used] not in self.session.lost_names:
                    self.session.report(
                        E0201.unknown(parts[used], where.names), path.parts[used].span
                    )
                return None
            self.session.names.uses[path.parts[used]] = where.idents[parts[used]]
            where, used = found, used + 1
        if isinstance(where, Body) or where.kind == "port":
            return self.session.report(
                E0209.section(path.dotted, where.names)
                if isinstance(where, Body)
                else E0209.port(path.dotted),
                path.span,
            )
        rest = parts[used:]
        if where.machine is not None:
            outlet = _outlet(where, rest)
            if rest and rest[0] in where.parts and (outlet or rest[0] not in asked(where.word)):
                self.session.names.uses[path.parts[used]] = where.parts[rest[0]]
            if outlet:
                return f"{where.tag}.{outlet}", "stream", rest[outlet.count(".") + 1 :]
            if rest and rest[0] in [deck.name for deck in where.machine.decks]:
                return f"{where.tag}.{rest[0]}", "deck", rest[1:]
            return where.tag, where.word, rest
        return where.tag, where.kind, rest


def _outlet(node: Node, words: Sequence[str]) -> str:
    """The outlet that the first of some words name, where a result of it may follow; "" for none.
    A result of the machine goes before an outlet of the same name."""
    if len(words) == 1 and words[0] in asked(node.word):
        return ""
    named = (".".join(words[:count]) for count in (2, 1))
    return next((name for name in named if name in node.outlets), "")


def ordered(requirements: Iterable[Requirement], nodes: Iterable[str]) -> tuple[Requirement, ...]:
    """In the order in which material reaches what they are about, those of the whole plant last;
    then by their words. `nodes` are tags of feeds, machines and products, in that order."""
    rank = {tag: place for place, tag in enumerate(nodes)}

    def place_of(subject: str) -> int:
        return rank.get(thing_of(subject, rank), len(rank))

    def key(one: Requirement) -> tuple[int, str, str]:
        about = (
            {one.product}
            if isinstance(one, Meets)
            else {r.subject for r in readings(one.expression)}
        )
        return min(map(place_of, about)), one.text, one.model_dump_json(exclude={"place"})

    return tuple(sorted(requirements, key=key))


def _text(node: tree.Node, body: Body) -> str:
    """The requirement as written, with the section it is in."""
    section = f"in {body.prefix.rstrip('.')}: " if body.prefix else ""
    return section + " ".join(node.span.text.split())


def _constant(expression: Expression) -> float:
    assert isinstance(expression, Constant)
    return expression.value


def _is_result(path: tree.Path, body: Body) -> bool:
    head = path.parts[0].text
    return head in body.names or head == "plant"


def reads(node: tree.Expression, body: Body) -> bool:
    """Whether a result is in an expression."""
    match node:
        case tree.Path():
            return _is_result(node, body) or len(node.parts) > 1
        case tree.Call():
            sized = node.function.parts[-1].text in sized_names()
            return sized or any(
                reads(one, body) for one in node.arguments if not isinstance(one, tree.Range)
            )
        case tree.Arithmetic():
            return reads(node.left, body) or reads(node.right, body)
        case tree.Negated():
            return reads(node.operand, body)
    return False
