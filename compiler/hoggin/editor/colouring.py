"""Semantic tokens: what kind of thing each word of a document is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from hoggin.check.free import FREE
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax.tokens import Token

# The protocol's own names of kinds, by what a symbol is here.
_BY_SYMBOL = {
    "library": "namespace",
    "let": "variable",
    "class": "class",
    "template": "class",
    "series": "type",
    "material": "type",
    "band": "type",
    "grading": "type",
    "parameter": "parameter",
    "setting": "property",
    "deck": "property",
    "outlet": "property",
    "in port": "property",
    "out port": "property",
}
_BY_TOKEN = {
    "STRING": "string",
    "NUMBER": "number",
    "MEASURE": "number",
    "PERCENT": "number",
    "ARROW": "operator",
    "COMPARISON": "operator",
    "SIGN": "operator",
    "STAR": "operator",
    "SLASH": "operator",
    "CARET": "operator",
    "EQUAL": "operator",
    "VBAR": "operator",
}
_SIGNS = {"LBRACE", "RBRACE", "LPAR", "RPAR", "COLON", "COMMA", "SEMICOLON", "DOT", "_NL"}
TYPES = (
    "keyword",
    "comment",
    "function",
    "enumMember",
    *sorted({*_BY_SYMBOL.values(), *_BY_TOKEN.values()}),
)
MODIFIERS = ("declaration", "defaultLibrary")


@dataclass(frozen=True, slots=True)
class Coloured:
    start: int
    end: int
    type: str
    modifiers: tuple[str, ...] = ()


def coloured(snapshot: Snapshot) -> tuple[Coloured, ...]:
    """Every word of the document that has a kind, in order; none crosses a line's end."""
    source = snapshot.source
    named = {one.span.start: one for one in snapshot.names.occurrences(snapshot.name)}
    tokens = snapshot.tokens
    found: list[Coloured] = []
    for place, token in enumerate(tokens):
        one = named.get(token.start)
        if one is not None and one.span.end == token.end:
            flags = {
                "declaration": one.declares,
                "defaultLibrary": one.symbol.file.startswith("std."),
            }
            modifiers = tuple(flag for flag, is_set in flags.items() if is_set)
            kind = _BY_SYMBOL.get(one.symbol.kind, "variable")
            found.append(Coloured(token.start, token.end, kind, modifiers))
        else:
            kind = _plain(token, tokens, place)
            if kind and "\n" not in token.text:
                found.append(Coloured(token.start, token.end, kind))
    found += _comments(source.text, tokens)
    return tuple(sorted(found, key=lambda one: one.start))


def _plain(token: Token, tokens: Sequence[Token], place: int) -> str:
    if token.kind in _SIGNS:
        return ""
    if token.kind in _BY_TOKEN:
        return _BY_TOKEN[token.kind]
    if token.kind != "NAME":
        return "keyword"
    after = tokens[place + 1].kind if place + 1 < len(tokens) else "_NL"
    before = tokens[place - 1].kind if place else "_NL"
    if after == "LPAR" and token.text in ("min", "max", *FREE):
        return "function"
    opens = before in ("_NL", "LBRACE", "SEMICOLON", "LPAR", "COMMA")
    return "property" if opens or before == "DOT" else "enumMember"


def _comments(text: str, tokens: Sequence[Token]) -> Iterator[Coloured]:
    """A `#` that stands in no text begins one, up to the line's end."""
    strings = [(token.start, token.end) for token in tokens if token.kind == "STRING"]
    place = 0
    offset = text.find("#")
    while offset >= 0:
        while place < len(strings) and strings[place][1] <= offset:
            place += 1
        if place < len(strings) and strings[place][0] <= offset:
            offset = text.find("#", strings[place][1])
            continue
        end = text.find("\n", offset)
        end = len(text) if end < 0 else end
        yield Coloured(offset, end, "comment")
        offset = text.find("#", end)
