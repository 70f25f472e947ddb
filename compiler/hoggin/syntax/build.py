"""From grammar rules to tree nodes, built as the parser reduces each rule."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from hoggin.diagnostics.source import Source, Span
from hoggin.syntax import tree
from hoggin.syntax.tokens import Token

# Rules whose parts are the fields of their node, in order.
_NODES: Mapping[str, Callable[..., tree.Node]] = {
    "entry": tree.Entry,
    "by": tree.By,
    "row": tree.Row,
    "meets": tree.MeetsBand,
    "let": tree.Let,
    "rule": tree.Rule,
    "choose": tree.Choose,
    "option": tree.Option,
    "case": tree.Case,
    "class_type": tree.ClassType,
    "setting_definition": tree.SettingDefinition,
    "definition": tree.Definition,
    "series": tree.Series,
    "argument": tree.Argument,
    "range": tree.Range,
    "aim": tree.Aim,
    "parameter": tree.Parameter,
    "operation": tree.Operation,
    "project": tree.Project,
    "note": tree.Note,
}
# Rules whose parts together are the one field of their node.
_GROUPS: Mapping[str, Callable[..., tree.Node]] = {
    "path": tree.Path,
    "all_of": tree.All,
    "any_of": tree.AnyOf,
    "choice_type": tree.ChoiceType,
}
_Body = tuple[tree.Statement, ...] | None
_LISTS = frozenset({"entries", "parameters", "arguments", "block", "start"})
_NUMBER = re.compile(r"[0-9.]+(?:[eE][+-]?[0-9]+)?[ \t]*")  # of a measure; the rest is its unit


class Builder:
    """Builds the tree of one source: by the tables above, or by the method with the rule's name.

    Parts arrive as built nodes, tokens, or None for an optional part that was absent.
    """

    def __init__(self, source: Source) -> None:
        self._source = source
        self._here = Span(source, 0, 0)

    def built(self, rule: str, children: list[Any], start: int, end: int) -> Any:
        """What a rule stands for, whose text is [start, end)."""
        if rule in _LISTS:
            return tuple(child for child in children if child is not None)
        parts = [self._word(one) if isinstance(one, Token) else one for one in children]
        self._here = Span(self._source, start, end)
        if (node := _NODES.get(rule)) is not None:
            return node(self._here, *parts)
        if rule in _GROUPS:
            return _GROUPS[rule](self._here, tuple(parts))
        return getattr(self, rule)(*parts)

    def _word(self, token: Token) -> tree.Ident | tree.Text:
        span = Span(self._source, token.start, token.end)
        if token.kind == "STRING":
            return tree.Text(span, token.text[1:-1])
        return tree.Ident(span, token.text)

    def measure(self, word: tree.Ident) -> tree.Measure:
        number = _NUMBER.match(word.text)
        assert number is not None, "a measure begins with its number"
        return tree.Measure(self._here, float(number[0]), word.text[number.end() :])

    def number(self, written: tree.Ident) -> tree.Number:
        return tree.Number(self._here, float(written.text))

    def text(self, quoted: tree.Text) -> tree.Text:
        return quoted

    citation = text

    def call(self, function: tree.Path, *arguments: tree.Expression) -> tree.Call:
        return tree.Call(self._here, function, arguments)

    def negated(self, sign: tree.Ident, operand: tree.Expression) -> tree.Expression:
        return tree.Negated(self._here, operand) if sign.text == "-" else operand

    def arithmetic(
        self, left: tree.Expression, operator: tree.Ident, right: tree.Expression
    ) -> tree.Arithmetic:
        return tree.Arithmetic(self._here, operator.text, left, right)

    def comparison(
        self, left: tree.Expression, operator: tree.Ident, right: tree.Expression
    ) -> tree.Comparison:
        return tree.Comparison(self._here, operator.text, left, right)

    def within(
        self, value: tree.Expression, low: tree.Expression, high: tree.Expression
    ) -> tree.Within:
        return tree.Within(self._here, value, tree.Range(low.span.to(high.span), low, high))

    def weight(self, written: tree.Ident) -> tree.Number:
        return tree.Number(written.span, float(written.text))

    def use(self, target: tree.Path | tree.Text, alias: tree.Ident | None) -> tree.Use:
        return tree.Use(self._here, target, alias, changed=())

    def plant_definition(
        self, title: tree.Text, body: tuple[tree.Statement, ...]
    ) -> tree.PlantDefinition:
        return tree.PlantDefinition(self._here, title, body, years=())

    def unit_type(self, _: tree.Expression | tree.Ident) -> tree.UnitType:
        return tree.UnitType(self._here, "".join(self._here.text.split()))

    def class_definition(
        self,
        kind: tree.Ident,
        name: tree.Ident,
        parameters: tuple[tree.Parameter, ...] | None,
        of: tree.Path | None,
        body: tuple[tree.Statement, ...],
    ) -> tree.ClassDefinition:
        return tree.ClassDefinition(self._here, kind, name, parameters or (), of, body)

    def template_definition(
        self,
        name: tree.Ident,
        parameters: tuple[tree.Parameter, ...] | None,
        body: tuple[tree.Statement, ...],
    ) -> tree.TemplateDefinition:
        return tree.TemplateDefinition(self._here, name, parameters or (), body)

    def declaration(
        self,
        kind: tree.Ident,
        name: tree.Ident,
        of: tree.Path | None,
        arguments: tuple[tree.Argument, ...] | None,
        body: _Body,
    ) -> tree.Declaration:
        return tree.Declaration(self._here, kind, name, of, arguments or (), body or ())

    def model_definition(
        self, role: tree.Ident, name: tree.Ident, body: _Body
    ) -> tree.ModelDefinition:
        return tree.ModelDefinition(self._here, role, name, body or ())

    def deck(
        self, name: tree.Ident, aperture: tree.Expression, shape: tree.Ident | None, body: _Body
    ) -> tree.Deck:
        return tree.Deck(self._here, name, aperture, shape, body or ())

    def port(
        self, direction: tree.Ident, name: tree.Ident, share: tree.Expression | None
    ) -> tree.Port:
        return tree.Port(self._here, direction.text, name, share)

    def new_product(self, _: tree.Ident, name: tree.Ident) -> tree.Endpoint:
        return tree.Endpoint(self._here, tree.Path(name.span, (name,)), new_product=True)

    def route(self, *ends: tree.Path | tree.Endpoint) -> tree.Route:
        endpoints = (
            tree.Endpoint(end.span, end, new_product=False) if isinstance(end, tree.Path) else end
            for end in ends
        )
        return tree.Route(self._here, tuple(endpoints))

    def fact(self, name: tree.Ident, given: Any, source: tree.Text | None) -> tree.Fact:
        if isinstance(given, tuple):
            return tree.Fact(self._here, name, None, given, source)
        return tree.Fact(self._here, name, given, None, source)

    def dotted(self, *parts: tree.Ident) -> tree.DottedIdent:
        return tree.DottedIdent(self._here, ".".join(part.text for part in parts), parts)

    def requirement(
        self, condition: tree.Condition, cases: tuple[tree.Ident, ...] | None
    ) -> tree.Requirement:
        return tree.Requirement(self._here, condition, cases or ())

    def cases(self, _: tree.Ident, *names: tree.Ident) -> tuple[tree.Ident, ...]:
        return names

    def source_fact(self, cited: tree.Text) -> tree.Fact:
        return tree.Fact(self._here, tree.Ident(self._here, "source"), cited, None, None)
