"""Numbers written as text: decimal points and commas, thousands, signs of per cent and mass.

`1,234` is above one thousand in one country and just above one in another. The other cells of a
sheet decide which it is. If they do not, it is reported, never guessed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

from hoggin.intake.sheet import SheetError

_BLANKS = re.compile(r"(?<=[0-9])[ \u00a0\u2009\u202f'’](?=[0-9]{3}(?![0-9]))")
_PLAIN = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")


def _only(sign: str, other: str) -> re.Pattern[str]:
    """Numbers in which `sign` can only be the decimal sign: it is before other than three
    digits, or after thousands, or after a zero; or `other` parts thousands more than once."""
    d = "[0-9]"
    return re.compile(
        rf"[+-]?(?:{d}{{1,3}}(?:{other}{d}{{3}})+{sign}{d}+|{d}*{sign}(?!{d}{{3}}$){d}+"
        rf"|(?:0+|{d}{{4,}}){sign}{d}+|{d}{{1,3}}(?:{other}{d}{{3}}){{2,}})"
    )


_ONLY_COMMA, _ONLY_POINT = _only(",", r"\."), _only(r"\.", ",")
_DOUBTFUL = re.compile(r"[+-]?[1-9][0-9]{0,2}([,.])[0-9]{3}")
_THOUSANDS_COMMA = re.compile(r"[+-]?[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]*)?")
_THOUSANDS_POINT = re.compile(r"[+-]?[0-9]{1,3}(?:\.[0-9]{3})+(?:,[0-9]*)?")
_UNIT = re.compile(r"\s*(%|kg|g|per cent|percent|pct)\.?$", re.IGNORECASE)
_NUMERIC = re.compile(r"[+-]?[0-9.,'’ \u00a0\u202f]+")
LARGEST = 1e12


def decimal_sign(texts: Iterable[str]) -> str:
    """The only possible decimal sign of the texts of a sheet, "." or ","; "" if no text shows it,
    "?" if the sheet has both."""
    signs = set()
    for text in texts:
        number = _bare(text)
        if _ONLY_COMMA.fullmatch(number):
            signs.add(",")
        elif _ONLY_POINT.fullmatch(number):
            signs.add(".")
    return "?" if len(signs) > 1 else "".join(signs)


def as_number(text: str, sign: str) -> float:
    """The number in a text, by the sheet's decimal sign. Raises SheetError."""
    number = _bare(text)
    doubtful = _DOUBTFUL.fullmatch(number)
    if doubtful and (sign == "?" or (sign == "" and doubtful[1] == ",")):
        whole, part = number.split(doubtful[1])
        raise SheetError(
            f"this may be {whole}{part} or {whole}.{part}",
            "choose with `--decimal comma` or `--decimal point`",
        )
    if _ONLY_COMMA.fullmatch(number) and sign != ".":
        number = number.replace(".", "").replace(",", ".")
    elif sign == "," and not _ONLY_POINT.fullmatch(number):
        if _THOUSANDS_POINT.fullmatch(number):
            number = number.replace(".", "")
        number = number.replace(",", ".", 1)
    elif sign != "," and _THOUSANDS_COMMA.fullmatch(number):
        number = number.replace(",", "")
    elif sign == ",":
        number = ""  # a point where points part thousands
    if not _PLAIN.fullmatch(number):
        hint = "write it in digits, as `35.2`"
        if looks_numeric(text) and sign in (".", ","):
            hint = "its decimal sign differs from that of the other cells"
        raise SheetError("this is not a number", hint)
    value = float(number)
    if not math.isfinite(value) or abs(value) > LARGEST:
        raise SheetError("this number is too large or too small")
    return value


def unit_after(text: str) -> str:
    """The unit that is after a number: "%", "g", "kg", or ""."""
    found = _UNIT.search(text.strip())
    unit = found[1].lower() if found and text.strip()[:1] in "+-.,0123456789" else ""
    return "%" if unit in ("per cent", "percent", "pct") else unit


def looks_numeric(text: str) -> bool:
    """Whether a text can only have been meant for a number."""
    return bool(re.search(r"[0-9]", text)) and bool(_NUMERIC.fullmatch(_bare(text)))


def _bare(text: str) -> str:
    number = _UNIT.sub("", text.strip()).strip().replace("−", "-")
    return _BLANKS.sub("", number)
