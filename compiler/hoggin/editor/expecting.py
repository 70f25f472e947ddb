"""What kind of value is wanted at a place."""

from __future__ import annotations

from hoggin.editor.asking import Asking
from hoggin.editor.cursor import Words
from hoggin.editor.names import Symbol
from hoggin.models import catalog
from hoggin.schema.asked import Asked, asked
from hoggin.schema.facts import facts_of
from hoggin.schema.measures import MEASURES
from hoggin.schema.units import LENGTH, NUMBER, UNITS, Dimension
from hoggin.syntax import tree

_SIZES = ("grading", "passing", "sieves", "series", *MEASURES)


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
    """The dimension of the quantity being written; None where any may stand."""
    symbol = given_type(asking)
    if symbol is not None and isinstance(symbol.node, tree.Parameter):
        kind = symbol.node.type
        if isinstance(kind, tree.UnitType):
            return _of_unit(kind.unit)
        return None
    line = asking.cursor.line
    if not line:
        return None
    if line[0].kind in ("REQUIRE", "AIM"):
        result = asked_result(asking)
        return None if result is None else result.dimension
    if line[0].kind == "DECK":
        return LENGTH
    if line[0].kind == "DIRECTION":
        return NUMBER
    return _of_fact(asking, line)


def _of_unit(name: str) -> Dimension | None:
    unit = UNITS.get(name)
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
    if not line or line[0].kind != "REQUIRE" or len(parts) < 2:
        return None
    if any(token.kind in ("STAR", "SLASH") for token in line):
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
        return _of_entry(line)
    return next((f.dimension for o in _owners(head) if (f := facts_of(o).get(name))), None)


def _owners(head: Words) -> tuple[str, ...]:
    """What the facts of a block are declared for."""
    kind = head[0].kind
    if kind == "CLASS" and len(head) > 1:
        return (head[1].text,)
    block = {"PLANT": "plant", "DECK": "deck"}.get(kind, head[0].text)
    return block, "operation"


def _of_entry(line: Words) -> Dimension | None:
    """In a list of sizes: a length, and behind the colon a share. Entries may share a line."""
    before = [token.kind for token in line[:-1]]
    if not before or before[-1] not in ("COLON", "TO"):
        return LENGTH
    return NUMBER
