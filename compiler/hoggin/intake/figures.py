"""Converts what was weighed or reported on each sieve to per cent passing.

The arithmetic is that of EN 933-1 and ASTM C136 (both from memory): masses over the total dry mass,
summed from the coarsest sieve down and subtracted from 100 %. EN 933-1 requires a test to be
repeated if the masses miss the total by more than 1 %; the limit of ASTM C136 is 0.3 %.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from hoggin.intake.headings import Quantity
from hoggin.intake.sheet import Cell, SheetError

MOST_OFF, NOTED_OFF = 1.0, 0.3  # per cent of the total
_WHOLE = 99.9  # per cent passing that counts as 100 %: gradings are reported to a tenth
_DUST = 1e-9


@dataclass(frozen=True, slots=True)
class Figure:
    """A sieve's figure: per cent, or g."""

    mm: float  # 0 for the pan and what was washed out
    value: float
    cell: Cell


@dataclass(frozen=True)
class Figures:
    """One column of a sample, its sieves in any order."""

    quantity: Quantity
    sieves: tuple[Figure, ...]
    pan: tuple[Figure, ...] = ()
    total: Figure | None = None  # mass in g, or the sum of the per cents


@dataclass(frozen=True, slots=True)
class Point:
    mm: float
    passing: float  # per cent
    cell: Cell


@dataclass(frozen=True)
class Converted:
    points: tuple[Point, ...]  # coarse to fine
    notes: tuple[str, ...] = ()


class FigureError(SheetError):
    """Figures that are not possible; it points at a cell."""

    def __init__(self, cell: Cell, message: str, help: str = "") -> None:
        super().__init__(message, help)
        self.cell = cell


def passing(figures: Figures) -> Converted:
    """Per cent passing on every sieve, coarse to fine. Raises FigureError."""
    ordered = sorted(figures.sieves, key=lambda figure: -figure.mm)
    for coarse, fine in pairwise(ordered):
        if coarse.mm == fine.mm:
            raise FigureError(
                fine.cell, f"the {fine.mm:g} mm sieve is listed twice, first in {coarse.cell.place}"
            )
    match figures.quantity:
        case "passing":
            return _falling(ordered, figures, [figure.value for figure in ordered])
        case "cumulative":
            return _falling(ordered, figures, [100.0 - figure.value for figure in ordered])
        case "retained":
            return _of_retained(ordered, figures)
        case "mass" | "cumulative_mass":
            return _of_masses(ordered, figures)


def _falling(ordered: Sequence[Figure], figures: Figures, percents: list[float]) -> Converted:
    by_passing = figures.quantity == "passing"
    for figure, percent in zip(ordered, percents, strict=True):
        if not -_DUST <= percent <= 100.0 + _DUST:
            raise FigureError(
                figure.cell,
                f"{figure.value:g} % is not within 0 % to 100 %",
                "if these are values of another kind, state it with `--values`",
            )
    for (coarse, more), (fine, less) in pairwise(zip(ordered, percents, strict=True)):
        if less > more + _DUST:
            told = "passes" if by_passing else "is retained down to"
            raise FigureError(
                fine.cell,
                f"{fine.value:g} % {told} {fine.mm:g} mm, and {coarse.value:g} % {coarse.mm:g} mm: "
                "the share passing can't rise towards finer sieves",
            )
    for pan in figures.pan:
        if by_passing and abs(pan.value) > MOST_OFF:
            raise FigureError(pan.cell, f"{pan.value:g} % can't pass the pan")
        if not by_passing and abs(pan.value - 100.0) > MOST_OFF:
            raise FigureError(pan.cell, f"down to the pan 100 % is retained, not {pan.value:g} %")
    return _points(ordered, percents)


