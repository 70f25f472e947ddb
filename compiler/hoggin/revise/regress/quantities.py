"""What is recorded of a plant's results: every number, each under the name of the thing it belongs
to, and every verdict. Which there are is the schema's business (`schema.leaves`)."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from hoggin.schema import quantity as of
from hoggin.schema.leaves import Leaf, leaves
from hoggin.schema.quantity import Nature
from hoggin.schema.results import Results
from hoggin.schema.units import in_currency

_DIGITS = 6
# After the point, at most: finer figures say nothing, or are the dust of arithmetic.
_PLACES, _PLACES_PERCENT = 6, 3
_VERDICTS = {("met", "yes"): "met", ("met", "no"): "not met"}


@dataclass(frozen=True, slots=True)
class Quantity:
    """`what` of `subject`, as "rate" of "product stone". `kind` names its tolerance: its family."""

    subject: str
    what: str
    kind: str
    value: float
    unit: str


def quantities(results: Results) -> tuple[Quantity, ...]:
    """All numbers of the results, in order."""
    return tuple(_numbers(results))


def limits(results: Results) -> dict[str, str]:
    """Every verdict of the results but those on requirements, by what it is of: "crusher secondary:
    load" is "ok". Of what may be so or not, only what is so."""
    found = {}
    for leaf in leaves(results):
        if leaf.nature is Nature.VERDICT and leaf.subject.kind not in ("requirement", "warning"):
            word = _VERDICTS.get((leaf.field, leaf.value), leaf.value)
            if word not in ("no", ""):
                about = leaf.part.rstrip(":") or leaf.label
                found[f"{leaf.subject.words}: {about}"] = word
    return found


def rounded(value: float, unit: str) -> float:
    """Six significant digits, and no dust around zero."""
    places = _PLACES_PERCENT if unit == "%" else _PLACES
    return round(float(f"{value:.{_DIGITS}g}"), places) + 0.0


def _numbers(results: Results) -> Iterator[Quantity]:
    for leaf in leaves(results):
        if isinstance(leaf.nature, of.Quantity) and leaf.value is not None:
            family = leaf.nature.family
            # A requirement's margin follows from its value and its text.
            follows = leaf.subject.kind == "requirement" and leaf.field == "margin"
            if math.isfinite(family.tolerance) and not follows:
                yield _number(leaf, family, results.plant.currency if results.plant else "")


def _number(leaf: Leaf, family: of.Family, currency: str) -> Quantity:
    """What is held against a limit comes in the limit's unit, per cent as per cent: it is tolerated
    as a load is."""
    value, unit = leaf.value, in_currency(leaf.unit, currency)
    if family.share:
        value, unit = 100 * value, "%"
    elif unit.startswith("%"):
        family, unit = of.LOAD, "%"
    return Quantity(leaf.subject.words, leaf.what, family.name, rounded(value, unit), unit)
