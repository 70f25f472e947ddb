"""Laboratories' names of sieves as apertures in mm.

The inch sizes of ASTM E11 are from memory; tests compare them with the series in the library
fluids.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.intake.numbers import as_number
from hoggin.intake.sheet import SheetError
from hoggin.schema.sieve_numbers import NUMBERED

SMALLEST_MM, LARGEST_MM = 0.001, 5000.0
_NO_SIEVE = ("this is not a sieve", "write it as `31.5 mm`, `63 um`, `3/8 in` or `No. 4`")

# ASTM E11: the name of a sieve in inches and its nominal aperture in mm, which is not always 25.4
# times the name.
CALLED_INCHES: Mapping[float, float] = {
    **{5.0: 125.0, 4.24: 106.0, 4.0: 100.0, 3.5: 90.0, 3.0: 75.0, 2.5: 63.0, 2.12: 53.0},
    **{2.0: 50.0, 1.75: 45.0, 1.5: 37.5, 1.25: 31.5, 1.06: 26.5, 1.0: 25.0, 0.875: 22.4},
    **{0.75: 19.0, 0.625: 16.0, 0.53: 13.2, 0.5: 12.5, 0.4375: 11.2, 0.375: 9.5, 0.3125: 8.0},
    **{0.265: 6.7, 0.25: 6.3, 0.223: 5.6},
}
_UNITS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("um", "µm", "μm", "micron", "microns", "mic"), "um"),
    **dict.fromkeys(("micrometre", "micrometres", "micrometer", "micrometers"), "um"),
    **dict.fromkeys(("in", "in.", "inch", "inches", '"', "″", "”", "''"), "in"),
    **{"cm": "cm", "m": "m"},
}
_SHORT_INCH = ("in", "in.", '"', "″", "”", "''")  # "sieves in mm" names no inches
_INCHES = re.compile(r"[\[(,]\s*(?:in\.?|\"|″)\s*[\])]?$|^in\.?$|[\[(]in\.?[\])]")
UNIT_NAMES = ("mm", "um", "in")
_UNIT = "|".join(sorted((re.escape(unit) for unit in _UNITS), key=len, reverse=True))
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBERED = re.compile(r"(?:no|nr|number|#)\s*\.?\s*#?\s*(3\s+1/2|[0-9]+(?:\.5)?)", re.I)
_DIGITS = r"[0-9.,/ \u2044-]*[0-9][0-9.,/ \u2044-]*"
_WITH_UNIT = re.compile(rf"(?P<number>{_DIGITS})\s*(?P<unit>{_UNIT})(?![a-z])")
_PLAIN = re.compile(_DIGITS)
_MIXED = re.compile(r"(?:(\d+)(?:\s+|\s*-\s*))?(\d+)\s*[/\u2044]\s*(\d+)", re.ASCII)
_LEADING = re.compile(r"^(?:sieve|screen|passing|retained on|retained|size|on|d)\b\s*", re.I)
_PAN = re.compile(
    r"(?:pan|receiver|bottom(?: pan)?|base|tray|dust|fines|filler)(?: fraction| pan)?", re.I
)
_BELOW = re.compile(r"(?:<|-|−|passing |below |under |finer than )\s*(?=[\d.,#n])", re.I)


@dataclass(frozen=True, slots=True)
class Sieve:
    """A sieve's aperture; `mm` of 0 is the pan. `told` says how a name was read."""

    mm: float
    has_unit: bool  # its unit, or its series, is in the cell
    told: str = ""


def unit_in(text: str) -> str:
    """The unit of length in a heading, `Sieve size [mm]`; "" if it has none."""
    words = text.lower().strip(" :*")
    for word in re.findall(r"[^\s\[\](){},;:/]+", words):
        unit = _UNITS.get(word, "")
        if unit in UNIT_NAMES and word not in _SHORT_INCH:
            return unit
    return "in" if _INCHES.search(words) else ""


def is_pan(text: str) -> bool:
    """Whether a text names the pan: `pan`, `< 0.063 mm`."""
    words = " ".join(text.split()).strip(".:*")
    return bool(_PAN.fullmatch(words) or _BELOW.match(words))


