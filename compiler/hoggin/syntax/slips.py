"""Signs of other notations, read as what was meant: a decimal comma, an inch mark, an arrow drawn
otherwise. Each is reported once and mended in the tokens, so that the rest of its line is still
read and nothing else is blamed for it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice, takewhile

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.text import E0101, E0102
from hoggin.diagnostics.source import Source, Span
from hoggin.schema.sieve_numbers import size_text
from hoggin.syntax.tokens import OTHER_SIGNS, Token

_BLANKS = re.compile(r"[ \t\u00a0\u2007\u2009\u202f]+")
_MICRO = re.compile(r"[ \t]*[\u00b5\u03bc]")
_IMPERIAL = re.compile(r"([0-9]+)(?:\.0*)?[ \t]*(in|ft)")
_WHOLE = re.compile(r"[0-9]+(?![0-9.eE])")
_SIEVE_NUMBER = re.compile(r"^[^#\n]*(?P<sign>#[0-9]{1,3})[ \t]*:[ \t]*[0-9.]+[ \t]*%", re.M)
_MOST_TOLD = 100
_CONDITIONS = ("REQUIRE", "RULE")
_LINE_STARTS = ("_NL", "SEMICOLON", "LBRACE", "RBRACE")  # what is before a line's first word
_LISTS = ("passing", "retained")


def mended(tokens: list[Token], source: Source, diagnostics: Diagnostics) -> list[Token]:
    """The tokens as they were meant. What is mended is reported (E0101) unless it has been; of a
    text written so throughout, the first hundred."""
    told = Diagnostics()
    _report_sieve_numbers(tokens, source, told)
    found = _with_signs(tokens, source) if diagnostics.has_errors else tokens
    found = _with_units(found, source, told)
    found = list(_with_numbers_and_arrows(found, source, told))
    diagnostics.extend(islice(told, _MOST_TOLD))
    return found


def _report_sieve_numbers(tokens: list[Token], source: Source, diagnostics: Diagnostics) -> None:
    """`#4: 12 %` in a list of sieves: a sieve's number, which would be passed over as a comment."""
    signs = [found.span("sign") for found in _SIEVE_NUMBER.finditer(source.text)]
    for start, end in _in_lists_of_sieves(signs, tokens):
        written = source.text[start:end]
        fault = E0102.sieve_number(written, size_text(written.removeprefix("#")))
        diagnostics.report(fault, Span(source, start, end))


def _in_lists_of_sieves(
    signs: list[tuple[int, int]], tokens: list[Token]
) -> Iterator[tuple[int, int]]:
    """Those spans, in order, whose innermost block lists what passes sieves or stays on them."""
    heads = [""]  # the first word of each open block's line
    first, fresh = "", True
    index = 0
    for start, end in signs:
        while index < len(tokens) and tokens[index].end <= start:
            token = tokens[index]
            index += 1
            if token.kind == "LBRACE":
                heads.append(first)
            elif token.kind == "RBRACE" and len(heads) > 1:
                heads.pop()
            elif fresh:
                first = token.text
            fresh = token.kind in _LINE_STARTS
        in_text = index < len(tokens) and tokens[index].kind == "STRING"
        if heads[-1] in _LISTS and not (in_text and tokens[index].start < start):
            yield start, end


def _with_signs(tokens: list[Token], source: Source) -> list[Token]:
    """The tokens that stand for signs the tokeniser left out, put in."""
    found: list[Token] = []
    reached = 0
    for token in tokens:
        gap = source.text[reached : token.start]
        if not gap.isascii():
            bare = re.sub(r"#[^\n]*", lambda comment: " " * len(comment[0]), gap)
            found += [
                Token(*OTHER_SIGNS[sign], reached + index, reached + index + 1)
                for index, sign in enumerate(bare)
                if sign in OTHER_SIGNS
            ]
        found.append(token)
        reached = token.end
    return found


def _with_units(tokens: list[Token], source: Source, diagnostics: Diagnostics) -> list[Token]:
    """A number and its unit joined where a sign of another notation parted them."""
    found: list[Token] = []
    index = 0
    while index < len(tokens):
        token = tokens[index]
        index += 1
        if token.kind == "NUMBER":
            parted = _inches(found, token, source, diagnostics)
            if parted is None:
                parted, index = _parted_unit(tokens, index, source)
            token = parted or token
        found.append(token)
    return found


def _inches(
    before: list[Token], number: Token, source: Source, diagnostics: Diagnostics
) -> Token | None:
    """`3"` as `3 in`."""
    if source.text[number.end : number.end + 1] != '"':
        return None
    if not (before and before[-1].kind == "SLASH"):  # a fraction is reported as a whole
        written = f'{number.text}"'
        span = Span(source, number.start, number.end + 1)
        diagnostics.report(E0101.instead(written, f"{number.text} in"), span)
    return Token("MEASURE", f"{number.text} in", number.start, number.end + 1)


def _parted_unit(tokens: list[Token], index: int, source: Source) -> tuple[Token | None, int]:
    """A number's unit after a space that is none of the plain ones, or with the sign of micro:
    the two as one token, and the index after it."""
    number = tokens[index - 1]
    unit = tokens[index : index + 3]
    if not unit or unit[0].kind not in ("NAME", "PERCENT"):
        return None, index
    gap = source.text[number.end : unit[0].start]
    word = unit[0].text
    if _MICRO.fullmatch(gap) and word == "m":
        word = "um"
    elif gap.isascii() or not _BLANKS.fullmatch(gap):
        return None, index
    end, used = unit[0].end, 1
    over = [one.kind for one in unit[1:]] == ["SLASH", "NAME"]
    if over and unit[1].start == end and unit[2].start == unit[1].end:
        word, end, used = f"{word}/{unit[2].text}", unit[2].end, 3
    return Token("MEASURE", f"{number.text} {word}", number.start, end), index + used


