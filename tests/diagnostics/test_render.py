"""A rendered message says what, where and how to fix it, with the place underlined."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check.checker import check_file
from hoggin.diagnostics.diagnostic import Diagnostic, Note
from hoggin.diagnostics.render import render, render_all
from hoggin.diagnostics.source import Source, Span
from tests.check.reading import check_text


def _rendered(text: str, blamed: str) -> list[str]:
    start = text.index(blamed)
    span = Span(Source("plant.hog", text), start, start + len(blamed))
    return render(Diagnostic("E0201", span, "unknown")).split("\n")


def _underlined(lines: list[str]) -> str:
    """What stands above the carets."""
    source, carets = lines[2], lines[3]
    return source[carets.index("^") : carets.rindex("^") + 1]


@pytest.mark.parametrize(
    "text",
    [
        "let gap = here\n",
        "let gap = here",
        "\tlet gap\t= here\t# tabs\n",
        "here",
        "\n\n   here   \n",
        "x" * 500 + " here " + "y" * 500 + "\n",
        "x" * 5000 + " here",
        "here " + "y" * 5000,
        "let \x07bell = here",
        "# größer – here",
    ],
)
def test_the_carets_stand_under_the_span(text: str) -> None:
    assert _underlined(_rendered(text, "here")) == "here"


def test_letters_two_columns_wide_move_the_carets() -> None:
    lines = _rendered("let 石 = here", "here")
    assert lines[3].index("^") == lines[2].index("here") + 1


def test_a_span_over_several_lines_is_underlined_on_its_first() -> None:
    assert _underlined(_rendered("let a = first\nsecond\n", "first\nsecond")) == "first"


def test_a_fault_at_the_end_of_the_file_has_its_caret_behind_the_last_letter() -> None:
    text = "let a ="
    span = Span(Source("plant.hog", text), len(text), len(text))
    lines = render(Diagnostic("E0101", span, "unfinished")).split("\n")
    assert lines[1] == "  at plant.hog:1:8"
    assert lines[3].index("^") == lines[2].index("let a =") + len(text)


def test_lines_and_columns_count_from_one() -> None:
    source = Source("plant.hog", "ab\n\ncd")
    places = [source.line_column(offset) for offset in range(len(source.text) + 1)]
    assert places == [(1, 1), (1, 2), (1, 3), (2, 1), (3, 1), (3, 2), (3, 3)]
    assert [source.line_text(line) for line in (1, 2, 3)] == ["ab", "", "cd"]


@pytest.mark.parametrize("line_end", [b"\n", b"\r\n", b"\r"])
def test_line_ends_of_any_kind_give_the_same_message(line_end: bytes, tmp_path: Path) -> None:
    file = tmp_path / "plant.hog"
    file.write_bytes(line_end.join([b"# a", b"let a = 5 mn", b"let b = a"]))
    (found,) = check_file(file).diagnostics
    assert render(found).split("\n")[1:4] == [
        "  at plant.hog:2:9",
        "    2 | let a = 5 mn",
        "      |         ^^^^",
    ]


def test_a_message_with_help() -> None:
    text = 'plant "Hill" {\n  shot_rock -> primry\n  blend primary\n  sieves { 2 mm, 1 mm }\n}\n'
    found = [d for d in check_text(text).diagnostics if "primry" in d.message]
    assert [render(d) for d in found] == [
        "error E0201: unknown machine, feed or product `primry`\n"
        "  at plant.hog:2:16\n"
        "    2 |   shot_rock -> primry\n"
        "      |                ^^^^^^\n"
        "  help: did you mean `primary`?\n"
    ]


def test_a_message_with_a_second_place() -> None:
    source = Source("plant.hog", "let a = 1 mm\nlet a = 2 mm\n")
    note = Note(Span(source, 4, 5), "first declared")
    found = Diagnostic("E0202", Span(source, 17, 18), "`a` is declared twice", "", (note,))
    assert render(found) == (
        "error E0202: `a` is declared twice\n"
        "  at plant.hog:2:5\n"
        "    2 | let a = 2 mm\n"
        "      |     ^\n"
        "  first declared plant.hog:1:5\n"
        "    1 | let a = 1 mm\n"
        "      |     ^\n"
    )


def test_the_count_at_the_end() -> None:
    found = check_text("let a = 5 mn\nlet b = 5 mz\n").diagnostics
    assert render_all(found).endswith("\n2 errors; `hoggin explain CODE` explains a code\n")
    assert render_all(found[:1]).endswith("\n1 error; `hoggin explain CODE` explains a code\n")
    assert render_all([]) == ""


def test_no_control_letter_of_a_source_reaches_the_terminal() -> None:
    text = "let a = 5 mn \x1b[31m \x07 \x7f \u202e\n"
    shown = render_all(check_text(text).diagnostics)
    assert all(letter.isprintable() for letter in shown.replace("\n", ""))
