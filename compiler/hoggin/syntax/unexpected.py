"""What is said of a token that does not fit: what it is, and what to write in its place."""

from __future__ import annotations

from collections.abc import Sequence

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
_KINDS = "feed crusher screen feeder classifier splitter blend bin stockpile conveyor section"
_OTHERS = (
    "use let require rule class template setting plant series model deck product material band "
    "grading aim choose option"
)
_OPENING = f"{_KINDS} {_OTHERS}".split()
_COMPARE = "compare with `<=` or `>=`, or write `between 65 % and 90 %`"


def unexpected(line: Sequence[Token], token: Token, accepted: set[str]) -> tuple[str, str]:
    """What to say of a token that stands behind the read part of its line, `line`, where only the
    kinds `accepted` could stand: (message, help)."""
    found = _WORDS["$END"] if token.kind == "$END" else f"`{token.text}`"
    if token.kind == "_NL":
        found = "the end of the line"
    return f"{found} does not fit here", _advice(line, token, accepted) or _wanted(accepted)


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
    near = get_close_matches(line[0].text.lower(), _OPENING, n=1, cutoff=0.75)
    return near[0] if near and near[0] != line[0].text else ""


def _advice(line: Sequence[Token], token: Token, accepted: set[str]) -> str:
    """What a slip of this kind usually means; "" where nothing is known of it."""
    return (
        _of_signs(line, token, accepted)
        or _of_names(line, token, accepted)
        or _of_numbers(line, token, accepted)
    )


def _of_signs(line: Sequence[Token], token: Token, accepted: set[str]) -> str:
    kinds = [one.kind for one in line]
    if not line and token.text in ("/", "-", "*"):
        return "a comment begins with `#`"
    if token.text == "-" and kinds[-2:] in (["KIND", "NAME"], ["PRODUCT", "NAME"]):
        return "a name has no `-`: write `_`"
    if token.text == "<" and kinds[:1] == ["NAME"] and "ARROW" not in kinds:
        return "a route runs from left to right, as `bars.over -> primary`"
    if token.kind == "COLON" and kinds == ["NAME"]:
        return f"a machine begins with its kind, as `crusher {line[0].text}: ...`"
    if token.kind == "EQUAL" and "COMPARISON" in accepted:
        return _COMPARE
    return ""


def _of_names(line: Sequence[Token], token: Token, accepted: set[str]) -> str:
    kinds = [one.kind for one in line]
    if token.kind == "STRING" and "NAME" in accepted and "STRING" not in accepted:
        return "a name stands without quotes"
    if token.kind != "NAME":
        return ""
    if kinds[-1:] == ["MEASURE"] and line[-1].text[-1] in "oO":
        return f"write a nought and not a letter, as `{line[-1].text[:-1]}0 {token.text}`"
    if kinds[-2:] in (["KIND", "NAME"], ["PRODUCT", "NAME"]):
        return f"a name is one word, as `{line[-1].text}_{token.text}`"
    if "SEMICOLON" in accepted and "ARROW" not in kinds:
        return "begin a new line here, or part the two by `;`"
    return ""


def _of_numbers(line: Sequence[Token], token: Token, accepted: set[str]) -> str:
    kinds = [one.kind for one in line]
    if token.kind not in ("MEASURE", "NUMBER"):
        return ""
    if kinds[-2:] == ["NAME", "DOT"] and line[-2].text.lower() == "no":
        return "write a sieve by its size, as `4.75 mm`"
    if kinds[-1:] in (["KIND"], ["PRODUCT"]):
        return "a name begins with a letter"
    if kinds == ["DECK"]:
        return "name the deck, as `deck top 34 mm`"
    if "RPAR" in accepted and accepted <= {"NAME", "RPAR"}:
        return "say what it is, as `width: 1000 mm`; `hoggin classes` lists what a class takes"
    if "COMPARISON" in accepted and "REQUIRE" in kinds:
        return _COMPARE
    return ""


def _wanted(accepted: set[str]) -> str:
    wanted = sorted({_WORDS.get(kind, f"`{kind.lower()}`") for kind in accepted})
    if {"UNIT", "PERCENT"} & accepted and "MEASURE" not in accepted:
        return "a unit is wanted here, like `mm`, `t/h` or `%`"
    if len(wanted) <= 6:
        return "wanted here: " + " or ".join(wanted)
    if "KIND" in accepted and "USE" in accepted:
        return "a line begins with a name or with a word of the language"
    return "a quantity, a name or an expression is wanted here"
