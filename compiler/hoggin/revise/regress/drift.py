"""A record compared with a case's results: what is beyond its tolerance, and by how much."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from hoggin.revise.regress.measured import Measured
from hoggin.revise.regress.record import Record, number, written
from hoggin.revise.regress.tolerances import Tolerance, Tolerances, tolerance_of

REQUIREMENT, LIMIT, WARNING, QUANTITY = "require", "limit", "warning", "quantity"
_RANKS = {"product": 0, "require": 0, "stream": 2, "dust": 3}


@dataclass(frozen=True, slots=True)
class Drift:
    """One quantity, verdict or warning that is not as recorded. `beyond` counts tolerances; it is
    infinite where there is nothing to measure by: what is gone, new, or without a value."""

    kind: str  # REQUIREMENT, LIMIT, WARNING or QUANTITY
    subject: str
    what: str
    recorded: str  # "103.1 t/h"; "" where there was none
    now: str
    beyond: float = math.inf
    change: float | None = None  # in the tolerance's unit
    tolerance: Tolerance | None = None

    @property
    def name(self) -> str:
        if self.is_quantity:
            return f"{self.subject}: {self.what}"
        return f"{self.kind} {self.subject}"

    @property
    def is_quantity(self) -> bool:
        return self.kind == QUANTITY

    @property
    def rank(self) -> int:
        """What is sold comes before machines, and these before streams and dust, which follow."""
        return _RANKS.get(self.subject.partition(" ")[0], 1) if self.is_quantity else 0

    @property
    def unit(self) -> str:
        """Of the change."""
        return "" if self.tolerance is None else self.tolerance.unit

    @property
    def difference(self) -> str:
        return "" if self.change is None else f"{self.change:+.3g} {self.unit}"

    @property
    def allowed(self) -> str:
        return "" if self.tolerance is None else str(self.tolerance)

    @property
    def verdict(self) -> str:
        if not self.recorded:
            return "new"
        if not self.now:
            return "gone"
        return "changed" if self.beyond == math.inf else f"{self.beyond:.3g} x"

    @property
    def sentence(self) -> str:
        """All of it in one line."""
        if not self.recorded:
            return f"{self.name} is new: {self.now}"
        if not self.now:
            return f"{self.name} is gone: recorded {self.recorded}"
        allowed = f", {self.difference} with {self.allowed} allowed" if self.difference else ""
        return f"{self.name} is {self.now}, recorded {self.recorded}{allowed}"


def drifts(record: Record, measured: Measured, tolerances: Tolerances) -> tuple[Drift, ...]:
    """Everything beyond tolerance, furthest first; of equal ones, products first."""
    found = [*_turned(record, measured), *_quantity_drifts(record, measured, tolerances)]
    return tuple(sorted(found, key=lambda drift: (-drift.beyond, drift.rank)))


def causes(record: Record, measured: Measured) -> tuple[str, ...]:
    """What else has changed since the results were recorded, in words."""
    then, now = record.made_from, measured.made_from
    if now is None:
        return ()
    found = []
    moved = {*then.sources.values()} & {*now.sources.values()}  # the same text, by whatever name
    for name in sorted({*then.sources, *now.sources}):
        before, after = then.sources.get(name), now.sources.get(name)
        if before != after and not {before, after} & moved:
            how = "added" if before is None else "no longer used" if after is None else "changed"
            found.append(f"{name} {how}")
    versions = (
        ("compiler", then.compiler, now.compiler),
        ("library", then.library, now.library),
        ("edition", then.edition, now.edition),
    )
    found += [f"{what} {was} is {is_now} now" for what, was, is_now in versions if was != is_now]
    return tuple(found)


def _turned(record: Record, measured: Measured) -> Iterator[Drift]:
    """Verdicts and warnings, which have no tolerance: changed, added or removed."""
    for kind, then, now in (
        (REQUIREMENT, record.verdicts, measured.judged),
        (LIMIT, record.limits, measured.limits),
        (WARNING, record.warnings, measured.warned),
    ):
        for name in {**then, **now}:
            before, after = then.get(name, ""), now.get(name, "")
            if before != after:
                yield Drift(kind, name, "", before, after)


def _quantity_drifts(record: Record, measured: Measured, tolerances: Tolerances) -> Iterator[Drift]:
    now = {(one.subject, one.what): one for one in measured.quantities}
    for key, recorded in record.values.items():
        if key not in now:
            yield Drift(QUANTITY, *key, recorded, "")
    for key, quantity in now.items():
        was, text = record.values.get(key), written(quantity)
        if was is None:
            yield Drift(QUANTITY, *key, "", text)
        elif was != text:
            tolerance = tolerance_of(quantity, tolerances)
            before = number(was, quantity.unit)
            if before is None:
                yield Drift(QUANTITY, *key, was, text, tolerance=tolerance)
            elif beyond := tolerance.beyond(before, quantity.value):
                change = tolerance.difference(before, quantity.value)
                yield Drift(QUANTITY, *key, was, text, beyond, change, tolerance)
