"""Trees as text: any node on one line, and whole files in the one layout.

What is printed reads back as the same tree. Brackets are written only where the grammar needs them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from types import UnionType

from hoggin.diagnostics.source import Source
from hoggin.syntax import tree
from hoggin.syntax.layout import laid_out

Words = Callable[[tree.Expression], str | None]

_INDENT = "  "
_WIDEST = 96
_POWERS = {"+": 1, "-": 1, "*": 2, "/": 2, "^": 3}  # how tightly a sign binds
_SIGN, _ATOM = 4, 5
# Blocks that a line may hold.
_SHORT = (tree.Declaration, tree.Deck, tree.ModelDefinition, tree.Operation, tree.Project)


def printed(statements: Iterable[tree.Statement]) -> str:
    """Statements as the text of a file, laid out. Raises ValueError where a hand-made tree holds
    what no text can say."""
    text = "\n".join(_paragraphs(statements))
    laid = laid_out(Source("", text))
    if not isinstance(laid, str):
        raise ValueError(f"no text says this: {text}")
    return laid


def line(node: tree.Node, words: Words | None = None) -> str:
    """A node on one line; of a statement with a block, what is before the block.

    words: how an expression is written, where it is to be other than in the source.
    """
    return _Printer(words).line(node)


def entries(nodes: Iterable[tree.Entry], words: Words | None = None) -> str:
    """A list in braces."""
    return _Printer(words).braced(tuple(nodes))


def typed(node: tree.Parameter, words: Words | None = None) -> str:
    """A parameter's type and default: `5 mm to 60 mm = 20 mm`."""
    return _Printer(words).typed(node)


def body_of(node: tree.Statement) -> tuple[tree.Statement, ...] | None:
    """The lines of a statement's block; None where none is written."""
    match node:
        case tree.Declaration(body=body) | tree.Deck(body=body) | tree.ModelDefinition(body=body):
            return body or None
        case (
            tree.PlantDefinition(body=body)
            | tree.ClassDefinition(body=body)
            | tree.TemplateDefinition(body=body)
            | tree.Definition(body=body)
            | tree.Choose(body=body)
            | tree.Option(body=body)
            | tree.Case(body=body)
            | tree.Operation(body=body)
            | tree.Project(body=body)
        ):
            return body
    return None


