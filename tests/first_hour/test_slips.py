"""A beginner's slips in the plant of the tutorial: one slip, one message, and the mend works.

What stands in the first column is changed to the second; the third is (part of) the advice. Where
the advice proposes a text, putting it in place of what is blamed gives a plant without errors.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hoggin.check.checker import Checked
from hoggin.diagnostics.diagnostic import Diagnostic
from tests.check.reading import check_text

_PLANT = (Path(__file__).parents[2] / "examples/tutorial/step_6.hog").read_text(encoding="utf-8")
# Blanks in a row as one, so that how the example is aligned makes no difference here.
_PLANT = re.sub(r"(?<=\S) +", " ", _PLANT)
_PROPOSED = re.compile(r"did you mean `(.+?)`\?")

_MENDED = [
    # other notations of numbers
    ("2.66 t/m3", "2,66 t/m3"),
    ("0.5 mm:", "0,5 mm:"),
    ("width: 1.2 m", "width: 1,2 m"),
    ("passing(31.5 mm)", "passing(31,5 mm)"),
    ("live 900 t", "live 1,900 t"),
    ("deck top 80 mm", 'deck top 3"'),
    ("deck top 80 mm", "deck top 3 1/2 in"),
    ("deck top 80 mm", 'deck top 3 1/2"'),
    ("deck bottom 5 mm", "deck bottom 1/4 in"),
    # other signs
    ("bars.over -> primary", "bars.over --> primary"),
    ("bars.over -> primary", "bars.over => primary"),
    ("bars.over -> primary", "bars.over → primary"),
    ("sand.rate <= 60", "sand.rate =< 60"),
    ("sand.rate <= 60", "sand.rate ≤ 60"),
    ("crusher primary: jaws", "crusher primary = jaws"),
    ("gape: 800 mm", "gape = 800 mm"),
    ("gape: 800 mm, width", "gape: 800 mm; width"),
    ("600 mm: 100 %", "600 mm = 100 %"),
    ("600 mm: 100 %, 400", "600 mm: 100 %; 400"),
    ("chamber coarse; css", "chamber coarse, css"),
    # words
    ("crusher primary:", "Crusher primary:"),
    ("stockpile surge", "stock_pile surge"),
    ("feed shot_rock", "fead shot_rock"),
    ("require sand.rate", "requires sand.rate"),
    ("bars.over -> primary", "bars.over -> Primary"),
    ("cones.supported_shaft", "Cones.supported_shaft"),
    ("jaws.single_toggle", "jaws.single_togle"),
    ("jaws.single_toggle", "single_toggle"),
    ("use std.jaws", "use std.jaw"),
    ("css 100 mm", "CSS 100 mm"),
    ("css 100 mm", "csss 100 mm"),
    ("duty secondary", "duty Secondary"),
    ("rock limestone\n    rate", "rock limstone\n    rate"),
    # units
    ("css 100 mm", "css 100 MM"),
    ("11.5 kWh/t", "11.5 kwh/t"),
    ("220 t/h\n", "220 mtph\n"),
    ("220 t/h\n", "220 t/hr\n"),
    ("2.66 t/m3", "166 pcf"),
    ("1.5 %", "1.5 percent"),
    ("0.5 mm:", "500 microns:"),
]

_TOLD = [
    ("css 100 mm", "css 100 mm.", "remove it"),
    ("css 100 mm", "css 10O mm", "as in `100 mm`"),
    ("css 100 mm", "css = 100 mm", "remove it"),
    ("css 100 mm", "css: 100 mm", "remove it"),
    ("deck top 34 mm", "deck top: 34 mm", "remove it"),
    ("css 100 mm", "css 100\u00a0mm", "write a plain space"),
    ("0.5 mm:", "500 µm:", "micrometres are `um`"),
    ('"A"', "“A”", "straight quotes"),
    ("20 mm: 11 %, 4 mm: 4 %", "20 mm: 11 % #4: 4 %", "write a sieve by its size"),
    ("4 mm: 4 %", "No. 4: 4 %", "write a sieve by its size"),
    ("# Primary", "// Primary", "start a comment with `#`"),
    ("bars.over -> primary", "primary <- bars.over", "from left to right"),
    ("feed shot_rock", "feed shot rock", "write a name as one word, as in `shot_rock`"),
    ("product chips {", "product chips-1 {", "write `_`"),
    (
        "crusher primary:",
        "primary:",
        "start a machine with its kind, as in `crusher primary: ...`",
    ),
    ("secondary; chamber", "secondary chamber", "separate the two statements with `;`"),
    ("(gape: 800 mm, width: 1000 mm)", "(800 mm, 1000 mm)", "name the parameter, as in `width:"),
    ("width: 1000 mm) { css 100 mm }", "width: 1000 mm, css: 100 mm)", "write it in { }"),
    ("deck top 34 mm", "deck 34 mm", "name the deck"),
    ("600 mm: 100 %, 400", "600 mm: 100 % 400", "write a comma"),
    ("deck top 34 mm square\n", "deck top 34\n", "write it in `um`, `mm`"),
    ("deck top 34 mm square", "deck top 34 square", "`34 mm square`"),
    ("cone.load within 65 % to 90 %", "cone.load 65 % - 90 %", "within 65 % to 90 %"),
    ("primary.load <= 90 %", "primary.load <= 90", "as in `90 %`"),
    ("within 65 % to 90 %", "within 65 to 90 %", "as in `65 %`"),
    ("moisture 1.5 %", "moisture 1.5", "as in `1.5 %`"),
    ("rock limestone\n    rate", 'material "limestone"\n    rate', "without quotes"),
    ('revision "A"', "revision A", 'write `revision "A"`'),
    ('title "0/4 sand"', "title 0/4 sand", 'write `title "0/4 sand"`'),
    ('"Cold Beck, 220 t/h" {', '"Cold Beck, 220 t/h {', 'put a `"` at its end'),
    ("use std.jaws\n", "", "add `use std.jaws`"),
    (
        "require sand.rate <= 60 t/h",
        "require sand meets astm.c33_fine",
        "add `use std.gradings.astm`",
    ),
    ("220 t/h\n", "220 TPH\n", "`stph` (short tons per hour)"),
    # a brace forgotten: nothing after it is blamed
    ("deck bottom 5 mm square\n  }", "deck bottom 5 mm square", "add a `}`"),
    ("0.5 mm: 1 %\n    }", "0.5 mm: 1 %", "add a `}`"),
    ("0.5 mm: 1 %\n    }\n  }", "0.5 mm: 1 %\n    }", "add a `}`"),
    ("material limestone {", "material limestone", "add a `{`"),
    ("feed shot_rock {", "feed shot_rock", "add a `{`"),
]


def _slipped(right: str, wrong: str) -> str:
    assert right in _PLANT, right
    return _PLANT.replace(right, wrong, 1)


def _told(checked: Checked) -> list[str]:
    return [f"{d.code} {d.message}; {d.help}" for d in checked.diagnostics]


def _with_proposal(text: str, found: Diagnostic) -> str:
    """The text with what a diagnostic proposes, in place of the word it names (which ends what it
    blames)."""
    proposed = _PROPOSED.fullmatch(found.help)
    assert proposed is not None, found
    named = [w for w in re.findall(r"`([^`]+)`", found.message) if found.span.text.endswith(w)]
    start = found.span.end - len(max(named, key=len))
    return text[:start] + proposed[1] + text[found.span.end :]


@pytest.mark.slow
@pytest.mark.parametrize(("right", "wrong"), _MENDED)
def test_one_slip_gets_one_message_and_its_proposal_mends_it(right: str, wrong: str) -> None:
    text = _slipped(right, wrong)
    checked = check_text(text)
    (found,) = checked.diagnostics
    mended = check_text(_with_proposal(text, found))
    assert not mended.diagnostics, _told(mended)


@pytest.mark.parametrize(("right", "wrong", "advice"), _TOLD)
def test_one_slip_gets_one_message_that_says_what_to_do(
    right: str, wrong: str, advice: str
) -> None:
    checked = check_text(_slipped(right, wrong))
    (told,) = _told(checked)
    assert advice in told


def test_the_same_slip_in_every_entry_is_told_twice_and_no_more() -> None:
    points = re.findall(r"[0-9.]+ mm: +[0-9]+ %", _PLANT)
    assert len(points) > 4
    text = _PLANT
    for point in points:
        text = text.replace(point, point.removesuffix(" %"))
    assert [d.code for d in check_text(text).diagnostics] == ["E0306", "E0306"]


def test_indents_matter_only_where_a_brace_is_missing() -> None:
    assert not check_text(re.sub(r"(?m)^ +", "", _PLANT)).diagnostics
    assert not check_text(re.sub(r"(?m)^( *)(\S)", r"\1  \1\2", _PLANT)).diagnostics


def test_lists_with_their_blanks_left_out_are_no_decimal_commas() -> None:
    assert not check_text(
        "let a = max(1,2) * 1 mm\nlet b = a\nseries s { 63 mm,31 mm,16 mm }"
    ).has_errors


def test_a_comment_that_looks_like_a_sieve_number_is_one_outside_of_lists_of_sieves() -> None:
    assert not check_text(f"#4: 12 % it was\n{_PLANT}\n#8: 2 % it was").diagnostics
    text = _slipped("material limestone {", "material limestone { #4: 12 % it was\n")
    assert not check_text(text).diagnostics


def test_a_text_that_slips_throughout_is_told_a_hundred_times_and_no_more() -> None:
    found = check_text("let a = 2,5 mm\n" * 300).diagnostics
    assert [diagnostic.code for diagnostic in found].count("E0101") == 100
