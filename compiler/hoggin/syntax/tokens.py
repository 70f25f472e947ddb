"""Text to tokens: words, numbers with their units, signs and line ends."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.text import E0102, E0104, E0109
from hoggin.diagnostics.source import Source, Span
from hoggin.syntax.tables import tables
from hoggin.visible import says_something

MOST_TOKENS = 200_000  # words and signs: some 30,000 lines
_MOST_FAULTS = 20
_IGNORED = ("BLANK", "COMMENT")
_QUOTES = '"“”„'
_SINGLE_QUOTED = re.compile(r"(?<![0-9])['‘][^'’\n]*['’]")
# Signs of other notations: the kind of token that each is meant to be, and how it is written here.
OTHER_SIGNS = {
    "≤": ("COMPARISON", "<="),
    "≥": ("COMPARISON", ">="),
    **dict.fromkeys("→⇒", ("ARROW", "->")),
    **dict.fromkeys("–—−", ("SIGN", "-")),
}
_REPORTED = {
    **dict.fromkeys("\u00a0\u2007\u2009\u202f", E0102.wide_space()),
    **dict.fromkeys("\u00b5\u03bc", E0102.micro_sign()),
    **{sign: E0102.other_sign(sign, right) for sign, (_, right) in OTHER_SIGNS.items()},
}
# Words that open a line, and where such a word may be second; elsewhere they are names.
_FIRST_WORDS = frozenset(
    {"USE", "LET", "REQUIRE", "RULE", "CLASS", "TEMPLATE", "SETTING", "PLANT", "SERIES", "MODEL"}
    | {"DECK", "KIND", "DEFINITION", "PRODUCT", "DIRECTION", "AIM", "CHOOSE", "OPTION", "CASE"}
    | {"OPERATION", "PROJECT", "NOTE"}
)
_VALUES = ("MEASURE", "NUMBER", "SIGN", "LPAR")
_ASKING = ("REQUIRE", "AIM", "RULE")
_IN = "in"  # the cases of a requirement; else inches, or an inlet
_INCHES = re.compile(rf"([0-9.]+(?:[eE][+-]?[0-9]+)?)[ \t]*{_IN}")
_LINE_STARTS = ("_NL", "SEMICOLON", "LBRACE", "RBRACE")
_SECOND_WORDS = frozenset({("CLASS", "KIND"), ("ARROW", "PRODUCT")})


@dataclass(slots=True)
class Token:
    kind: str
    text: str
    start: int
    end: int


def tokens_of(source: Source, diagnostics: Diagnostics) -> list[Token]:
    """Cut the text into tokens (no more than one above MOST_TOKENS). A character that is none of
    the language's is reported once and read as a space."""
    found = _with_cases(list(_cut(source, diagnostics)))
    _report_blanks(found, source, diagnostics)
    _shape(found)
    return found


def _cut(source: Source, diagnostics: Diagnostics) -> Iterator[Token]:
    text = source.text
    match, words = tables().token.match, tables().words
    depth = count = faults = position = 0
    number_end = -1
    while position < len(text) and count <= MOST_TOKENS and faults < _MOST_FAULTS:
        start = position
        if start == number_end and text[start] == '"':
            position += 1  # the sign of inches: `slips` joins it to its number and tells it
            continue
        found = match(text, position)
        if found is None:
            faults += 1
            position = _report_characters(source, start, diagnostics)
            yield from _as_text(text[start:position], start)
            continue
        position = found.end()
        kind, word = found.lastgroup or "", found.group()
        if kind in _IGNORED:
            continue
        number_end = position if kind == "NUMBER" else -1
        if kind == "NAME":
            kind = words.get(word, kind)
        elif kind == "LPAR":
            depth += 1
        elif kind == "RPAR":
            depth = max(0, depth - 1)
        elif kind in ("LBRACE", "RBRACE"):
            depth = 0  # a bracket left open must not swallow the rest of the file
        elif kind == "_NL" and depth:
            continue  # a line break inside ( ) is white space
        count += 1
        yield Token(kind, word, start, position)


def _report_blanks(found: list[Token], source: Source, diagnostics: Diagnostics) -> None:
    """Report texts without visible content; one that is not closed has been reported as that."""
    for token in found:
        written = source.text[token.start : token.end] == token.text
        if token.kind == "STRING" and written and not says_something(token.text[1:-1]):
            diagnostics.report(E0109.blank(), Span(source, token.start, token.end))