class _Printer:
    def __init__(self, words: Words | None = None) -> None:
        self._words = words

    def line(self, node: tree.Node) -> str:
        if isinstance(node, tree.Expression):
            return self._expression(node)[0]
        if isinstance(node, tree.Condition):
            return self._condition(node)
        match node:
            case tree.Ident(text=text):
                return text
            case tree.Entry(key=key, value=value, upper=upper):
                return self.line(key) + self._after(": ", value) + self._after(" to ", upper)
            case tree.Range(low=low, high=high):
                return f"{self.line(low)} to {self.line(high)}"
            case tree.UnitType() | tree.ChoiceType() | tree.ClassType():
                return self._type(node)
            case tree.Parameter(name=name, source=source):
                return f"{name.text}: {self.typed(node)}{self._after(' source ', source)}"
            case tree.Argument(name=name, value=value):
                return f"{name.text}: {self.line(value)}"
        return self._statement(node)

    def _type(self, node: tree.UnitType | tree.ChoiceType | tree.ClassType) -> str:
        match node:
            case tree.UnitType(unit=unit):
                return unit
            case tree.ChoiceType(choices=choices):
                return " | ".join(choice.text for choice in choices)
            case tree.ClassType(kind=kind):
                return f"class {kind.text}"

    def _statement(self, node: tree.Node) -> str:
        match node:
            case tree.Use(target=target, alias=alias):
                return f"use {self.line(target)}{self._after(' as ', alias)}"
            case tree.Let(name=name, value=value):
                return f"let {name.text} = {self.line(value)}"
            case tree.Requirement(condition=condition, cases=cases):
                return f"require {self.line(condition)}{' in ' * bool(cases)}{self._listed(cases)}"
            case tree.Rule(condition=condition, reason=reason):
                return f"rule {self.line(condition)} else {self.line(reason)}"
            case tree.SettingDefinition(parameter=parameter):
                return f"setting {self.line(parameter)}"
            case tree.Port(direction=direction, name=name, share=share):
                return f"{direction} {name.text}{self._after(' ', share)}"
            case tree.Endpoint(path=path, new_product=is_new):
                return f"product {path.dotted}" if is_new else path.dotted
            case tree.Route(endpoints=endpoints):
                return " -> ".join(map(self.line, endpoints))
        return self._stated(node)

    def _stated(self, node: tree.Node) -> str:
        match node:
            case tree.Fact(name=name, value=value, entries=listed, source=source):
                given = self._after(" ", value) if listed is None else f" {self.braced(listed)}"
                return f"{name.text}{given}{self._after(' source ', source)}"
            case tree.Operation():
                return "operation"
            case tree.Project():
                return "project"
            case tree.Note(text=text):
                return f"note {self.line(text)}"
            case tree.Series(name=name, entries=listed):
                return f"series {name.text} {self.braced(listed)}"
            case tree.Aim(direction=direction, expression=expression, weight=weight):
                return f"{direction.text} {self.line(expression)}{self._after(' weight ', weight)}"
        return self._head(node)

    def _head(self, node: tree.Node) -> str:
        """What is before a block."""
        match node:
            case tree.PlantDefinition(title=title):
                return f"plant {self.line(title)}"
            case tree.ClassDefinition(kind=kind, name=name, parameters=parameters, of=of):
                taken = self._bracketed(parameters)
                return f"class {kind.text} {name.text}{taken}{self._after(': ', of)}"
            case tree.TemplateDefinition(name=name, parameters=parameters):
                return f"template {name.text}{self._bracketed(parameters)}"
            case tree.Definition(keyword=keyword, name=name, of=of):
                return f"{keyword.text} {name.text}{self._after(': ', of)}"
            case tree.Declaration(kind=kind, name=name, of=of, arguments=arguments):
                given = self._bracketed(arguments)
                return f"{kind.text} {name.text}{self._after(': ', of)}{given}"
            case tree.ModelDefinition(role=role, name=name):
                return f"model {role.text}: {name.text}"
            case tree.Deck(name=name, aperture=aperture, shape=shape):
                opening = self._before_name(aperture) if shape else self.line(aperture)
                return f"deck {name.text} {opening}" + self._after(" ", shape)
            case tree.Option(name=name):
                return f"option {name.text}"
            case tree.Choose(name=name, settled=of) | tree.Case(name=name, of=of):
                word = type(node).__name__.lower()
                return f"{word} {name.text}{self._after(': ', of)}"
        raise TypeError(f"not a node of a tree: {node!r}")

    def braced(self, listed: tuple[tree.Entry, ...]) -> str:
        if not listed:
            return "{ }"
        return f"{{ {self._listed(listed)} }}"

    def _bracketed(self, nodes: tuple[tree.Node, ...]) -> str:
        return f"({self._listed(nodes)})" if nodes else ""

    def _after(self, sign: str, node: tree.Node | None) -> str:
        return "" if node is None else f"{sign}{self.line(node)}"

    def _listed(self, nodes: Iterable[tree.Node]) -> str:
        return ", ".join(map(self.line, nodes))

    def typed(self, node: tree.Parameter) -> str:
        return f"{self.line(node.type)}{self._after(' = ', node.default)}"

    def _condition(self, node: tree.Condition) -> str:
        match node:
            case tree.Comparison(operator=sign, left=left, right=right):
                return f"{self.line(left)} {sign} {self.line(right)}"
            case tree.Within(value=value, limits=limits):
                return f"{self.line(value)} within {self.line(limits)}"
            case tree.MeetsBand(product=product, band=band):
                return f"{product.dotted} meets {band.dotted}"
            case tree.All(conditions=parts):
                return " and ".join(self._part(one, tree.All | tree.AnyOf) for one in parts)
            case tree.AnyOf(conditions=parts):
                return " or ".join(self._part(one, tree.AnyOf) for one in parts)

    def _part(self, node: tree.Condition, looser: type | UnionType) -> str:
        return f"({self.line(node)})" if isinstance(node, looser) else self.line(node)

    def _expression(self, node: tree.Expression) -> tuple[str, int]:
        """The words, and how tightly they bind."""
        own = self._words(node) if self._words is not None else None
        if own is not None:
            return own, _ATOM
        match node:
            case tree.Measure(number=amount, unit=unit):
                return f"{number(amount)} {unit}", _ATOM
            case tree.Number(number=amount):
                return number(amount), _ATOM
            case tree.Text(text=text):
                return f'"{text}"', _ATOM
            case tree.Path():
                return node.dotted, _ATOM
            case tree.Call(function=function, arguments=arguments):
                return f"{function.dotted}({self._listed(arguments)})", _ATOM
            case tree.Negated(operand=operand):
                return f"-{self._within(operand, _SIGN)}", _SIGN
            case tree.Arithmetic(operator=sign, left=left, right=right):
                power = _POWERS[sign]
                least = _SIGN if sign == "^" else power
                first, second = self._within(left, least), self._within(right, power + 1)
                return f"{first} {sign} {second}", power
            case tree.By(entries=listed) | tree.Row(entries=listed):
                before = f"by {node.choice.dotted} " if isinstance(node, tree.By) else ""
                return before + self.braced(listed), _ATOM

    def _within(self, node: tree.Expression, least: int) -> str:
        """An operand, in brackets where it binds less tightly than what it is in."""
        text, power = self._expression(node)
        return text if power >= least else f"({text})"

    def _before_name(self, node: tree.Expression) -> str:
        """A number with a name after it would be read as one with a unit."""
        text = self.line(node)
        return f"({text})" if text[-1].isdigit() and _ends_in_number(node) else text


