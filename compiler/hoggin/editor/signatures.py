"""What may be given in the brackets at a place: the parameters of a class or template, the values
of a number left open, the size of a result."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hoggin.check.free import ARGUMENTS
from hoggin.check.meanings import OPEN
from hoggin.check.words import typed
from hoggin.editor.asking import Asking, about
from hoggin.editor.cursor import Cursor, cursor_at
from hoggin.editor.names import Symbol
from hoggin.editor.reading import Reader
from hoggin.editor.snapshot import Snapshot
from hoggin.schema.asked import sized_names
from hoggin.syntax import tree


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a signature's label, from `start` to `end`."""

    start: int
    end: int
    about: str


@dataclass(frozen=True, slots=True)
class Signature:
    label: str
    parts: tuple[Part, ...]
    about: str


@dataclass(frozen=True, slots=True)
class Signatures:
    """`signature` is the one that applies, `part` the one of its parts that is being written."""

    signatures: tuple[Signature, ...]
    signature: int
    part: int | None


def signatures(snapshot: Snapshot, offset: int, reader: Reader) -> Signatures | None:
    """None outside of brackets."""
    cursor = cursor_at(snapshot.source, offset)
    bracket = cursor.bracket if cursor is not None else None
    if cursor is None or not bracket:
        return None
    called = cursor.line[bracket - 1]
    given = _given(cursor, bracket)
    if called.text in ARGUMENTS:
        parts = tuple(ARGUMENTS[called.text].items())
        sentence = OPEN.get(called.text, "")
        found = _signature(called.text, parts, sentence)
        return Signatures((found,), 0, min(given.commas, len(parts) - 1))
    if called.text in sized_names() and cursor.line[bracket - 2].kind == "DOT":
        found = _signature(called.text, (("size", "the size of the sieve"),), "")
        return Signatures((found,), 0, 0)
    asking = Asking(snapshot, cursor, reader)
    symbol = asking.class_of(cursor.line[:bracket])
    return None if symbol is None else _of_class(asking, symbol, given)


@dataclass(frozen=True, slots=True)
class _Given:
    """names: those of the arguments so far, the last of which may be half typed."""

    names: tuple[str, ...]
    commas: int


def _given(cursor: Cursor, bracket: int) -> _Given:
    names: list[str] = []
    commas = depth = 0
    inside = cursor.line[bracket + 1 :]
    for place, token in enumerate(inside):
        depth += (token.kind == "LPAR") - (token.kind == "RPAR")
        if depth == 0 and token.kind == "COMMA":
            commas += 1
        elif depth == 0 and token.kind == "COLON" and place:
            names.append(inside[place - 1].text)
    is_value = bool(inside) and inside[-1].kind not in ("COMMA",)
    return _Given((*names, *(() if is_value else (cursor.word,))), commas)


def _of_class(asking: Asking, symbol: Symbol, given: _Given) -> Signatures | None:
    members = asking.snapshot.names.members(symbol).values()
    known = [one for one in members if one.kind == "parameter"]
    if not known:
        return None
    parts = [(f"{one.name}: {_type(one)}", _about(one)) for one in known]
    signature = _signature(symbol.name, parts, about(symbol))
    return Signatures((signature,), 0, _active([one.name for one in known], given))


def _active(names: Sequence[str], given: _Given) -> int | None:
    """The parameter that is being written: by its name, or the first that is not given yet."""
    last = given.names[-1] if given.names else ""
    if last in names:
        return names.index(last)
    left = [name for name in names if name not in given.names]
    begun = [name for name in left if name.startswith(last)]
    return names.index((begun or left)[0]) if begun or left else None


def _signature(name: str, parts: Iterable[tuple[str, str]], sentence: str) -> Signature:
    label = f"{name}("
    found: list[Part] = []
    for words, about_it in parts:
        label += ", " if found else ""
        found.append(Part(len(label), len(label) + len(words), about_it))
        label += words
    return Signature(f"{label})", tuple(found), sentence)


def _type(symbol: Symbol) -> str:
    return typed(symbol.node) if isinstance(symbol.node, tree.Parameter) else ""


def _about(symbol: Symbol) -> str:
    """Where its range is from."""
    node = symbol.node
    cited = node.source if isinstance(node, tree.Parameter) else None
    return "" if cited is None else f"source: {cited.text}"
