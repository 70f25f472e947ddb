"""What is said of a save: the figures before and after it."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.viewing import read_plant
from hoggin.report.drawing import elk
from hoggin.schema.results import Results
from hoggin.view.changes import changes, summary
from hoggin.view.drawing import sheets
from hoggin.view.live import State
from hoggin.view.reading import Reading
from tests.view.test_live import edited


def faster(results: Results, by: float) -> Results:
    """The first stream with so much more on it."""
    first = results.streams[0]
    more = first.model_copy(update={"rate_t_h": first.rate_t_h * by})
    return results.model_copy(update={"streams": (more, *results.streams[1:])})


def test_the_figures_of_what_differs_are_told_before_and_after(small: Results) -> None:
    first = small.streams[0]
    (said,) = changes(small, faster(small, 1.1)).items()
    assert said == (
        first.name,
        (f"rate {1.1 * first.rate_t_h:.1f} t/h, before {first.rate_t_h:.1f} t/h",),
    )


def test_nothing_differs_from_itself_or_by_what_other_size_classes_make(small: Results) -> None:
    """A thousandth of a flow is the most that they make (docs/methods.md)."""
    assert changes(small, small) == {}
    assert changes(small, faster(small, 1.0008)) == {}
    assert changes(small, faster(small, 1.002))
    assert changes(None, small) == {}


@pytest.mark.slow
def test_a_setting_is_told_as_it_is_written(plant: Path) -> None:
    before = read_plant(plant)[0].results
    edited(plant, "css     40 mm", "css     41 mm")
    after = read_plant(plant)[0].results
    assert changes(before, after)["secondary"][0] == "css 41 mm, before 40 mm"


@pytest.mark.slow
def test_what_came_is_new_and_what_went_is_counted(plant: Path) -> None:
    before = read_plant(plant)[0].results
    edited(plant, "drain", "ballast")
    after = read_plant(plant)[0].results
    found = changes(before, after)
    assert found["ballast"] == ("new",)
    assert "drain" not in found
    assert summary(before, after).startswith("The last save changed ")
    assert summary(before, after).endswith(" and removed 2.")  # the product and the stream to it


def test_a_sentence_counts_what_changed(small: Results) -> None:
    assert summary(small, faster(small, 1.1)) == "The last save changed 1 stream."
    assert summary(small, small) == "The last save changed no figure of the flowsheet."
    assert summary(None, small) == ""


def test_the_good_reading_before_the_last_is_kept_through_errors(small: Results) -> None:
    first, second = Reading(small), Reading(faster(small, 1.1))
    state = State(1, first, 1, first).followed_by(Reading(None, "error"))
    assert state.good is first and state.before is None
    state = state.followed_by(second)
    assert state.good is second and state.before is first
    state = state.followed_by(Reading(None, "error"))
    assert state.good is second and state.before is first


@pytest.mark.slow
def test_a_changed_setting_is_drawn_in_the_layout_that_is_known(
    plant: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = read_plant(plant)[0].results
    edited(plant, "css     40 mm", "css     46 mm")
    after = read_plant(plant)[0].results
    assert before is not None and after is not None
    sheets(before, {})

    def refuse(*_: object) -> None:
        raise AssertionError("laid out again")

    monkeypatch.setattr(elk, "_engine", refuse)
    assert sheets(after, {})