def number(value: float) -> str:
    """The shortest text that reads as this number."""
    if value == math.inf:
        return "1e999"
    text = repr(float(value)).removesuffix(".0")
    return f"{Decimal(text):f}" if 1e-9 < value < 1e21 else text


def _ends_in_number(node: tree.Expression) -> bool:
    match node:
        case tree.Negated(operand=last) | tree.Arithmetic(right=last):
            return _ends_in_number(last)
    return isinstance(node, tree.Number)


def _paragraphs(statements: Iterable[tree.Statement]) -> Iterator[str]:
    """Lines of a file, with a blank one on either side of what takes several."""
    before: list[str] = []
    for statement in statements:
        lines = list(_lines(statement, ""))
        if before and len(before) + len(lines) > 2:
            yield ""
        yield from lines
        before = lines


def _lines(node: tree.Statement, indent: str) -> Iterator[str]:
    head, body = line(node), body_of(node)
    if body is None:
        yield from _wrapped(node, head, indent)
        return
    inside = [text for statement in body for text in _lines(statement, indent + _INDENT)]
    whole = f"{indent}{head} {{ {''.join(inside).strip()} }}"
    if not inside or (len(inside) == 1 and len(whole) <= _WIDEST and isinstance(node, _SHORT)):
        yield whole
        return
    yield f"{indent}{head} {{"
    yield from inside
    yield f"{indent}}}"


def _wrapped(node: tree.Statement, text: str, indent: str) -> Iterator[str]:
    """A list of sizes on as many lines as it needs; anything else on one."""
    listed = node.entries if isinstance(node, tree.Fact | tree.Series) else None
    opening = f" {entries(listed)}" if listed else ""
    if not listed or len(indent + text) <= _WIDEST:
        yield indent + text
        return
    before, _, behind = text.partition(opening)
    yield f"{indent}{before} {{"
    row = ""
    for entry in map(line, listed):
        if row and len(indent + row) + len(entry) > _WIDEST - 6:
            yield f"{indent}{_INDENT}{row}"
            row = ""
        row += f"{', ' if row else ''}{entry}"
    yield f"{indent}{_INDENT}{row}"
    yield f"{indent}}}{behind}"
