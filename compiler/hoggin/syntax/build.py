"""From grammar rules to tree nodes: one method a rule, called as Lark reduces it."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from lark import Token, Transformer, v_args
from lark.tree import Meta

from hoggin.diagnostics.source import Source, Span
from hoggin.syntax import tree


def _node(
    build: Callable[[Builder, Span, list[Any]], Any],
) -> Callable[[Builder, Meta, list[Any]], Any]:
    """Give a rule method the rule's span in place of Lark's meta."""

    @wraps(build)
    def method(self: Builder, meta: Meta, children: list[Any]) -> Any:
        if meta.empty:
            return build(self, Span(self.source, 0, 0), children)
        return build(self, Span(self.source, meta.start_pos, meta.end_pos), children)

    return method


@v_args(meta=True)
class Builder(Transformer[Token, tuple[tree.Statement, ...]]):
    """Builds the tree of one source. Children arrive as built nodes, tokens or None."""

    def __init__(self, source: Source) -> None:
        super().__init__()
        self.source = source

    def _span(self, token: Token) -> Span:
        start, end = token.start_pos, token.end_pos
        return Span(self.source, start or 0, end or 0)

    def _ident(self, token: Token) -> tree.Ident:
        return tree.Ident(self._span(token), str(token))

    def _ident_or_none(self, token: Token | None) -> tree.Ident | None:
        return None if token is None else self._ident(token)

    def _text(self, token: Token) -> tree.Text:
        return tree.Text(self._span(token), str(token)[1:-1])

    # --- expressions

    @_node
    def measure(self, span: Span, children: list[Any]) -> tree.Measure:
        written = str(children[0])
        cut = next(i for i, c in enumerate(written) if _starts_unit(written, i, c))
        return tree.Measure(span, float(written[:cut]), written[cut:])

    @_node
    def number(self, span: Span, children: list[Any]) -> tree.Number:
        return tree.Number(span, float(children[0]))

    @_node
    def text(self, span: Span, children: list[Any]) -> tree.Text:
        return self._text(children[0])

    @_node
    def path(self, span: Span, children: list[Any]) -> tree.Path:
        return tree.Path(span, tuple(map(self._ident, children)))

    @_node
    def call(self, span: Span, children: list[Any]) -> tree.Call:
        return tree.Call(span, children[0], tuple(children[1:]))

    @_node
    def negated(self, span: Span, children: list[Any]) -> tree.Expression:
        sign, operand = children
        return tree.Negated(span, operand) if sign == "-" else operand  # type: ignore[no-any-return]

    @_node
    def arithmetic(self, span: Span, children: list[Any]) -> tree.Arithmetic:
        left, operator, right = children
        return tree.Arithmetic(span, str(operator), left, right)

    @_node
    def entry(self, span: Span, children: list[Any]) -> tree.Entry:
        return tree.Entry(span, *children)

    @_node
    def entries(self, span: Span, children: list[Any]) -> tuple[tree.Entry, ...]:
        return _present(children)

    @_node
    def by(self, span: Span, children: list[Any]) -> tree.By:
        return tree.By(span, children[0], children[1])

    # --- conditions

    @_node
    def comparison(self, span: Span, children: list[Any]) -> tree.Comparison:
        left, operator, right = children
        return tree.Comparison(span, str(operator), left, right)

    @_node
    def between(self, span: Span, children: list[Any]) -> tree.Between:
        return tree.Between(span, *children)

    @_node
    def meets(self, span: Span, children: list[Any]) -> tree.MeetsBand:
        return tree.MeetsBand(span, *children)

    @_node
    def all_of(self, span: Span, children: list[Any]) -> tree.All:
        return tree.All(span, tuple(children))

    @_node
    def any_of(self, span: Span, children: list[Any]) -> tree.AnyOf:
        return tree.AnyOf(span, tuple(children))

    # --- statements

    @_node
    def use(self, span: Span, children: list[Any]) -> tree.Use:
        target, alias = children
        if isinstance(target, Token):
            target = self._text(target)
        return tree.Use(span, target, self._ident_or_none(alias))

    @_node
    def let(self, span: Span, children: list[Any]) -> tree.Let:
        return tree.Let(span, self._ident(children[0]), children[1])

    @_node
    def requirement(self, span: Span, children: list[Any]) -> tree.Requirement:
        return tree.Requirement(span, children[0])

    @_node
    def rule(self, span: Span, children: list[Any]) -> tree.Rule:
        return tree.Rule(span, children[0], self._text(children[1]))

    @_node
    def unit_type(self, span: Span, children: list[Any]) -> tree.UnitType:
        return tree.UnitType(span, "".join(map(str, _present(children))))

    @_node
    def choice_type(self, span: Span, children: list[Any]) -> tree.ChoiceType:
        return tree.ChoiceType(span, tuple(map(self._ident, children)))

    @_node
    def range(self, span: Span, children: list[Any]) -> tuple[Any, ...]:
        return tuple(children)

    @_node
    def citation(self, span: Span, children: list[Any]) -> tree.Text:
        return self._text(children[0])

    @_node
    def parameter(self, span: Span, children: list[Any]) -> tree.Parameter:
        name, kind, limits, default, source = children
        low, high = limits or (None, None)
        return tree.Parameter(span, self._ident(name), kind, low, high, default, source)

    @_node
    def parameters(self, span: Span, children: list[Any]) -> tuple[Any, ...]:
        return _present(children)

    @_node
    def block(self, span: Span, children: list[Any]) -> tuple[Any, ...]:
        return _present(children)

    @_node
    def class_definition(self, span: Span, children: list[Any]) -> tree.ClassDefinition:
        kind, name, parameters, body = children
        return tree.ClassDefinition(span, self._ident(kind), self._ident(name), parameters, body)

    @_node
    def template_definition(self, span: Span, children: list[Any]) -> tree.TemplateDefinition:
        name, parameters, body = children
        return tree.TemplateDefinition(span, self._ident(name), parameters, body)

    @_node
    def setting_definition(self, span: Span, children: list[Any]) -> tree.SettingDefinition:
        return tree.SettingDefinition(span, children[0])

    @_node
    def plant_definition(self, span: Span, children: list[Any]) -> tree.PlantDefinition:
        return tree.PlantDefinition(span, self._text(children[0]), children[1])

    @_node
    def definition(self, span: Span, children: list[Any]) -> tree.Definition:
        keyword, name, body = children
        return tree.Definition(span, self._ident(keyword), self._ident(name), body)

    @_node
    def series(self, span: Span, children: list[Any]) -> tree.Series:
        return tree.Series(span, self._ident(children[0]), children[1])

    @_node
    def argument(self, span: Span, children: list[Any]) -> tree.Argument:
        return tree.Argument(span, self._ident(children[0]), children[1])

    @_node
    def arguments(self, span: Span, children: list[Any]) -> tuple[Any, ...]:
        return _present(children)

    @_node
    def declaration(self, span: Span, children: list[Any]) -> tree.Declaration:
        kind, name, of, arguments, body = children
        return tree.Declaration(
            span, self._ident(kind), self._ident(name), of, arguments or (), body or ()
        )

    @_node
    def model_definition(self, span: Span, children: list[Any]) -> tree.ModelDefinition:
        role, name, body = children
        return tree.ModelDefinition(span, self._ident(role), self._ident(name), body or ())

    @_node
    def deck(self, span: Span, children: list[Any]) -> tree.Deck:
        name, aperture, shape, body = children
        return tree.Deck(
            span, self._ident(name), aperture, self._ident_or_none(shape), body or ()
        )

    @_node
    def port(self, span: Span, children: list[Any]) -> tree.Port:
        direction, name, share = children
        return tree.Port(span, str(direction), self._ident(name), share)

    @_node
    def new_product(self, span: Span, children: list[Any]) -> tree.Endpoint:
        name = self._ident(children[1])
        return tree.Endpoint(span, tree.Path(name.span, (name,)), new_product=True)

    @_node
    def route(self, span: Span, children: list[Any]) -> tree.Route:
        endpoints = (
            tree.Endpoint(c.span, c, new_product=False) if isinstance(c, tree.Path) else c
            for c in children
        )
        return tree.Route(span, tuple(endpoints))

    @_node
    def fact(self, span: Span, children: list[Any]) -> tree.Fact:
        name, value, source = children
        if isinstance(value, tuple):
            return tree.Fact(span, self._ident(name), None, value, source)
        return tree.Fact(span, self._ident(name), value, None, source)

    @_node
    def source_fact(self, span: Span, children: list[Any]) -> tree.Fact:
        return tree.Fact(span, tree.Ident(span, "source"), children[0], None, None)

    @_node
    def start(self, span: Span, children: list[Any]) -> tuple[Any, ...]:
        return _present(children)


def _present(children: list[Any]) -> tuple[Any, ...]:
    """Optional parts that were absent arrive as None."""
    return tuple(child for child in children if child is not None)


def _starts_unit(written: str, index: int, letter: str) -> bool:
    """Where a measure's unit begins; the `e` of an exponent is part of the number."""
    if letter == "%":
        return True
    if not letter.isalpha():
        return False
    exponent = letter in "eE" and index > 0 and written[index - 1].isdigit()
    tail = written[index + 1 :].lstrip("+-")
    return not (exponent and tail[:1].isdigit())