def _report_characters(source: Source, start: int, diagnostics: Diagnostics) -> int:
    """Report what is at `start` and return the offset where reading may continue."""
    text = source.text
    letter = text[start]
    if letter in _QUOTES or _SINGLE_QUOTED.match(text, start):
        return _report_text(source, start, diagnostics)
    if letter in _REPORTED:
        end = start + 1
        diagnostics.report(_REPORTED[letter], Span(source, start, end))
        return end
    run = re.compile(r"[^\W\d_A-Za-z]+" if letter.isalpha() else re.escape(letter) + "+")
    found = run.match(text, start)
    end = found.end() if found else start + 1
    shown = text[start:end] if letter.isalpha() else letter
    shown = shown[:20] if letter.isprintable() else f"U+{ord(letter):04X}"
    diagnostics.report(E0102.unknown(shown), Span(source, start, end))
    return end


def _report_text(source: Source, start: int, diagnostics: Diagnostics) -> int:
    """Report a text that is not closed, or closed by other signs than `"`, and return its end."""
    text = source.text
    line_end = text.find("\n", start)
    line_end = len(text) if line_end < 0 else line_end
    letter = text[start]
    if letter != '"':
        closed = re.compile("['’]" if letter in "'‘" else '[“”„"]').search(
            text, start + 1, line_end
        )
        end = closed.end() if closed else line_end
        diagnostics.report(E0102.other_quotes(letter), Span(source, start, end))
        return end
    # A brace at the line's end is rather the block's than the text's.
    end = start + len(re.sub(r"[\s{};]*$", "", text[start:line_end]))
    diagnostics.report(E0104.not_closed(), Span(source, start, end))
    return end


def _as_text(written: str, start: int) -> Iterator[Token]:
    """Go on as if a text were closed, and by the right sign: its line is blamed once."""
    if written[0] in _QUOTES:
        text = f'"{written[1:].rstrip(_QUOTES)}"'
        yield Token("STRING", text, start, start + len(written))


def _with_cases(found: list[Token]) -> list[Token]:
    """`6 in wet`, in a requirement, is a number that holds in a case: of inches no name follows."""
    parted: list[Token] = []
    required = False
    for index, token in enumerate(found):
        if not parted or parted[-1].kind in _LINE_STARTS:
            required = token.kind == "REQUIRE"
        inches = required and token.kind == "MEASURE" and _INCHES.fullmatch(token.text)
        if inches and index + 1 < len(found) and found[index + 1].kind == "NAME":
            number, sign = inches[1], token.end - len(_IN)
            parted.append(Token("NUMBER", number, token.start, token.start + len(number)))
            token = Token("DIRECTION", _IN, sign, token.end)
        parted.append(token)
    return parted


def _shape(found: list[Token]) -> None:
    """A word that is not a keyword at its place is a name: beside a dot, before a
    colon, or a line's first word in its middle."""
    before = first = "_NL"
    aims = False  # whether the line is an aim, which may end in its weight
    heads: list[str] = []  # the first words before each open brace
    last = len(found) - 1
    for index, token in enumerate(found):
        kind = token.kind
        after = found[index + 1].kind if index < last else "$END"
        if before in _LINE_STARTS:
            first = kind
        if kind == "LBRACE":
            heads.append(first)
        elif kind == "RBRACE":
            del heads[-1:]
        if kind == "WEIGHT":
            named = not (aims and after == "NUMBER")
        elif first == "REQUIRE" and token.text == _IN and after == "NAME":
            named = before == "DOT"
        elif heads[-1:] == ["CASE"] and before in _LINE_STARTS and after in _VALUES:
            named = kind not in _ASKING  # `setting 18 mm`: a `let` may be called so
        else:
            named = _is_name(kind, before, after)
        if named:
            token.kind = "NAME" if token.text.isidentifier() else kind
        aims = token.kind == "AIM" or (aims and kind not in ("_NL", "SEMICOLON"))
        before = kind


def _is_name(kind: str, before: str, after: str) -> bool:
    if after == "COLON" or after == "DOT" or before == "DOT":
        return True
    if kind not in _FIRST_WORDS or (before, kind) in _SECOND_WORDS:
        return False
    if (before, kind, after) == ("COLON", "CLASS", "KIND"):  # the type of a parameter
        return False
    return before not in _LINE_STARTS or after == "ARROW"
