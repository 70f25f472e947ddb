"""Gradings with a name: a feed that calls one has the same points as a feed that writes them."""

from __future__ import annotations

from pathlib import Path

from hoggin.check.checker import check_file
from hoggin.diagnostics.source import Source
from hoggin.syntax.layout import laid_out
from tests.check.reading import codes, plant_of, small_plant

NAMED = """\
grading pit_run {
  about  "sample P 12"
  source "a scenario of our own"
  passing { 4 mm: 8 %, 63 mm: 100 %, 31.5 mm: 55 % }
}
"""
BODY = """\
  feed pit { rock granite; rate 100 t/h; passing %s }
  rock -> product base
  pit -> base
"""
POINTS = ((63.0, 1.0), (31.5, 0.55), (4.0, 0.08))


def test_a_feed_may_call_a_grading_by_its_name() -> None:
    called = plant_of(small_plant(BODY % "pit_run", NAMED))
    written = plant_of(small_plant(BODY % "{ 63 mm: 100 %, 31.5 mm: 55 %, 4 mm: 8 % }"))
    assert called.feeds[0].grading == written.feeds[0].grading == POINTS


def test_a_grading_of_a_library_is_called_by_both_names(tmp_path: Path) -> None:
    (tmp_path / "lab.hog").write_text(f"let fine = 4 mm\n{NAMED.replace('4 mm:', 'fine:')}")
    plant = tmp_path / "plant.hog"
    plant.write_text(small_plant(BODY % "lab.pit_run", 'use "lab.hog" as lab'))
    checked = check_file(plant)
    assert checked.plant is not None
    assert checked.plant.feeds[0].grading == POINTS
    library = check_file(tmp_path / "lab.hog")
    assert library.diagnostics == () and library.plant is None


def test_faults_of_a_grading_are_told_once_where_it_stands() -> None:
    body = BODY % "pit_run" + (BODY % "pit_run").replace("pit ", "two ").replace(
        "rock ->", "two ->"
    )
    text = small_plant(body.replace("product base\n  pit", "base\n  pit", 1), NAMED)
    rising = text.replace("4 mm: 8 %", "4 mm: 80 %")
    assert codes(rising).count("E0601") == 1


def test_a_word_of_the_language_may_name_a_grading() -> None:
    for name in ("feed", "band", "grading", "deck"):
        plant = plant_of(small_plant(BODY % name, NAMED.replace("pit_run", name)))
        assert plant.feeds[0].grading == POINTS


def test_the_layout_keeps_a_named_grading() -> None:
    text = small_plant(BODY % "pit_run", NAMED)
    once = laid_out(Source("plant.hog", text))
    assert isinstance(once, str)
    assert "grading pit_run {" in once and "passing pit_run }" in once
    assert plant_of(once).feeds == plant_of(once).feeds
    assert plant_of(once).feeds[0].grading == POINTS
    assert laid_out(Source("plant.hog", once)) == once
