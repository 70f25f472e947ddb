"""From grammar rules to tree nodes: one method a rule, called as the parser reduces it."""

from __future__ import annotations

from typing import Any

from hoggin.diagnostics.source import Source, Span
from hoggin.syntax import tree
from hoggin.syntax.tokens import Token


class Builder:
    """Builds the tree of one source. Children arrive as built nodes, tokens or None.

    The parser says before each call where the rule's text stands (`at`): nodes are built as their
    last token is read, with no second walk over a tree.
    """

    def __init__(self, source: Source) -> None:
        self._source = source
        self._from = self._to = 0

    def at(self, start: int, end: int) -> None:
        """The next rule's text is [start, end)."""
        self._from, self._to = start, end

    def _here(self) -> Span:
        return Span(self._source, self._from, self._to)

    def _span(self, token: Token) -> Span:
        return Span(self._source, token.start, token.end)

    def _ident(self, token: Token) -> tree.Ident:
        return tree.Ident(self._span(token), token.text)

    def _ident_or_none(self, token: Token | None) -> tree.Ident | None:
        return None if token is None else self._ident(token)

    def _text(self, token: Token) -> tree.Text:
        return tree.Text(self._span(token), token.text[1:-1])

    # --- expressions

    def measure(self, children: list[Any]) -> tree.Measure:
        written: str = children[0].text
        cut = next(i for i, c in enumerate(written) if _starts_unit(written, i, c))
        return tree.Measure(self._here(), float(written[:cut]), written[cut:])

    def number(self, children: list[Any]) -> tree.Number:
        return tree.Number(self._here(), float(children[0].text))

    def text(self, children: list[Any]) -> tree.Text:
        return self._text(children[0])

    def path(self, children: list[Any]) -> tree.Path:
        return tree.Path(self._here(), tuple(map(self._ident, children)))

    def call(self, children: list[Any]) -> tree.Call:
        return tree.Call(self._here(), children[0], tuple(children[1:]))

    def negated(self, children: list[Any]) -> tree.Expression:
        sign, operand = children
        return tree.Negated(self._here(), operand) if sign.text == "-" else operand

    def arithmetic(self, children: list[Any]) -> tree.Arithmetic:
        left, operator, right = children
        return tree.Arithmetic(self._here(), operator.text, left, right)

    def entry(self, children: list[Any]) -> tree.Entry:
        return tree.Entry(self._here(), *children)

    def entries(self, children: list[Any]) -> tuple[tree.Entry, ...]:
        return _present(children)

    def by(self, children: list[Any]) -> tree.By:
        return tree.By(self._here(), children[0], children[1])

    # --- conditions

    def comparison(self, children: list[Any]) -> tree.Comparison:
        left, operator, right = children
        return tree.Comparison(self._here(), operator.text, left, right)

    def within(self, children: list[Any]) -> tree.Within:
        value, low, high = children
        limits = tree.Range(Span(self._source, low.span.start, high.span.end), low, high)
        return tree.Within(self._here(), value, limits)

    def meets(self, children: list[Any]) -> tree.MeetsBand:
        return tree.MeetsBand(self._here(), *children)

    def all_of(self, children: list[Any]) -> tree.All:
        return tree.All(self._here(), tuple(children))

    def any_of(self, children: list[Any]) -> tree.AnyOf:
        return tree.AnyOf(self._here(), tuple(children))

    # --- statements

    def use(self, children: list[Any]) -> tree.Use:
        target, alias = children
        if isinstance(target, Token):
            target = self._text(target)
        return tree.Use(self._here(), target, self._ident_or_none(alias))

    def let(self, children: list[Any]) -> tree.Let:
        return tree.Let(self._here(), self._ident(children[0]), children[1])

    def requirement(self, children: list[Any]) -> tree.Requirement:
        return tree.Requirement(self._here(), children[0])

    def rule(self, children: list[Any]) -> tree.Rule:
        return tree.Rule(self._here(), children[0], self._text(children[1]))

    def aim(self, children: list[Any]) -> tree.Aim:
        direction, expression, weight = children
        number = weight and tree.Number(self._span(weight), float(weight.text))
        return tree.Aim(self._here(), self._ident(direction), expression, number)

    def choose(self, children: list[Any]) -> tree.Choose:
        return tree.Choose(self._here(), self._ident(children[0]), children[1])

    def option(self, children: list[Any]) -> tree.Option:
        return tree.Option(self._here(), self._ident(children[0]), children[1])

    def unit_type(self, children: list[Any]) -> tree.UnitType:
        here = self._here()
        return tree.UnitType(here, "".join(here.text.split()))

    def choice_type(self, children: list[Any]) -> tree.ChoiceType:
        return tree.ChoiceType(self._here(), tuple(map(self._ident, children)))

    def range(self, children: list[Any]) -> tree.Range:
        return tree.Range(self._here(), *children)

    def citation(self, children: list[Any]) -> tree.Text:
        return self._text(children[0])

    def parameter(self, children: list[Any]) -> tree.Parameter:
        name, kind, default, source = children
        return tree.Parameter(self._here(), self._ident(name), kind, default, source)

    def parameters(self, children: list[Any]) -> tuple[Any, ...]:
        return _present(children)

    def block(self, children: list[Any]) -> tuple[Any, ...]:
        return _present(children)

    def class_definition(self, children: list[Any]) -> tree.ClassDefinition:
        kind, name, parameters, body = children
        return tree.ClassDefinition(
            self._here(), self._ident(kind), self._ident(name), parameters, body
        )

    def template_definition(self, children: list[Any]) -> tree.TemplateDefinition:
        name, parameters, body = children
        return tree.TemplateDefinition(self._here(), self._ident(name), parameters, body)

    def setting_definition(self, children: list[Any]) -> tree.SettingDefinition:
        return tree.SettingDefinition(self._here(), children[0])

    def plant_definition(self, children: list[Any]) -> tree.PlantDefinition:
        return tree.PlantDefinition(self._here(), self._text(children[0]), children[1])

    def definition(self, children: list[Any]) -> tree.Definition:
        keyword, name, body = children
        return tree.Definition(self._here(), self._ident(keyword), self._ident(name), body)

    def series(self, children: list[Any]) -> tree.Series:
        return tree.Series(self._here(), self._ident(children[0]), children[1])

    def argument(self, children: list[Any]) -> tree.Argument:
        return tree.Argument(self._here(), self._ident(children[0]), children[1])

    def arguments(self, children: list[Any]) -> tuple[Any, ...]:
        return _present(children)

    def declaration(self, children: list[Any]) -> tree.Declaration:
        kind, name, of, arguments, body = children
        return tree.Declaration(
            self._here(), self._ident(kind), self._ident(name), of, arguments or (), body or ()
        )

    def model_definition(self, children: list[Any]) -> tree.ModelDefinition:
        role, name, body = children
        return tree.ModelDefinition(self._here(), self._ident(role), self._ident(name), body or ())

    def deck(self, children: list[Any]) -> tree.Deck:
        name, aperture, shape, body = children
        return tree.Deck(
            self._here(), self._ident(name), aperture, self._ident_or_none(shape), body or ()
        )

    def port(self, children: list[Any]) -> tree.Port:
        direction, name, share = children
        return tree.Port(self._here(), direction.text, self._ident(name), share)

    def new_product(self, children: list[Any]) -> tree.Endpoint:
        name = self._ident(children[1])
        return tree.Endpoint(self._here(), tree.Path(name.span, (name,)), new_product=True)

    def route(self, children: list[Any]) -> tree.Route:
        endpoints = (
            tree.Endpoint(c.span, c, new_product=False) if isinstance(c, tree.Path) else c
            for c in children
        )
        return tree.Route(self._here(), tuple(endpoints))

    def fact(self, children: list[Any]) -> tree.Fact:
        name, value, source = children
        if isinstance(value, tuple):
            return tree.Fact(self._here(), self._ident(name), None, value, source)
        return tree.Fact(self._here(), self._ident(name), value, None, source)

    def source_fact(self, children: list[Any]) -> tree.Fact:
        return tree.Fact(self._here(), tree.Ident(self._here(), "source"), children[0], None, None)

    def start(self, children: list[Any]) -> tuple[Any, ...]:
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