def _of_retained(ordered: Sequence[Figure], figures: Figures) -> Converted:
    parts = _parts(ordered, figures)
    whole = math.fsum(part.value for part in parts)
    rough = all(part.value == round(part.value) for part in parts)
    most = 2.0 if rough else MOST_OFF
    if (figures.pan and whole < 100.0 - most) or whole > 100.0 + most:
        told = f"what is retained sums to {whole:.4g} %, not to 100 %"
        raise FigureError(parts[-1].cell, told)
    if figures.total is not None and abs(figures.total.value - whole) > most:
        raise FigureError(
            figures.total.cell,
            f"the sum is written as {figures.total.value:g} %, the figures sum to {whole:.4g} %",
        )
    left = _left(_sums(ordered), 100.0)
    return _points(ordered, left, _off(whole, 100.0) if figures.pan else [])


def _of_masses(ordered: Sequence[Figure], figures: Figures) -> Converted:
    parts = _parts(ordered, figures)
    whole, sums = math.fsum(part.value for part in parts), _sums(ordered)
    if figures.quantity == "cumulative_mass":
        whole, sums = parts[-1].value, [figure.value for figure in ordered]
        for coarse, fine in pairwise(parts):
            if fine.value < coarse.value - _DUST:
                change = f"from {coarse.value:g} to {fine.value:g}"
                raise FigureError(fine.cell, f"a cumulative mass can't fall, as here {change}")
    base, notes = _base(whole, parts[-1].cell, figures)
    return _points(ordered, _left(sums, base), notes)


def _parts(ordered: Sequence[Figure], figures: Figures) -> list[Figure]:
    """The sieves' figures and then the pan's, none of them negative."""
    parts = [*ordered, *figures.pan]
    for part in parts:
        if part.value < 0.0:
            raise FigureError(part.cell, f"{part.value:g} is negative")
    return parts


def _base(whole: float, last: Cell, figures: Figures) -> tuple[float, list[str]]:
    """The total dry mass in g for shares: the stated one, otherwise the sum."""
    total = figures.total
    if total is None:
        if not figures.pan:
            raise FigureError(
                last,
                "without a pan or a total mass, it is not known what passed this sieve",
                "add a row `pan`, or `Total dry mass` above the table",
            )
        if whole <= 0.0:
            raise FigureError(last, "the masses sum to zero")
        return whole, []
    if total.value <= 0.0:
        raise FigureError(total.cell, "a total mass must be positive")
    off = 100.0 * (whole / total.value - 1.0)
    most = MOST_OFF + _DUST
    if off > most or (figures.pan and off < -most):
        raise FigureError(
            total.cell,
            f"the total is {total.value:g} g, the masses sum to {whole:.6g} g: "
            f"{abs(off):.2g} % off",
            "above 1 % the sample must be sieved again (EN 933-1, from memory)",
        )
    if not figures.pan:
        return total.value, ["no pan: the rest of the total mass is assumed to have passed"]
    return total.value, _off(whole, total.value)


def _off(whole: float, total: float) -> list[str]:
    off = 100.0 * abs(whole / total - 1.0)
    if off <= NOTED_OFF:
        return []
    return [
        f"the parts differ from the whole by {off:.2g} %; ASTM C136 (from memory) accepts 0.3 %"
    ]


def _sums(ordered: Sequence[Figure]) -> list[float]:
    return list(accumulate(figure.value for figure in ordered))


def _left(sums: Sequence[float], base: float) -> list[float]:
    return [100.0 * (1.0 - retained / base) for retained in sums]


def _points(
    ordered: Sequence[Figure], percents: Sequence[float], notes: Sequence[str] = ()
) -> Converted:
    """Points within 0 % and 100 %. Of the sieves at 100 %, only the finest is kept: coarser ones
    give no information on the rock, and the coarsest point is the size of the largest piece."""
    whole = [i for i, percent in enumerate(percents) if percent >= _WHOLE]
    start = whole[-1] if whole else 0
    told = list(notes)
    if whole and percents[start] < 100.0 - 1e-6:
        told.append(f"{percents[start]:.4g} % on {ordered[start].mm:g} mm is read as 100 %")
    points = [
        Point(figure.mm, min(100.0, max(0.0, percent)) if i or not whole else 100.0, figure.cell)
        for i, (figure, percent) in enumerate(zip(ordered[start:], percents[start:], strict=True))
    ]
    return Converted(tuple(points), tuple(told))