def read_sieve(text: str, unit: str, sign: str) -> Sieve:
    """The sieve that a text names; its default unit is `unit` ("mm", "um", "in").

    Raises SheetError.
    """
    if is_pan(text):
        return Sieve(0.0, has_unit=True)
    words = " ".join(text.split()).strip(" :;*")
    for letter, plain in _VULGAR.items():
        words = words.replace(letter, f" {plain}").strip()
    words = _LEADING.sub("", words).lstrip(">+≥ ")
    numbered = _NUMBERED.search(words)
    rest = words if numbered is None else words.replace(numbered[0], " ", 1)
    measured = list(_WITH_UNIT.finditer(rest.lower()))
    if "mesh" in words.lower() and numbered is None and not measured:
        raise SheetError(
            "a mesh count means different openings in different series",
            "write the opening in mm, or the number of ASTM E11 as `No. 30`",
        )
    named = [_of_number(numbered[1])] if numbered else []
    sized = [_of_unit(found["number"], found["unit"], sign) for found in measured]
    if named or sized:
        _nothing_more(_WITH_UNIT.sub(" ", rest.lower()))
        return _agreed([*named, *sized])
    if not _PLAIN.fullmatch(words):
        raise SheetError(*_NO_SIEVE)
    found = _of_unit(words, unit or "mm", sign)
    return Sieve(found.mm, has_unit=False, told=found.told)


def _of_number(written: str) -> Sieve:
    number = "3.5" if "/" in written else written
    mm = NUMBERED.get(number)
    if mm is None:
        message = f"ASTM E11 has no sieve No. {number}"
        raise SheetError(message, "write the opening in mm, as `4.75 mm`")
    return Sieve(mm, has_unit=True, told=f"No. {number} is the {mm:g} mm sieve of ASTM E11")


def _of_unit(written: str, unit_word: str, sign: str) -> Sieve:
    unit = _UNITS[unit_word]
    if unit != "in" and re.search(r"\d\s*[-/\u2044]\s*\d", written):
        raise SheetError(
            "this names two sizes, or a fraction of an inch without its unit",
            "a grading needs single sieves, as `4 mm` or `3/8 in`",
        )
    value = amount(written.strip(), sign)
    told = ""
    if unit == "in":
        called = CALLED_INCHES.get(round(value, 4))
        mm = called if called is not None else 25.4 * value
        told = f"{written.strip()} in is the {mm:g} mm sieve of ASTM E11" if called else ""
    else:
        mm = value * {"um": 0.001, "cm": 10.0, "m": 1000.0}.get(unit, 1.0)
    mm = float(f"{mm:.6g}")
    if mm == 0.0:
        return Sieve(0.0, has_unit=True, told="a sieve of size 0 is read as the pan")
    if not SMALLEST_MM <= mm <= LARGEST_MM:
        raise SheetError(
            f"a sieve of {mm:g} mm is not possible",
            f"sieves run from {SMALLEST_MM:g} mm to {LARGEST_MM:g} mm",
        )
    return Sieve(mm, has_unit=True, told=told)


def amount(written: str, sign: str) -> float:
    mixed = _MIXED.fullmatch(written)
    if mixed is None:
        return as_number(written, sign)
    whole, above, below = (int(part or 0) for part in mixed.groups())
    if below == 0:
        raise SheetError("this divides by zero")
    return whole + above / below


def _agreed(found: list[Sieve]) -> Sieve:
    """The one sieve that all names in a cell mean, as `No. 4 (4.75 mm)`: the last of them."""
    sizes = [sieve.mm for sieve in found]
    if max(sizes) > 1.02 * min(sizes):
        raise SheetError(
            "this names more than one size: " + " and ".join(f"{mm:g} mm" for mm in sizes),
            "a grading needs single sieves, as `4 mm`",
        )
    return found[-1]


def _nothing_more(rest: str) -> None:
    words = [word for word in re.findall(r"[^\W_]+", rest.lower()) if word not in _IDLE]
    if any(word[0].isdigit() for word in words):
        raise SheetError(
            "this names more than one size",
            "a grading needs single sieves, as `4 mm`, not a range",
        )
    if words:
        raise SheetError(*_NO_SIEVE)


_IDLE = {"sieve", "screen", "square", "round", "mesh", "us", "astm", "e11", "iso", "size", "in"}
