"""The kind of value wanted at a place, and proposals for it: the words of a choice, `let` lines of
the right kind, limits, units."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.check.meanings import OPEN
from hoggin.check.values import Quantity
from hoggin.editor.asking import Asking, Item
from hoggin.editor.cursor import Words
from hoggin.editor.names import Symbol
from hoggin.editor.valuing import value_of
from hoggin.models import catalog
from hoggin.schema.asked import Asked, asked
from hoggin.schema.facts import facts_of, operation_of
from hoggin.schema.kinds import CLASS_KINDS
from hoggin.schema.measures import MEASURES
from hoggin.schema.units import (
    BASE_UNITS,
    LENGTH,
    NUMBER,
    Dimension,
    describe,
    in_currency,
    in_unit,
    number_text,
    unit_named,
    units_of,
    usual_units,
    written_unit,
)
from hoggin.syntax import printer, tree
from hoggin.syntax.walk import unit_of

_SIZES = ("passing", "sieves", "series", *MEASURES)


def given_type(asking: Asking) -> Symbol | None:
    """The parameter or setting whose value is being written."""
    cursor = asking.cursor
    line, bracket = cursor.line, cursor.bracket
    if bracket is not None and line[0].kind == "KIND":
        symbol = asking.class_of(line[:bracket])
        colons = [i for i, token in enumerate(line) if token.kind == "COLON" and i > bracket]
        name = line[colons[-1] - 1].text if colons else ""
        return _member(asking, symbol, name, "parameter")
    if cursor.head and cursor.head[0].kind == "KIND" and line:
        return _member(asking, asking.class_of(cursor.head), line[0].text, "setting")
    return None


def _member(asking: Asking, symbol: Symbol | None, name: str, kind: str) -> Symbol | None:
    found = asking.snapshot.names.members(symbol).get(name) if symbol is not None else None
    return found if found is not None and found.kind == kind else None


def expected(asking: Asking) -> Dimension | None:
    """The dimension of the quantity being written; None where any is allowed."""
    symbol = given_type(asking)
    if symbol is not None and isinstance(symbol.node, tree.Parameter):
        kind = symbol.node.type
        return None if isinstance(kind, tree.ChoiceType) else _of_unit(unit_of(kind))
    line = asking.cursor.line
    match line[0].kind if line else "":
        case "":
            return None
        case "REQUIRE" | "AIM":
            result = asked_result(asking)
            return None if result is None else result.dimension
        case "DECK":
            return LENGTH
        case "DIRECTION":
            return NUMBER
    return _of_fact(asking, line)


def _of_unit(name: str) -> Dimension | None:
    unit = unit_named(name)
    return unit.dimension if unit is not None else None


def asked_result(asking: Asking) -> Asked | None:
    """The first result that a `require` names; None where it is a part of a product or quotient."""
    line = asking.cursor.line
    parts: list[str] = []
    for token in line[1:]:
        if token.kind == "NAME":
            parts.append(token.text)
        elif token.kind != "DOT" and parts:
            break
    is_part = any(token.kind in ("STAR", "SLASH") for token in line)
    if not line or line[0].kind != "REQUIRE" or len(parts) < 2 or is_part:
        return None
    kind, _ = asking.subject(tuple(parts[:-1]))
    return asked(kind).get(parts[-1])


def _of_fact(asking: Asking, line: Words) -> Dimension | None:
    head = asking.cursor.head
    if not head:
        return None
    name, kind = line[0].text, head[0].kind
    if kind == "MODEL" and len(head) > 3:
        model = catalog.find(head[1].text, head[3].text)
        found = [c for c in (model.coefficients if model else ()) if c.name == name]
        return _of_unit(found[0].unit or "number") if found else None
    if kind == "SERIES" or (kind == "NAME" and head[0].text in _SIZES):
        # In a list of sizes: a length, and after the colon a share. Entries may share a line.
        is_behind = len(line) > 1 and line[-2].kind in ("COLON", "TO")
        return NUMBER if is_behind else LENGTH
    if kind == "OPERATION":
        fact = operation_of(asking.cursor.around).get(name)
    else:
        fact = next((f for o in _owners(head) if (f := facts_of(o).get(name))), None)
    return None if fact is None else fact.dimension


def _owners(head: Words) -> tuple[str, ...]:
    """What the facts of a block are declared for."""
    kind = head[0].kind
    if kind == "CLASS" and len(head) > 1:
        return (head[1].text,)
    block = {"PLANT": "plant", "DECK": "deck"}.get(kind, head[0].text)
    return (block, "machine") if block in CLASS_KINDS else (block,)


def units(asking: Asking) -> Iterator[Item]:
    """The units that a number may have here: the base units where any may stand, else those usual
    for its dimension, and that of the result required. Prices are in the plant's currency."""
    wanted, result = expected(asking), asked_result(asking)
    names = [*BASE_UNITS, *usual_units()] if wanted is None else units_of(wanted, asking.currency)
    own = [result.unit] if result is not None and result.unit else []
    own = [in_currency(name, asking.currency) for name in own]
    for name in dict.fromkeys((*own, *names)):
        found = unit_named(name)
        if found is not None:
            yield Item(name, "type", describe(found.dimension))


