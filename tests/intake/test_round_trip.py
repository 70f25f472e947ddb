"""A grading written in any of the forms laboratories use reads back the same (hypothesis).

The truth is the drawn grading; the forms are made from it by the definitions of EN 933-1 and ASTM
C136 (from memory), independently of the code's own conversions.
"""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from hoggin.intake.gradings import read_gradings
from hoggin.intake.opening import open_sheet
from hoggin.intake.reading import Reading
from tests.intake.making import Value, write_csv, write_xlsx

pytestmark = pytest.mark.slow

SIZES = [63.0, 31.5, 16.0, 8.0, 4.0, 2.0, 1.0, 0.5, 0.25, 0.125, 0.063]
HEADS = {
    "passing": "Passing (%)",
    "retained": "Retained (%)",
    "cumulative": "Cumulative retained (%)",
    "mass": "Mass retained (g)",
    "cumulative mass": "Cumulative mass retained (g)",
}
FORMS = ("comma", "semicolon", "tab", "workbook")
Passing = list[float]


@st.composite
def passing(draw: st.DrawFn) -> Passing:
    """100 %, then what passes each finer sieve, in hundredths of a per cent."""
    count = draw(st.integers(2, len(SIZES)))
    parts = draw(st.lists(st.integers(1, 9998), min_size=count - 1, max_size=count - 1))
    assume(min(parts) < 9990)  # what passes more counts as all, and one size is no grading
    return [100.0, *(part / 100.0 for part in sorted(parts, reverse=True))]


def column(quantity: str, truth: Passing) -> tuple[list[float], float]:
    """The figures of each sieve and of the pan."""
    on_each = [100.0 - truth[0], *(a - b for a, b in pairwise(truth))]
    mass = 40.0  # g for each per cent: 4 kg
    match quantity:
        case "passing":
            return truth, 0.0
        case "retained":
            return on_each, truth[-1]
        case "cumulative":
            return [100.0 - part for part in truth], 100.0
        case "mass":
            return [mass * part for part in on_each], mass * truth[-1]
    return [mass * (100.0 - part) for part in truth], mass * 100.0


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    truths=st.lists(passing(), min_size=1, max_size=3),
    quantity=st.sampled_from(sorted(HEADS)),
    form=st.sampled_from(FORMS),
    across=st.booleans(),
    rising=st.booleans(),
)
def test_every_form_reads_back_the_same(
    tmp_path: Path,
    truths: list[Passing],
    quantity: str,
    form: str,
    across: bool,
    rising: bool,
) -> None:
    most = max(map(len, truths))
    names = [f"pit {letter}" for letter in "abc"[: len(truths)]]
    figures = [column(quantity, truth) for truth in truths]
    decimal = "." if form in ("comma", "workbook") else ","
    body: list[list[Value]] = [
        [
            f"{SIZES[i]:g} mm".replace(".", decimal),
            *(round(f[i], 6) if i < len(f) else None for f, _ in figures),
        ]
        for i in range(most)
    ]
    if rising:
        body.reverse()
    rows: list[list[Value]] = [
        ["Sample", *names],
        ["Sieve", *[HEADS[quantity]] * len(truths)],
        *body,
        ["Pan", *(round(pan, 6) for _, pan in figures)],
    ]
    if across:
        rows = [list(line) for line in zip(*rows, strict=True)]
    if form == "workbook":
        path = write_xlsx(tmp_path / "lab.xlsx", rows)
    else:
        delimiter = {"comma": ",", "semicolon": ";", "tab": "\t"}[form]
        path = write_csv(tmp_path / "lab.csv", rows, delimiter, decimal)
    _, sheet = open_sheet(str(path), lambda _: True)
    reading = Reading(sheet)
    found = read_gradings(reading)
    assert reading.faults == []
    assert [grading.sample for grading in found] == names
    for grading, truth in zip(found, truths, strict=True):
        whole = max(i for i, part in enumerate(truth) if part >= 99.9)
        sizes = SIZES[whole : len(truth)]
        assert [mm for mm, _ in grading.points] == sizes
        expected = [100.0, *truth[whole + 1 :]]
        assert [part for _, part in grading.points] == pytest.approx(expected, abs=1e-4)
