"""What is between two tokens of a line: nothing or one space."""

from __future__ import annotations

import re
from collections.abc import Sequence

from hoggin.syntax.tokens import Token

_TIGHT_BEFORE = ("RPAR", "COMMA", "COLON", "SEMICOLON", "DOT")
_TIGHT_AFTER = ("LPAR", "DOT")
_VALUE_ENDS = ("NAME", "MEASURE", "NUMBER", "STRING", "RPAR", "PERCENT")
_OF_TYPES = ("NAME", "SLASH")
_STARTS = ("LBRACE", "RBRACE", "SEMICOLON")


def texts(tokens: Sequence[Token], *, parameters: bool) -> list[str]:
    """Each token's text with the spaces that are before it, if any.

    parameters: the line is among a class's or template's parameters, where `t/h` is a unit.
    """
    found: list[str] = []
    typed = False  # between a parameter's colon and what follows its unit
    for place, token in enumerate(tokens):
        typed = _in_type(tokens, place, typed, parameters=parameters)
        blank = "" if place == 0 or _tight(tokens, place, typed) else " "
        found.append(blank + word(token))
    return found


def holds_entries(behind: Sequence[Token]) -> bool:
    """Whether what is after a `{` makes it a list of entries (`63 mm: 55 %`, `choke: 2`)."""
    kinds = [token.kind for token in behind[:2]]
    if kinds[:1] in (["MEASURE"], ["NUMBER"]):
        return True
    return kinds[1:] == ["COLON"] and kinds[0] in ("NAME", "STRING")


def word(token: Token) -> str:
    """A token as it is written: one space between a number and its unit."""
    if token.kind != "MEASURE":
        return token.text
    return re.sub(r"^([0-9.]+(?:[eE][+-]?[0-9]+)?)[ \t]*", r"\1 ", token.text)


def _in_type(tokens: Sequence[Token], place: int, typed: bool, *, parameters: bool) -> bool:
    if place and tokens[place - 1].kind == "COLON":
        typed = parameters or tokens[0].kind in ("CLASS", "TEMPLATE", "SETTING")
    return typed and tokens[place].kind in _OF_TYPES


def _tight(tokens: Sequence[Token], place: int, typed: bool) -> bool:
    before, token = tokens[place - 1], tokens[place]
    if token.kind in _TIGHT_BEFORE or before.kind in _TIGHT_AFTER:
        return True
    if token.kind == "LPAR":
        return before.kind == "NAME" and not _names_a_fact(tokens, place - 1)
    if typed and "SLASH" in (before.kind, token.kind):
        return True
    return before.kind == "SIGN" and _unary(tokens, place - 1)


def _unary(tokens: Sequence[Token], place: int) -> bool:
    """Whether a sign belongs to the value after it."""
    if place == 0 or tokens[place - 1].kind not in _VALUE_ENDS:
        return True
    return _names_a_fact(tokens, place - 1)


def _names_a_fact(tokens: Sequence[Token], place: int) -> bool:
    """Whether a name, dotted or not, opens a statement: what the value after it is stated of."""
    while tokens[place].kind == "NAME" and place > 1 and tokens[place - 1].kind == "DOT":
        place -= 2
    return tokens[place].kind == "NAME" and (place == 0 or tokens[place - 1].kind in _STARTS)
