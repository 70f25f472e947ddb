"""Tonnages, gates and draws in comparison, `why` and merge: each edit is the only one found."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.rating.rate import rate
from hoggin.revise.compare import Side, compare
from hoggin.revise.merge import Labels, merge
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.world import World

ORDERED = Path(__file__).parents[2] / "examples" / "cookbook" / "made_to_order.hog"
TEXT = ORDERED.read_text(encoding="utf-8")


def plant_of(text: str) -> Plant:
    checked = check(World(ORDERED), Source("made_to_order.hog", text))
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    return checked.plant


def rated(text: str) -> Results:
    plant = plant_of(text)
    return rate(plant, balance(plant), "made_to_order.hog")


def edited(*edits: tuple[str, str]) -> str:
    text = TEXT
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


SOLD = ("sold 45 t/h", "sold 60 t/h")
DRAWN = ("draw 110 t/h", "draw 90 t/h")
TURNED = ("position plant", "position yard")
SHARED = ("sold 45 t/h", "sold 40 %")


@pytest.mark.parametrize(
    ("edit", "told"),
    [
        (SOLD, {("splitter order_book", "asked sold", "45 t/h", "60 t/h")}),
        (DRAWN, {("bin cone_bin", "asked draw", "110 t/h", "90 t/h")}),
        (TURNED, {("splitter gate", "position", "plant", "yard")}),
        (
            SHARED,
            {
                ("splitter order_book", "asked sold", "45 t/h", "-"),
                ("splitter order_book", "share sold", "-", "40 %"),
                ("splitter order_book", "share surplus", "-", "60 %"),
            },
        ),
    ],
)
def test_an_edit_is_the_only_difference_of_the_plants(
    edit: tuple[str, str], told: set[tuple[str, str, str, str]]
) -> None:
    before, after = Side("a", plant_of(TEXT), None), Side("b", plant_of(edited(edit)), None)
    found = compare(before, after).changes
    assert {(c.subject, c.what, c.before, c.after) for c in found} == told


@pytest.mark.slow
def test_an_order_that_is_no_longer_met_is_a_limit_that_is_passed() -> None:
    before = Side("a", plant_of(TEXT), rated(TEXT))
    text = edited(("sold 45 t/h", "sold 90 t/h"))
    after = Side("b", plant_of(text), rated(text))
    found = compare(before, after)
    (turn,) = (one for one in found.turns if one.what == "tonnage")
    assert (turn.subject, turn.before, turn.worse) == ("splitter order_book", "ok", True)
    assert not found.same


def test_both_sides_of_a_merge_keep_what_they_state() -> None:
    ours = edited(SOLD, TURNED)
    theirs = edited(DRAWN)
    found = merge(TEXT, ours, theirs, Labels())
    assert found is not None and not found.conflicts
    assert plant_of(found.text) == plant_of(edited(SOLD, TURNED, DRAWN))


def test_two_positions_of_one_gate_are_a_conflict() -> None:
    more = edited(
        ("out yard; position plant", "out yard; out road; position plant"),
        ("gate.yard         ", "gate.road -> raw\n  gate.yard         "),
    )
    ours, theirs = (more.replace("position plant", f"position {way}") for way in ("yard", "road"))
    found = merge(more, ours, theirs, Labels())
    assert found is not None and found.conflicts
