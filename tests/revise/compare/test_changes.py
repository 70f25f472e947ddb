"""What two plants state otherwise. Each edit made to a text is the only one found, told in the
trade's units; what changes no plant is no difference. The edits are known by construction."""

from __future__ import annotations

import re
from pathlib import Path
from random import Random

import pytest
from tests.revise.compare.history import generated_history

from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.revise.compare import Side, compare
from hoggin.revise.compare.comparison import Change
from hoggin.schema.plant import Plant
from hoggin.world import World

_WITH_HISTORY = (Path(__file__).parents[3] / "examples" / "quarry.hog").read_text()
QUARRY = _WITH_HISTORY.partition("  # What changed, for the revision table")[0] + "}\n"
_ROOT = World(Path(__file__).parents[3] / "examples" / "quarry.hog")


def plant_of(text: str) -> Plant:
    checked = check(_ROOT, Source("examples/quarry.hog", text))
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    return checked.plant


def found(before: str, after: str) -> list[Change]:
    old, new = Side("a", plant_of(before), None), Side("b", plant_of(after), None)
    return list(compare(old, new).changes)


def told(change: Change) -> tuple[str, str, str, str | None, str | None]:
    return change.kind, change.subject, change.what, change.before, change.after


def edited(old: str, new: str) -> str:
    assert QUARRY.count(old) >= 1, old
    return QUARRY.replace(old, new)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("css     40 mm", "css 36 mm", ("changed", "crusher secondary", "css", "40 mm", "36 mm")),
        (
            "css     40 mm",
            "css 40 mm; count 2",
            ("changed", "crusher secondary", "count", "1", "2"),
        ),
        # an inch is 25.4 mm by definition (international yard, 1959)
        ("css     40 mm", "css 2 in", ("changed", "crusher secondary", "css", "40 mm", "50.8 mm")),
        (
            "rate 450 t/h",
            "rate 460 t/h",
            ("changed", "feed shot_rock", "rate", "450 t/h", "460 t/h"),
        ),
        (
            "400 mm: 76 %",
            "400 mm: 77 %",
            ("changed", "feed shot_rock", "grading", "400 mm: 76 %", "400 mm: 77 %"),
        ),
        ("tramp 30 mm", "tramp 40 mm", ("changed", "feed shot_rock", "tramp", "30 mm", "40 mm")),
        (
            "work_index     15.5 kWh/t",
            "work_index 16 kWh/t",
            ("changed", "material granite", "work index", "15.5 kWh/t", "16 kWh/t"),
        ),
        (
            "deck top    50 mm square",
            "deck top 56 mm square",
            ("changed", "screen sorting", "deck top aperture", "50 mm", "56 mm"),
        ),
        (
            "live 6000 t",
            "live 5000 t",
            ("changed", "stockpile surge", "live", "6000 t", "5000 t"),
        ),
        (
            "chamber coarse\n",
            "chamber medium\n",
            ("changed", "crusher secondary", "chamber", "coarse", "medium"),
        ),
        (
            "sand.share <= 35 %",
            "sand.share <= 33 %",
            ("changed", "requirement", "limit", "sand.share <= 35 %", "sand.share <= 33 %"),
        ),
        (
            "  require sand.share <= 35 %\n",
            "",
            ("removed", "requirement", "", "sand.share <= 35 %", None),
        ),
        (
            '"11/22 stone"',
            '"11/22 drainage stone"',
            ("changed", "product stone", "title", "11/22 stone", "11/22 drainage stone"),
        ),
        (
            "left_sizing.second.over  -> stone",
            "left_sizing.second.over  -> chips",
            ("changed", "route from left_sizing.second.over", "leads to", "stone", "chips"),
        ),
    ],
)
def test_an_edit_is_told_as_the_one_change(
    old: str, new: str, expected: tuple[str, str, str, str | None, str | None]
) -> None:
    assert [told(change) for change in found(QUARRY, edited(old, new))] == [expected]


def test_a_shared_name_shows_where_it_bears() -> None:
    changes = found(QUARRY, edited("tertiary_setting = 15 mm", "tertiary_setting = 14 mm"))
    assert [told(c) for c in changes] == [("changed", "crusher tertiary", "css", "15 mm", "14 mm")]


