"""No number of the results, no verdict and no warning changes without drift: no false all-clear."""

from __future__ import annotations

import random
import re
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.balancing import rated
from hoggin.check.checker import check_file
from hoggin.commands.main import main
from hoggin.revise.regress.drift import drifts
from hoggin.revise.regress.measured import measured
from hoggin.revise.regress.record import Record, read_record, record_text
from hoggin.revise.regress.tolerances import DEFAULTS
from hoggin.schema.results import Results
from hoggin.world import standard_library

from .conftest import ACCEPT, edit
from .test_record import ACCEPTED

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[3] / "examples"
# Where something lies in a text, the solver's own book-keeping, and copies of what the plant
# states: not results. What follows from other numbers only differs only where those do.
NO_RESULTS = {"plant", "provenance", "format_version", "closure", "curve", "line", "column"}
NO_RESULTS |= {"sieves_mm", "sizes_mm", "low", "high", "upper_mm", "lower_mm", "margin"}
NO_RESULTS |= {"aperture_mm", "slot_ratio", "css_mm", "motor_margin", "teeth_a_turn", "existing"}
NO_RESULTS |= {"stated_cut_mm", "rim_speed_m_s"}
NO_RESULTS |= {
    "running_h",
    "whole_turns",
    "teeth",
    "upper_limit",
    "follows_f80",
    "follows_rock",
}
DERIVED = {("breakage", "f80_mm"), ("moisture", "moisture")}


PLANTS = ["quarry.hog", "gravel.hog", "sand.hog", "cookbook/shape_impactor.hog"]


@cache
def _results(name: str) -> Results:
    results = rated(check_file(EXAMPLES / name))
    assert isinstance(results, Results)
    return results


@cache
def _record(name: str) -> Record:
    return read_record(record_text(measured(_results(name), ()), {}, ACCEPTED))


@cache
def _places(name: str) -> list[tuple[str | int, ...]]:
    return list(_numbers(_results(name).model_dump(mode="json")))


def _numbers(part: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """The places of all numbers in the document."""
    if isinstance(part, dict):
        for name, value in part.items():
            if name not in NO_RESULTS:
                yield from _numbers(value, (*at, name))
    elif isinstance(part, list | tuple):
        for number, value in enumerate(part):
            yield from _numbers(value, (*at, number))
    elif isinstance(part, int | float) and at[-2:] not in DERIVED:
        yield at


def _with(results: Results, at: tuple[str | int, ...]) -> Results:
    """The results with one number changed, well beyond any tolerance."""
    document = results.model_dump(mode="json")
    part: Any = document
    for step in at[:-1]:
        part = part[step]
    value = part[at[-1]]
    part[at[-1]] = not value if isinstance(value, bool) else 2 * value + 3
    return Results.model_validate(document)


@pytest.mark.parametrize("name", PLANTS)
def test_results_that_do_not_change_are_no_drift_and_each_has_its_name(name: str) -> None:
    found = measured(_results(name), ())
    names = [(one.subject, one.what) for one in found.quantities]
    assert len(set(names)) == len(names)
    assert drifts(_record(name), found, DEFAULTS) == ()


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(PLANTS), st.randoms(use_true_random=False))
def test_any_number_of_the_results_that_changes_is_drift(name: str, pick: random.Random) -> None:
    at = pick.choice(_places(name))
    assert drifts(_record(name), measured(_with(_results(name), at), ()), DEFAULTS), at


@pytest.fixture
def quarry(project: Path) -> Path:
    """The quarry of the examples, with the library's classes as files of its own."""
    shutil.rmtree(project)
    shutil.copytree(standard_library(), project / "lib")
    text = (EXAMPLES / "quarry.hog").read_text(encoding="utf-8")
    names = "feeders|jaws|cones|screens"
    text = re.sub(rf"use std\.({names})\n", r'use "lib/\1.hog" as \1\n', text)
    (project / "quarry.hog").write_text(text, encoding="utf-8")
    assert main(["regress", "plants", *ACCEPT]) == 0
    return project


@pytest.mark.parametrize(
    ("file", "old", "new", "quantity"),
    [
        ("quarry.hog", "moisture       1.5 %", "moisture       3 %", "feed shot_rock: moisture"),
        ("quarry.hog", "abrasion_index 0.45", "abrasion_index 0.60", "crusher primary: liner life"),
        ("quarry.hog", "hours_per_year 2200 h", "hours_per_year 4400 h", "plant: per year"),
        ("quarry.hog", "live 6000 t }", "live 600 t }", "stockpile surge: "),
        ("lib/screens.hog", "efficiency 95 %", "efficiency 85 %", "top: area needed"),
        (
            "lib/screens.hog",
            "sharpness      5.846",
            "sharpness      2.5",
            "deck sorting.top: efficiency",
        ),
        (
            "quarry.hog",
            "screens.inclined(width: 3.0 m, length: 7.8 m)",
            "screens.inclined(width: 3.3 m, length: 7.8 m)",
            "deck sorting.top: bed depth",
        ),
    ],
)
def test_what_changes_in_dust_water_wear_beds_and_stores_is_drift(
    quarry: Path,
    file: str,
    old: str,
    new: str,
    quantity: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 200)
    edit(quarry / file, old, new)
    capsys.readouterr()
    assert main(["regress", "plants", "--all"]) in (4, 5)
    out = " ".join(capsys.readouterr().out.split())
    assert "plants/quarry: drifted" in out and quantity in out


def test_a_motor_far_too_small_turns_its_limit(
    quarry: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """As measured once: 150 kW became 20 kW, the rock's path stayed, and all was said to hold."""
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 200)
    for path in (quarry / "lib").glob("cones.hog"):
        text = path.read_text(encoding="utf-8")
        path.write_text(re.sub(r"(let installed = )(\d+) kW", r"\g<1>5 kW", text), encoding="utf-8")
    capsys.readouterr()
    assert main(["regress", "plants"]) == 4  # motors that small can't drive the plant
    out = " ".join(capsys.readouterr().out.split())
    assert "limit crusher secondary: installed power ok over" in out
    assert "warning W0504 secondary given" in out
    assert "crusher secondary: installed power" in out


def test_a_change_of_words_alone_is_no_drift(quarry: Path) -> None:
    for name in ("quarry.hog", "lib/cones.hog", "lib/screens.hog"):
        with (quarry / name).open("a", encoding="utf-8") as file:
            file.write("\n# a word more\n")
    edit(quarry / "quarry.hog", "  feeder hopper_feeder", "\n\n\n  feeder  hopper_feeder")
    assert main(["regress", "plants"]) == 0