def values(asking: Asking) -> Iterator[Item]:
    """What may be given to the parameter, setting or fact that the line names."""
    line = asking.cursor.line
    if line[-1].kind in ("MEASURE", "RPAR", "STRING", "SOURCE"):
        return
    symbol = given_type(asking)
    if symbol is not None and isinstance(symbol.node, tree.Parameter):
        if line[-1].kind not in ("COLON", "NAME"):
            yield from lets(asking, expected(asking))
        elif line[-1].text == symbol.name or line[-1].kind == "COLON":
            yield from _of_parameter(asking, symbol.node)
        return
    if line[0].kind == "LET":
        if line[-1].kind not in ("NAME", "LET"):
            yield from lets(asking, None)
        return
    wanted = expected(asking)
    if wanted is not None and asking.cursor.path is None and line[-1].kind != "DOT":
        yield from lets(asking, wanted)


def _of_parameter(asking: Asking, node: tree.Parameter) -> Iterator[Item]:
    kind = node.type
    if isinstance(kind, tree.ChoiceType):
        for choice in kind.choices:
            usual = isinstance(node.default, tree.Path) and node.default.dotted == choice.text
            detail = "by default" if usual else node.name.text
            yield Item(choice.text, "enumMember", detail)
        yield from _same_choices(asking, kind)
        return
    parts = ((node.default, "default"), *zip(node.limits, ("least", "most"), strict=False))
    for part, detail in parts:
        if isinstance(part, tree.Measure | tree.Number):
            yield Item(part.span.text, "number", detail)
    yield from lets(asking, expected(asking), node)
    if node.limits and all(isinstance(limit, tree.Measure) for limit in node.limits):
        hole = node.type.span.text
        yield Item("free", "function", OPEN["free"], f"free({hole})", hole)


def _same_choices(asking: Asking, kind: tree.ChoiceType) -> Iterator[Item]:
    """Parameters of the template around that may only be words of this choice."""
    words = {choice.text for choice in kind.choices}
    for symbol in asking.scope.visible().values():
        own = symbol.node.type if isinstance(symbol.node, tree.Parameter) else None
        if isinstance(own, tree.ChoiceType) and words >= {choice.text for choice in own.choices}:
            yield Item(symbol.name, "parameter", f"parameter of {symbol.owner}")


def lets(
    asking: Asking, wanted: Dimension | None, within: tree.Parameter | None = None
) -> Iterator[Item]:
    """Values by name that have the wanted dimension, and lie in a parameter's range."""
    line = asking.cursor.line
    own = line[1].text if len(line) > 1 and line[0].kind == "LET" else ""
    for symbol in asking.scope.visible().values():
        if symbol.name == own:  # it can't depend on itself
            continue
        if isinstance(symbol.node, tree.Parameter):
            kind = symbol.node.type
            unit = None if isinstance(kind, tree.ChoiceType) else unit_named(unit_of(kind))
            if unit is not None and wanted in (None, unit.dimension):
                yield Item(symbol.name, "parameter", f"{symbol.kind} of {symbol.owner}")
        elif symbol.kind == "let":
            found = value_of(asking.snapshot.names, symbol)
            if not isinstance(found, Quantity) or wanted not in (None, found.dimension):
                continue
            if within is None or _lies_in(found, within):
                yield Item(symbol.name, "variable", found.shown() if found.known else "let")


def _lies_in(value: Quantity, node: tree.Parameter) -> bool:
    match [_si(limit) for limit in node.limits]:
        case [float(low), float(high)] if value.known:
            return low <= value.si <= high
    return True


def _si(node: tree.Expression | None) -> float | None:
    unit = written_unit(node.unit) if isinstance(node, tree.Measure) else None
    if isinstance(node, tree.Measure) and unit is not None:
        return node.number * unit.size
    return node.number if isinstance(node, tree.Number) else None


def number_in(value: float, unit: str) -> str:
    """A number of a unit, three digits of it."""
    name = "" if unit in ("", "number") else f" {unit}"
    return f"{number_text(float(f'{value:.3g}'))}{name}"


def sample_of(symbol: Symbol) -> str:
    """A value that a parameter takes: its default, or the least it may be."""
    node = symbol.node
    assert isinstance(node, tree.Parameter)
    if isinstance(node.type, tree.ChoiceType):
        default = node.default.span.text if isinstance(node.default, tree.Path) else ""
        return default or node.type.choices[0].text
    if isinstance(node.type, tree.ClassType):
        return printer.line(node.default) if node.default is not None else node.type.kind.text
    for part in (node.default, *node.limits[:1]):
        if isinstance(part, tree.Measure | tree.Number | tree.Text):
            return part.span.text
    name = unit_of(node.type)
    unit = unit_named(name)
    if name == "text":
        return '""'
    return number_in(
        in_unit(unit.size, unit) if unit else 1.0,
        "" if unit is None or unit.dimension == NUMBER else name,
    )