def test_layout_order_comments_and_units_are_no_difference() -> None:
    head, plant, body = QUARRY.partition('plant "Skarrow Hill quarry, 450 t/h" {\n')
    lines = {
        "css     40 mm": "css     1.574803149606299 in  # as the drawing has it",
        "live 6000 t": "live 6000000 kg",
        "width: 3.0 m, length: 7.8 m": "length: 7800 mm, width: 3000 mm",
    }
    for old, new in lines.items():
        assert old in body
        body = body.replace(old, new)
    moved = "  require sand.share <= 35 %\n"
    body = moved + body.replace(moved, "\n\n")
    assert found(QUARRY, f"# a remark\n\n{head}{plant}{body}") == []


def test_another_name_for_an_import_is_no_difference() -> None:
    after = QUARRY.replace("use std.cones", "use std.cones as crushers").replace(
        ": cones.", ": crushers."
    )
    assert found(QUARRY, after) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", ["secondary", "tertiary_bin", "sorting", "order_book", "chips"])
def test_a_renamed_thing_is_recognised(name: str) -> None:
    words = QUARRY.replace(f"{name}.", "renamed.").replace(f" {name} ", " renamed ")
    words = words.replace(f" {name}:", " renamed:").replace(f" {name}\n", " renamed\n")
    words = words.replace("duty    renamed", "duty    secondary")
    changes = found(QUARRY, words)
    assert [(c.kind, c.before, c.after) for c in changes] == [("renamed", name, "renamed")]


@pytest.mark.slow
def test_all_machines_renamed_at_once_are_recognised() -> None:
    after = QUARRY
    for machine in plant_of(QUARRY).machines:
        after = _renamed_everywhere(after, machine.tag, f"m_{machine.tag}")
    changes = found(QUARRY, after)
    assert {c.kind for c in changes} == {"renamed"}
    assert all(c.after == f"m_{c.before}" for c in changes)
    assert len(changes) == len(plant_of(QUARRY).machines)


def _renamed_everywhere(text: str, old: str, new: str) -> str:
    kept = text.replace("duty    secondary", "duty    SECONDARY").replace(
        "duty    tertiary", "duty    TERTIARY"
    )
    kept = re.sub(rf"(?<![\w.]){old}(?!\w)", new, kept)
    return kept.replace("SECONDARY", "secondary").replace("TERTIARY", "tertiary")


def test_another_class_in_the_same_place_is_another_machine() -> None:
    after = QUARRY.replace(
        "crusher secondary: cones.supported_shaft(head: 1850 mm)",
        "crusher second_cone: cones.medium_speed(head: 1650 mm)",
    )
    after = _renamed_everywhere(after, "secondary", "second_cone")
    kinds = {(c.kind, c.subject) for c in found(QUARRY, after)}
    assert ("added", "crusher second_cone") in kinds
    assert ("removed", "crusher secondary") in kinds


@pytest.mark.slow
def test_a_class_of_an_own_library_shows_its_changed_coefficient(tmp_path: Path) -> None:
    (tmp_path / "plant.hog").write_text(
        QUARRY.replace("use std.jaws", 'use std.jaws\nuse "mine.hog" as mine').replace(
            ": cones.high_speed", ": mine.high_speed"
        )
    )
    library = (Path(__file__).parents[3] / "stdlib" / "cones.hog").read_text()
    plants = []
    for text in (library, re.sub(r"relief_stroke +40 mm", "relief_stroke 45 mm", library)):
        (tmp_path / "mine.hog").write_text(text)
        world = World(tmp_path / "plant.hog")
        checked = check(world, world.open_main())
        assert checked.plant is not None, [d.message for d in checked.diagnostics]
        plants.append(checked.plant)
    old, new = (Side("x", plant, None) for plant in plants)
    changes = compare(old, new).changes
    assert [(c.subject, c.what) for c in changes] == [("class high_speed", "relief_stroke")]
    assert changes[0].before is not None and changes[0].before.startswith("40 mm")


@pytest.mark.slow
def test_200_generated_revisions_show_just_the_edits_made() -> None:
    history = generated_history(QUARRY, 200, Random(20261125))
    plants = [plant_of(revision.text) for revision in history]
    for before, after, revision in zip(plants, plants[1:], history[1:], strict=False):
        changes = compare(Side("a", before, None), Side("b", after, None)).changes
        assert sorted((c.kind, c.subject, c.what) for c in changes) == sorted(revision.edits)


@pytest.mark.slow
def test_a_comparison_turned_round_is_the_other_way_round() -> None:
    after = edited("css     40 mm", "css 36 mm").replace("rate 450", "rate 470")
    there, back = found(QUARRY, after), found(after, QUARRY)
    assert [(c.subject, c.what, c.before, c.after) for c in there] == [
        (c.subject, c.what, c.after, c.before) for c in back
    ]