def _with_numbers_and_arrows(
    tokens: list[Token], source: Source, diagnostics: Diagnostics
) -> Iterator[Token]:
    opener, depth, index = "_NL", 0, 0
    before = "_NL"
    while index < len(tokens):
        token = tokens[index]
        kind = token.kind
        if before in _LINE_STARTS:
            opener = kind
        depth += (kind == "LPAR") - (kind == "RPAR")
        used = 1
        mend = _MENDS.get(kind)
        if mend is not None:
            slip = mend(_Place(tokens, index, before, opener, depth))
            if slip is not None:
                token, used, better = slip
                span = Span(source, token.start, token.end)
                if span.text.isascii():  # else the tokeniser has told it
                    told = E0101.comma_in_number if "," in span.text else E0101.instead
                    diagnostics.report(told(span.text, better), span)
        yield token
        before = token.kind
        index += used


@dataclass(frozen=True, slots=True)
class _Place:
    tokens: list[Token]
    index: int
    before: str  # the kind of the token before
    opener: str  # that of the line's first
    depth: int  # brackets open

    def __getitem__(self, steps: int) -> Token | None:
        """The token so many steps on."""
        index = self.index + steps
        return self.tokens[index] if index < len(self.tokens) else None


# The right token, how many it replaces, and how it is written.
_Slip = tuple[Token, int, str]


def _number(place: _Place) -> _Slip | None:
    return _fraction(place.tokens, place.index) or _decimal_comma(place)


def _fraction(tokens: list[Token], index: int) -> _Slip | None:
    """`3 1/2 in` and `1/2 in`: of a length in inches or feet, a fraction is meant."""
    kinds = [token.kind for token in tokens[index : index + 4]]
    if kinds == ["NUMBER", "NUMBER", "SLASH", "MEASURE"]:
        whole, top = float(tokens[index].text), tokens[index + 1]
    elif kinds[:3] == ["NUMBER", "SLASH", "MEASURE"]:
        whole, top = 0.0, tokens[index]
    else:
        return None
    used = 4 if whole or top is not tokens[index] else 3
    slash, bottom = tokens[index + used - 2 : index + used]
    length = _IMPERIAL.fullmatch(bottom.text)
    if length is None or top.end != slash.start or slash.end != bottom.start:
        return None
    if not _WHOLE.fullmatch(top.text) or int(length[1]) == 0:
        return None
    value = whole + float(top.text) / int(length[1])
    written = f"{value:.6g} {length[2]}"
    return Token("MEASURE", written, tokens[index].start, bottom.end), used, written


def _decimal_comma(place: _Place) -> _Slip | None:
    """`2,66 t/m3` for `2.66 t/m3`, `1,900 t` for `1900 t`."""
    following = place.tokens[place.index : place.index + 4]
    if len(following) < 3 or following[1].kind != "COMMA":
        return None
    first, comma, second = following[:3]
    if second.kind not in ("NUMBER", "MEASURE"):
        return None
    if first.end != comma.start or comma.end != second.start:
        return None
    digits = _WHOLE.match(second.text)
    if digits is None or not _WHOLE.fullmatch(first.text):
        return None
    # `max(1,2)` and `{ 1: 5,2: 7 }` are lists whose spaces were left out
    listed = place.before == "COLON" and len(following) == 4 and following[3].kind == "COLON"
    if listed or (second.kind == "NUMBER" and place.depth):
        return None
    thousands = len(digits[0]) == 3 and first.text != "0"
    text = f"{first.text}{'' if thousands else '.'}{second.text}"
    return Token(second.kind, text, first.start, second.end), 3, text


def _sign(place: _Place) -> _Slip | None:
    """`-->` and a dash with `>`: an arrow. A dash alone is a minus, and told already."""
    sign, after = place.tokens[place.index], place[1]
    if sign.text != "-" or after is None or after.start != sign.end:
        return None
    if after.kind == "ARROW" or (after.text == ">" and place.opener not in _CONDITIONS):
        return Token("ARROW", "->", sign.start, after.end), 2, "->"
    return None


def _equal(place: _Place) -> _Slip | None:
    """`=>` for an arrow; in a condition `=>` and `=<` for comparisons."""
    equal, after = place.tokens[place.index], place[1]
    if after is None or after.start != equal.end or after.text not in ("<", ">"):
        return None
    if place.opener in _CONDITIONS:
        return Token("COMPARISON", f"{after.text}=", equal.start, after.end), 2, f"{after.text}="
    if after.text == ">":
        return Token("ARROW", "->", equal.start, after.end), 2, "->"
    return None


def _greater(place: _Place) -> _Slip | None:
    """`>` and `>>` for an arrow, where a line begins with a name."""
    if not (place.opener == place.before == "NAME") or place.depth:
        return None
    signs = list(
        takewhile(lambda one: one.text == ">", place.tokens[place.index : place.index + 9])
    )
    if not signs:
        return None
    return Token("ARROW", "->", signs[0].start, signs[-1].end), len(signs), "->"


_MENDS: dict[str, Callable[[_Place], _Slip | None]] = {
    "NUMBER": _number,
    "SIGN": _sign,
    "EQUAL": _equal,
    "COMPARISON": _greater,
}
