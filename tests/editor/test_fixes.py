"""A beginner's slips in the plant of the tutorial: each has a quick-fix that gives a plant without
errors, and one command mends them all."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.editor.faults import faults_of
from hoggin.editor.fix_all import all_fixed
from hoggin.editor.fixes import tried
from hoggin.editor.snapshot import Snapshot
from tests.editor.plants import Files
from tests.first_hour import test_slips as slips

_PLANT = slips._PLANT
_SLIPS = [
    *slips._MENDED,
    # signs
    ("css 100 mm", "css = 100 mm"),
    ("css 100 mm", "css: 100 mm"),
    ("css 100 mm", "css 100 mm."),
    ("deck top 34 mm", "deck top: 34 mm"),
    ("css 100 mm", "css 100\u00a0mm"),
    ("0.5 mm:", "500 µm:"),
    ('"A"', "“A”"),
    ('"A"', "'A'"),
    ("# Primary", "// Primary"),
    ("# Primary", "/* Primary */"),
    ("# Primary", "-- Primary"),
    ("bars.under -> surge", "bars.under > surge"),
    ("bars.under -> surge", "surge <- bars.under"),
    ("secondary; chamber", "secondary chamber"),
    ("600 mm: 100 %, 400", "600 mm: 100 % 400"),
    # words
    ("css 100 mm", "css 10O mm"),
    ("feed shot_rock", "feed shot rock"),
    ("material limestone", "rock limestone"),
    ("rock limestone\n    rate", 'rock "limestone"\n    rate'),
    ("crusher primary:", "primary:"),
    ("use std.jaws", "use jaws"),
    ("use std.jaws\n", ""),
    ('revision "A"', "revision A"),
    ("deck bottom 5 mm square\n  }", "deck 5 mm square\n  }"),
    ("width: 1000 mm) { css 100 mm }", "width: 1000 mm, css: 100 mm)"),
    ("(gape: 800 mm, width: 1000 mm)", "(800 mm, 1000 mm)"),
    ("duty secondary; ", ""),
    ("gape: 800 mm", "gap: 800 mm"),
    # numbers
    ("deck top 34 mm square\n", "deck top 34\n"),
    ("deck top 34 mm square", "deck top 34 square"),
    ("4 mm: 4 %", "No. 4: 4 %"),
    ("20 mm: 11 %, 4 mm: 4 %", "20 mm: 11 % #4: 4 %"),
    ("css 100 mm", "css 100"),
    ("moisture 1.5 %", "moisture 1.5"),
    # requirements
    ("require sand.rate <= 60", "sand.rate <= 60"),
    ("require sand.rate <= 60", "require sand.rate = 60"),
    ("require sand.rate <= 60", "require sand.rate at most 60"),
    ("cone.load within 65 % to 90 %", "cone.load 65 % - 90 %"),
    ("primary.load <= 90 %", "primary.load <= 90"),
    # braces and quotes
    ("material limestone {", "material limestone"),
    ("deck bottom 5 mm square\n  }", "deck bottom 5 mm square"),
    ("0.5 mm: 1 %\n    }", "0.5 mm: 1 %"),
    ('"Cold Beck, 220 t/h" {', '"Cold Beck, 220 t/h {'),
]
# What a fix leaves to its author: a name's other places, or a limit that was not the intention.
_STARTED = [
    ("product chips {", "product chips-1 {", "write `_`"),
    ("gape: 800 mm, ", "", "add `gape: 200 mm`"),
]


def _offered(files: Files, snapshot: Snapshot) -> list[str]:
    """The titles of the fixes after which the plant has no errors."""
    found = []
    for fault in faults_of(snapshot):
        for fix in tried(files.project, snapshot, fault):
            again = Files(files.folder, plant=files.text())
            again.apply(fix.edits)
            if not any(one.is_error for one in faults_of(again.look())):
                found.append(fix.title)
    return found


@pytest.mark.slow
@pytest.mark.parametrize(("right", "wrong"), _SLIPS)
def test_a_slip_has_a_fix_that_leaves_no_error(tmp_path: Path, right: str, wrong: str) -> None:
    files = Files(tmp_path, plant=slips._slipped(right, wrong))
    assert _offered(files, files.look()), [
        f"{d.message}; {d.help}" for d in faults_of(files.look())
    ]


@pytest.mark.parametrize(("right", "wrong", "title"), _STARTED)
def test_a_fix_may_leave_the_rest_to_its_author(
    tmp_path: Path, right: str, wrong: str, title: str
) -> None:
    files = Files(tmp_path, plant=slips._slipped(right, wrong))
    snapshot = files.look()
    titles = [f.title for d in faults_of(snapshot) for f in tried(files.project, snapshot, d)]
    assert title in titles


@pytest.mark.parametrize("wrong", ["css 10 cm mm", "css 100 mm 5"])
def test_a_fix_that_only_moves_the_error_along_its_line_is_not_offered(
    tmp_path: Path, wrong: str
) -> None:
    files = Files(tmp_path, plant=slips._slipped("css 100 mm", wrong))
    snapshot = files.look()
    (fault,) = faults_of(snapshot)
    assert not tried(files.project, snapshot, fault)


@pytest.mark.slow
def test_one_command_mends_every_slip_that_leaves_no_choice(tmp_path: Path) -> None:
    text = _PLANT
    mended = [
        ("2.66 t/m3", "2,66 t/m3"),
        ("feed shot_rock", "feed shot rock"),
        ("bars.under -> surge", "bars.under => surge"),
        ("gape: 800 mm, width", "gape: 800 mm; width"),
        ("css 100 mm", "css = 100 mm"),
        ("use std.cones\n", ""),
        ("require sand.rate <= 60", "sand.rate ≤ 60"),
        ("primary.load <= 90 %", "primary.load <= 90"),
    ]
    for right, wrong in mended:
        assert right in text
        text = text.replace(right, wrong, 1)
    files = Files(tmp_path, plant=text)
    found = all_fixed(files.project, files.look())
    files.apply(found.edits)
    assert not faults_of(files.look())
    assert found.count >= len(mended)


def test_what_leaves_a_choice_is_not_mended_by_that_command(tmp_path: Path) -> None:
    text = slips._slipped("220 t/h\n", "220 TPH\n")
    files = Files(tmp_path, plant=text)
    assert all_fixed(files.project, files.look()).edits == ()


def test_a_text_without_errors_stays_as_it_is(tmp_path: Path) -> None:
    files = Files(tmp_path, plant=_PLANT)
    found = all_fixed(files.project, files.look())
    assert (found.count, found.edits) == (0, ())
