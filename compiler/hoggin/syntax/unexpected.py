"""What is said of a token that does not fit: what it is, and what to write in its place."""

from __future__ import annotations

from collections.abc import Sequence

from hoggin.diagnostics.families.text import E0101
from hoggin.diagnostics.fault import Fault
from hoggin.schema.kinds import KINDS
from hoggin.schema.sieve_numbers import size_text
from hoggin.syntax.tokens import Token

_WORDS = {
    "NAME": "a name",
    "STRING": 'a text in "quotes"',
    "MEASURE": "a quantity with its unit",
    "NUMBER": "a number",
    "LBRACE": "`{`",
    "RBRACE": "`}`",
    "LPAR": "`(`",
    "RPAR": "`)`",
    "COLON": "`:`",
    "COMMA": "`,`",
    "EQUAL": "`=`",
    "DOT": "`.`",
    "VBAR": "`|`",
    "COMPARISON": "a comparison (`<=`, `>=`, `==` ...)",
    "_NL": "the end of the line",
    "SEMICOLON": "`;`",
    "$END": "the end of the file",
    "ARROW": "`->`",
    "SOURCE": "`source`",
    "KIND": "a kind of machine",
    "SIGN": "an operator",
    "STAR": "an operator",
    "SLASH": "an operator",
    "CARET": "an operator",
}
_OTHERS = (
    "use let require rule class template setting plant series model deck product material band "
    "grading maximize minimize choose option"
)
# Words of other languages for a statement of this one.
_ELSEWHERE = {"import": "use", "include": "use", "rock": "material", "assert": "require"}
_OPENING = ("feed", *KINDS, "section", *_OTHERS.split())


def unexpected(line: Sequence[Token], token: Token, accepted: set[str]) -> Fault:
    """What to say of a token that is after the read part of its line, `line`, where only the
    kinds `accepted` could be."""
    found = _WORDS["$END"] if token.kind == "$END" else f"`{token.text}`"
    if token.kind == "_NL":
        found = "the end of the line"
    return (
        _of_signs(found, line, token, accepted)
        or _of_names(found, line, token, accepted)
        or _of_numbers(found, line, token, accepted)
        or _wanted(found, accepted)
    )


def misspelt(line: Sequence[Token], token: Token) -> str:
    """The word of the language that the line's first word was meant to be; "" for none."""
    from difflib import get_close_matches  # only a fault needs it

    kinds = [one.kind for one in line]
    if kinds[:1] != ["NAME"] or kinds[1:2] not in (["NAME"], ["STRING"], []):
        return ""
    if token.kind in ("NAME", "_NL", "$END", "DOT", "COMMA") or len(line) > 6:
        return ""
    if len(line) == 1 and token.kind == "COLON":
        return ""
    if line[0].text in _ELSEWHERE and len(line) > 1:
        return _ELSEWHERE[line[0].text]
    near = get_close_matches(line[0].text.lower(), _OPENING, n=1, cutoff=0.75)
    return near[0] if near and near[0] != line[0].text else ""


def _of_signs(found: str, line: Sequence[Token], token: Token, accepted: set[str]) -> Fault | None:
    kinds = [one.kind for one in line]
    if not line and token.text in ("/", "-", "*"):
        return E0101.comment_sign(found)
    if token.text == "-" and kinds[-2:] in (["KIND", "NAME"], ["PRODUCT", "NAME"]):
        return E0101.hyphen_in_name(found)
    if token.kind == "DOT" and kinds == ["DEFINITION", "NAME"]:
        return E0101.dot_in_declared_name()
    if token.text == "<" and kinds[:1] == ["NAME"] and "ARROW" not in kinds:
        return E0101.route_backwards(found)
    if token.kind == "LPAR" and kinds[:1] == ["CLASS"] and kinds[-1:] == ["NAME"]:
        return E0101.base_with_arguments(found)
    if token.kind == "COLON" and kinds == ["NAME"]:
        return E0101.kind_missing(found, line[0].text)
    if token.kind == "COMPARISON" and kinds[:1] == ["NAME"] and "ARROW" not in kinds:
        return E0101.require_missing(found)
    if token.kind == "EQUAL" and "COMPARISON" in accepted:
        return E0101.comparison_missing(found)
    return None


def _of_names(found: str, line: Sequence[Token], token: Token, accepted: set[str]) -> Fault | None:
    kinds = [one.kind for one in line]
    if token.kind == "STRING" and "NAME" in accepted and "STRING" not in accepted:
        return E0101.name_in_quotes(found)
    if token.kind != "NAME":
        return None
    if kinds[-1:] == ["MEASURE"] and line[-1].text[-1] in "oO":
        return E0101.letter_for_zero(found, f"{line[-1].text[:-1]}0 {token.text}")
    if kinds[-2:] in (["KIND", "NAME"], ["PRODUCT", "NAME"]):
        return E0101.name_of_two_words(found, f"{line[-1].text}_{token.text}")
    if "COMPARISON" in accepted and kinds[:1] == ["REQUIRE"]:
        return E0101.comparison_missing(found)
    if "SEMICOLON" in accepted and "ARROW" not in kinds:
        return E0101.two_statements(found)
    return None


def _of_numbers(
    found: str, line: Sequence[Token], token: Token, accepted: set[str]
) -> Fault | None:
    kinds = [one.kind for one in line]
    if token.kind not in ("MEASURE", "NUMBER"):
        return None
    if kinds[-2:] == ["NAME", "DOT"] and line[-2].text.lower() == "no":
        return E0101.sieve_number(found, size_text(token.text))
    if kinds[-1:] in (["KIND"], ["PRODUCT"]):
        return E0101.name_begins_with_digit(found)
    if kinds == ["DECK"]:
        return E0101.deck_without_name(found)
    if "RPAR" in accepted and accepted <= {"NAME", "RPAR"}:
        return E0101.argument_without_name(found)
    if "COMPARISON" in accepted and "REQUIRE" in kinds:
        return E0101.comparison_missing(found)
    return None


def _wanted(found: str, accepted: set[str]) -> Fault:
    wanted = sorted({_WORDS.get(kind, f"`{kind.lower()}`") for kind in accepted})
    if "PERCENT" in accepted:  # a type alone may be one
        return E0101.expected_unit(found)
    if len(wanted) <= 6:
        return E0101.expected_one_of(found, " or ".join(wanted))
    if "KIND" in accepted and "USE" in accepted:
        return E0101.expected_statement(found)
    return E0101.expected_value(found)
