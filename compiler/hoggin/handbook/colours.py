"""What each part of a plant's text is, for its colours: as the compiler's own reader has it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, TypeAlias

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax.tokens import Token, tokens_of

Kind: TypeAlias = Literal["keyword", "fact", "number", "text", "sign", "comment", ""]

_KINDS: dict[str, Kind] = {
    "NAME": "",
    "STRING": "text",
    **dict.fromkeys(("NUMBER", "MEASURE", "PERCENT"), "number"),
    **dict.fromkeys(("ARROW", "COMPARISON", "SIGN", "STAR", "SLASH", "CARET"), "sign"),
    **dict.fromkeys(("EQUAL", "VBAR", "DOT", "COLON", "COMMA", "SEMICOLON"), ""),
    **dict.fromkeys(("LBRACE", "RBRACE", "LPAR", "RPAR", "_NL"), ""),
}  # any other kind of token is a word of the language
_OPENING = ("_NL", "SEMICOLON", "LBRACE", "RBRACE")
_OF_A_NAME = ("ARROW", "DOT", "COLON", "EQUAL", "COMMA")  # behind a name, which is then no fact


def coloured(text: str) -> Iterator[tuple[Kind, str]]:
    """The whole text in parts, each with what it is."""
    end = 0
    tokens = tokens_of(Source("", text), Diagnostics())
    for place, token in enumerate(tokens):
        if token.kind == "_NL":  # comments are in front of a line's end
            continue
        yield from _between(text[end : token.start])
        yield _kind(tokens, place), text[token.start : token.end]
        end = token.end
    yield from _between(text[end:])


def _kind(tokens: Sequence[Token], place: int) -> Kind:
    kind = tokens[place].kind
    if kind == "NAME":
        before = tokens[place - 1].kind if place else "_NL"
        after = tokens[place + 1].kind if place + 1 < len(tokens) else "_NL"
        return "fact" if before in _OPENING and after not in _OF_A_NAME else ""
    return _KINDS.get(kind, "keyword")


def _between(text: str) -> Iterator[tuple[Kind, str]]:
    """What is no token: blanks and comments."""
    for line in text.splitlines(keepends=True):
        blank, sign, rest = line.partition("#")
        end = "\n" if rest.endswith("\n") else ""
        parts: tuple[tuple[Kind, str], ...] = (
            ("", blank),
            ("comment", sign + rest.removesuffix("\n")),
            ("", end),
        )
        yield from ((kind, part) for kind, part in parts if part)
