"""The meaning of words in headings: sizes, what was measured, samples, dates, limits."""

from __future__ import annotations

import re
from typing import Literal

Quantity = Literal["passing", "retained", "cumulative", "mass", "cumulative_mass"]
QUANTITIES: dict[Quantity, str] = {
    "passing": "per cent passing",
    "retained": "per cent retained on each sieve",
    "cumulative": "per cent retained, cumulative",
    "mass": "masses retained on each sieve",
    "cumulative_mass": "masses retained, cumulative",
}
Label = Literal["sample", "date", "total", "wash", "sum", "aside", ""]

_OF_PASSING = "passing|passed|passes|finer|undersize|through|smaller"
_OF_RETAINED = "retained|retention|oversize|coarser|remaining|residue"
_OF_SUMS = "cum|cumul|cumulative|cumulated|accumulated"
_OF_MASS = "mass|masses|weight|weights|wt|wts"
_PASSING, _RETAINED, _CUMULATIVE, _MASS = (
    re.compile(rf"\b(?:{words})\b") for words in (_OF_PASSING, _OF_RETAINED, _OF_SUMS, _OF_MASS)
)
_GRAMS = re.compile(r"(?:^|[\[(,\s])(?:k?g|grams?|kilograms?)(?:$|[\])\s.])")
_PER_CENT = re.compile(r"%|\b(?:per\s?cent|percentage|pct)\b")
_SIZE = re.compile(
    r"\b(?:sieves?|screens?|apertures?|openings?|sizes?|mesh|diameters?)\b|^d$|^(?:mm|µm|μm|um|in)$"
)
_LIMIT = re.compile(
    r"\b(?:limits?|spec|specs|specification|specified|envelope|required|requirements?|tolerance|"
    r"deviation)\b|^(?:lower|upper|min|max|minimum|maximum|average|mean|target)[\s.()\[\]%]*$"
)
# Words of what was measured, that are not part of a sample's name.
_IDLE = re.compile(
    rf"\b(?:{_OF_PASSING}|{_OF_RETAINED}|{_OF_SUMS}|{_OF_MASS}|per\s?cent|percentage|pct|individual"
    r"|partial|each|on|by|of|the|in|total|sieves?|material|amount|dry|grams?|kilograms?|k?g)\b|%"
)
# In this order: the first that fits is what a label says.
_LABELS: tuple[tuple[Label, re.Pattern[str]], ...] = (
    ("date", re.compile(r"\b(?:date|dated|sampled|tested|day)\b")),
    ("wash", re.compile(r"\bwash(?:ed|ing)?\b")),
    (
        "total",
        re.compile(
            r"\b(?:total|dry|initial|sample|portion|specimen)\b.*\b(?:mass|weight)\b"
            r"|\b(?:mass|weight)\b.*\b(?:total|sample|portion|specimen|dry)\b|^m1\b"
        ),
    ),
    ("sum", re.compile(r"^(?:total|sum|totals|sums|σ|Σ)\b")),
    (
        "aside",
        re.compile(
            r"\b(?:operator|technician|customer|client|project|remarks?|comments?|notes?|method|"
            r"standard|moisture|water|report|page|checked|approved|modulus|fm|d\d\d|cu|cc|"
            r"flakiness|density|temperature|weather|material|quarry|site|company|address)\b"
        ),
    ),
    (
        "sample",
        re.compile(r"\b(?:sample|samples|specimen|id|lab|laboratory|mark|name|location|place)\b"),
    ),
)


def quantity_in(text: str) -> Quantity | None:
    """What was measured, by a heading; None if it does not say."""
    words = " ".join(text.lower().replace("_", " ").split())
    per_cent = bool(_PER_CENT.search(words))
    grams = bool(_GRAMS.search(words)) and not per_cent
    cumulative = bool(_CUMULATIVE.search(words))
    if _PASSING.search(words) and not grams:
        return "passing"
    retained = bool(_RETAINED.search(words))
    if grams or (_MASS.search(words) and not per_cent):
        return "cumulative_mass" if cumulative else "mass"
    if retained or (cumulative and per_cent):
        return "cumulative" if cumulative or "total" in words.split() else "retained"
    return None


def is_limit(text: str) -> bool:
    """Whether a heading is of what is required, not of what was measured."""
    return bool(_LIMIT.search(text.lower()))


def is_size(text: str) -> bool:
    """Whether a heading is of sieve sizes."""
    words = " ".join(text.lower().strip(" :*").split())
    if _PER_CENT.search(words) or _GRAMS.search(words) or _MASS.search(words):
        return False
    return bool(_SIZE.search(words)) and not (_RETAINED.search(words) or _CUMULATIVE.search(words))


def is_mesh(text: str) -> bool:
    """Whether a heading mentions a mesh, which may be an opening or a count of wires."""
    return bool(re.search(r"\bmesh\b", text.lower()))


def label_of(text: str) -> Label:
    """What a row is, by the label at its left."""
    words = " ".join(text.lower().replace("_", " ").strip(" :*").split())
    return next((label for label, pattern in _LABELS if pattern.search(words)), "")


def in_kilograms(text: str) -> bool:
    return bool(re.search(r"\bkg\b|\bkilograms?\b", text.lower()))


def name_in(text: str) -> str:
    """The rest of a heading apart from what was measured: perhaps a sample's name."""
    left = set(re.findall(r"[^\W_]+", _IDLE.sub(" ", text.lower().replace("_", " "))))
    kept = (word for word in text.split() if left & set(re.findall(r"[^\W_]+", word.lower())))
    return " ".join(kept).strip(" ,;:-–()[]")
