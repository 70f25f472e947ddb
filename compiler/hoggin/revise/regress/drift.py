"""A record against what a case gives now: what is beyond its tolerance, and by how much."""

from __future__ import annotations

from dataclasses import dataclass

from hoggin.revise.regress.measured import MadeFrom, Measured
from hoggin.revise.regress.quantities import Quantity
from hoggin.revise.regress.record import NO_VALUE, Record, number, written
from hoggin.revise.regress.tolerances import Tolerances

MET, NOT_MET = "met", "not met"
_INFINITE = float("inf")


@dataclass(frozen=True, slots=True)
class Drift:
    """One quantity or verdict that is not as recorded. `beyond` counts tolerances; it is infinite
    where there is nothing to measure by: a quantity that is gone, new, or without a value."""

    subject: str
    what: str
    recorded: str  # "103.1 t/h"; "" where there was none
    now: str
    difference: str
    tolerance: str
    beyond: float

    @property
    def name(self) -> str:
        return f"{self.subject}: {self.what}" if self.what else self.subject

    @property
    def verdict(self) -> str:
        if not self.recorded:
            return "new"
        if not self.now:
            return "gone"
        return "changed" if self.beyond == _INFINITE else f"{self.beyond:.3g} x"

    @property
    def sentence(self) -> str:
        """All of it in one line."""
        if not self.recorded:
            return f"{self.name} is new: {self.now}"
        if not self.now:
            return f"{self.name} is gone: recorded {self.recorded}"
        allowed = f", {self.difference} with {self.tolerance} allowed" if self.difference else ""
        return f"{self.name} is {self.now}, recorded {self.recorded}{allowed}"


def drifts(record: Record, measured: Measured, tolerances: Tolerances) -> tuple[Drift, ...]:
    """All that is beyond tolerance, furthest first; in the record's order where equally far."""
    found = [*_verdict_drifts(record, measured), *_quantity_drifts(record, measured, tolerances)]
    return tuple(sorted(found, key=lambda drift: -drift.beyond))


def causes(record: Record, measured: Measured) -> tuple[str, ...]:
    """What else than the results is not as it was when they were recorded, in words."""
    now = measured.made_from
    return () if now is None else tuple(_causes(record.made_from, now))


def _causes(then: MadeFrom, now: MadeFrom) -> list[str]:
    told = []
    moved = {*then.sources.values()} & {*now.sources.values()}  # the same text, by whatever name
    for name in sorted({*then.sources, *now.sources}):
        before, after = then.sources.get(name), now.sources.get(name)
        if before != after and not {before, after} & moved:
            how = "added" if before is None else "no longer used" if after is None else "changed"
            told.append(f"{name} {how}")
    if then.compiler != now.compiler:
        told.append(f"compiler {then.compiler} is {now.compiler} now")
    if then.library != now.library:
        told.append(f"library {then.library} is {now.library} now")
    if then.edition != now.edition:
        told.append(f"edition {then.edition} is {now.edition} now")
    return told


def _verdict_drifts(record: Record, measured: Measured) -> list[Drift]:
    now = {verdict.text: MET if verdict.met else NOT_MET for verdict in measured.verdicts}
    found = []
    for text in [*record.verdicts, *(text for text in now if text not in record.verdicts)]:
        before, after = record.verdicts.get(text, ""), now.get(text, "")
        if before != after:
            found.append(Drift(f"require {text}", "", before, after, "", "", _INFINITE))
    return found


def _quantity_drifts(record: Record, measured: Measured, tolerances: Tolerances) -> list[Drift]:
    now = {(one.subject, one.what): one for one in measured.quantities}
    found = [
        Drift(subject, what, text, "", "", "", _INFINITE)
        for (subject, what), text in record.values.items()
        if (subject, what) not in now
    ]
    for key, quantity in now.items():
        drift = _drift(record.values.get(key), quantity, tolerances)
        if drift is not None:
            found.append(drift)
    return found


def _drift(recorded: str | None, quantity: Quantity, tolerances: Tolerances) -> Drift | None:
    subject, what, now = quantity.subject, quantity.what, written(quantity)
    if recorded is None:
        return Drift(subject, what, "", now, "", "", _INFINITE)
    if recorded == now:
        return None
    tolerance = tolerances[quantity.kind]
    before = None if recorded == NO_VALUE else number(recorded, quantity.unit)
    if before is None or quantity.value is None:
        return Drift(subject, what, recorded, now, "", str(tolerance), _INFINITE)
    beyond = tolerance.beyond(before, quantity.value)
    if not beyond:
        return None
    difference = f"{tolerance.difference(before, quantity.value):+.3g} {tolerance.unit}"
    return Drift(subject, what, recorded, now, difference, str(tolerance), beyond)
