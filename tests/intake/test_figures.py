"""Conversions to passing against arithmetic by hand, after EN 933-1 and ASTM C136 (from memory)."""

from __future__ import annotations

import pytest

from hoggin.intake.figures import Figure, FigureError, Figures, passing
from hoggin.intake.headings import Quantity
from hoggin.intake.sheet import Cell


def figures(
    quantity: Quantity,
    values: dict[float, float],
    pan: float | None = None,
    total: float | None = None,
) -> Figures:
    parts = tuple(
        Figure(mm, v, Cell(r, 2, f"{v:g}", v)) for r, (mm, v) in enumerate(values.items(), 2)
    )
    rest = () if pan is None else (Figure(0.0, pan, Cell(90, 2, f"{pan:g}", pan)),)
    whole = None if total is None else Figure(0.0, total, Cell(1, 2, f"{total:g}", total))
    return Figures(quantity, parts, rest, whole)


# Worked by hand, a scenario of our own: 2000 g, of which 0, 500, 700 and 600 g stay on the sieves
# and 200 g are in the pan. Retained 0, 25, 35, 30 (and 10) %; cumulative 0, 25, 60, 90 %; passing
# 100, 75, 40, 10 %.
PASSING = {16.0: 100.0, 8.0: 75.0, 4.0: 40.0, 2.0: 10.0}
MASSES = {16.0: 0.0, 8.0: 500.0, 4.0: 700.0, 2.0: 600.0}


@pytest.mark.parametrize(
    "given",
    [
        figures("passing", PASSING, pan=0.0),
        figures("retained", {16.0: 0.0, 8.0: 25.0, 4.0: 35.0, 2.0: 30.0}, pan=10.0),
        figures("retained", {16.0: 0.0, 8.0: 25.0, 4.0: 35.0, 2.0: 30.0}),
        figures("cumulative", {16.0: 0.0, 8.0: 25.0, 4.0: 60.0, 2.0: 90.0}, pan=100.0),
        figures("mass", MASSES, pan=200.0),
        figures("mass", MASSES, total=2000.0),
        figures("mass", MASSES, pan=200.0, total=2000.0),
        figures("cumulative_mass", {16.0: 0.0, 8.0: 500.0, 4.0: 1200.0, 2.0: 1800.0}, pan=2000.0),
        figures("cumulative_mass", {16.0: 0.0, 8.0: 500.0, 4.0: 1200.0, 2.0: 1800.0}, total=2000.0),
        figures("mass", dict(reversed(MASSES.items())), pan=200.0),  # fine to coarse
    ],
    ids=lambda given: given.quantity,
)
def test_every_way_to_report_gives_the_same_passing(given: Figures) -> None:
    found = passing(given)
    assert {point.mm: point.passing for point in found.points} == pytest.approx(PASSING)


def test_shares_are_of_the_stated_total() -> None:
    """EN 933-1: 100 R/M1. 1980 g found of 2000 g is 1 % off, still to be used; 8 mm: 75 %."""
    found = passing(figures("mass", MASSES, pan=180.0, total=2000.0))
    assert [point.passing for point in found.points] == pytest.approx([100.0, 75.0, 40.0, 10.0])
    assert "1 %" in found.notes[0]


def test_masses_that_miss_the_total_by_more_than_one_per_cent_are_refused() -> None:
    with pytest.raises(FigureError, match="2 % off") as fault:
        passing(figures("mass", MASSES, pan=160.0, total=2000.0))
    assert fault.value.cell.place == "B1"


def test_retained_that_does_not_sum_to_a_hundred_is_refused() -> None:
    with pytest.raises(FigureError, match="sums to 94 %"):
        passing(figures("retained", {16.0: 0.5, 8.0: 24.5, 4.0: 35.0, 2.0: 30.0}, pan=4.0))


@pytest.mark.parametrize(
    "given",
    [
        figures("passing", {16.0: 100.0, 8.0: 40.0, 4.0: 45.0}),
        figures("passing", {16.0: 101.0, 8.0: 40.0}),
        figures("passing", {16.0: 100.0, 8.0: 40.0}, pan=5.0),
        figures("cumulative", {16.0: 0.0, 8.0: 40.0, 4.0: 35.0}),
        figures("cumulative_mass", {16.0: 0.0, 8.0: 400.0, 4.0: 350.0}, pan=500.0),
        figures("mass", MASSES),  # nothing tells what passed the finest
        figures("mass", {16.0: 0.0, 8.0: -5.0}, pan=5.0),
        figures("mass", {16.0: 0.0, 8.0: 0.0}, pan=0.0),
        figures("mass", MASSES, total=0.0),
    ],
)
def test_what_can_t_be_true_is_refused(given: Figures) -> None:
    with pytest.raises(FigureError):
        passing(given)


def test_only_the_finest_sieve_that_all_passes_is_kept() -> None:
    found = passing(figures("passing", {63.0: 100.0, 31.5: 100.0, 16.0: 99.95, 8.0: 40.0}))
    assert [(p.mm, p.passing) for p in found.points] == [(16.0, 100.0), (8.0, 40.0)]
    assert found.notes
