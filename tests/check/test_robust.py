"""Never a traceback, never a hang: whatever the text, the checker answers with diagnostics."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from hoggin.check.checker import Checked, check_file
from hoggin.diagnostics.render import render_all
from hoggin.world import LARGEST_FILE, UnreadableError
from tests.check.reading import check_text, codes
from tests.mutations import ODD, mutated, seeds, tokens

_SEEDS = seeds("tests/fixtures", "stdlib")


def _survives(text: str) -> Checked:
    """Check and render; no exception may come out, and every span lies in its file."""
    checked = check_text(text)
    render_all(checked.diagnostics)
    for found in checked.diagnostics:
        for span in (found.span, *(note.span for note in found.notes)):
            assert 0 <= span.start <= span.end <= len(span.source.text)
    assert (checked.plant is None) or not checked.has_errors
    return checked


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(st.text(max_size=200))
@example("")
@example("\n")
@example("# only a comment")
@example("A!0\xa0_")  # once a crash: a number, then a blank that is none
@example("let a = 1e5")  # once a crash: is `e5` an exponent or a unit?
@example("let a = by x { (")  # once endless: blocks left open where none can be closed
@example('plant "x" { feed f { passing { } } }')
def test_any_text(text: str) -> None:
    _survives(text)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.sampled_from(tokens(_SEEDS[0]) + ODD), max_size=80))
def test_any_words_of_the_language(words: list[str]) -> None:
    _survives(" ".join(words))


@pytest.mark.slow
@settings(max_examples=100, deadline=None)
@given(st.sampled_from(_SEEDS), st.randoms(use_true_random=False))
def test_any_slip_of_the_pen_in_a_good_file(text: str, random: Random) -> None:
    _survives(mutated(text, random))


@settings(max_examples=60, deadline=None)
@given(data=st.binary(max_size=200))
def test_any_bytes(data: bytes, tmp_path_factory: pytest.TempPathFactory) -> None:
    file = tmp_path_factory.mktemp("bytes") / "plant.hog"
    file.write_bytes(data)
    try:
        render_all(check_file(file).diagnostics)
    except UnreadableError as fault:
        assert "UTF-8" in str(fault)


# What a text is, and a code it must be refused with ("" where it is in order).
_EXTREMES = {
    "a megabyte of open braces": ("{" * 1_000_000, "E0105"),
    "a megabyte of closed braces": ("}" * 1_000_000, "E0105"),
    "a megabyte of pairs": ("{}" * 500_000, "E0105"),
    "a megabyte of lines of pairs": ("{}\n" * 333_333, "E0105"),
    "a megabyte of brackets": ("let a = " + "(" * 999_000, "E0105"),
    "many open braces": ("{" * 10_000, "E0106"),
    "many closed braces": ("}" * 10_000, "E0103"),
    "many pairs": ("{}" * 10_000, "E0101"),
    "many brackets": ("let a = " + "(" * 10_000, "E0106"),
    "many dots": ("let a = b" + ".b" * 10_000, "E0201"),
    "many arrows": ('plant "x" { a' + " -> a" * 10_000 + " }", "E0201"),
    "a long sum": ("let a = 1" + " + 1" * 10_000, "E0106"),
    "a megabyte of quotes": ('"' * 999_999, "E0105"),
    "a megabyte of stray letters": ("é " * 500_000, "E0102"),
    "a megabyte of dots": ("let a = b" + ".b" * 499_000, "E0105"),
    "a megabyte of arrows": ('plant "x" { a' + " -> a" * 199_000 + " }", "E0105"),
    "a megabyte of comments": ("# nothing\n" * 99_999, ""),
    "a megabyte of blanks": (" " * 999_999, ""),
    "a very long name": ("let " + "a" * 900_000 + " = b", "E0201"),
    "a very long number": ("let a = " + "9" * 900_000, "E0305"),
    "a very long sum": ("let a = 1" + " + 1" * 200_000, "E0105"),
    "a very long list": ("series s { " + "1 mm, " * 20_000 + " }", "E0703"),
    "many minus signs": ("let a = " + "- " * 5_000 + "1", "E0106"),
    "long sums nested deep": (
        "".join(f"let a{n} = {'1 + ' * 90}by b {{\n c: " for n in range(1))
        + "".join(f"{'1 + ' * 90}by b {{\n c: " for _ in range(55))
        + "1"
        + "\n}" * 56,
        "E0201",
    ),
    "nested blocks": ('plant "x" ' + "{ feed a " * 1_000 + "}" * 1_000, "E0106"),
    "NUL bytes": ("let a = 1 mm\x00\x00\nlet b = 2 mm\n", "E0102"),
    "carriage returns alone": ("let a = 1 mm\rlet b = 2 mm", "E0102"),
    "other line ends": ("let a = 1 mm\u2028let b = 2 mm\x0b", "E0102"),
    "many faults": ("let a = = 5\n" * 10_000, "E0101"),
    "many decimal commas": ("let a = 2,5 mm\n" * 20_000, "E0101"),
    "many sieve numbers": ("grading a { passing {\n" + "4 mm: 5 % #4: 4 %\n" * 20_000, "E0102"),
    "many comments like sieve numbers": ("let a = 5 mm #4: 4 %\n" * 20_000, "E0202"),
    "many declarations": ("let a = 5 mm\n" * 10_000, "E0202"),
}


@pytest.mark.slow
@pytest.mark.parametrize("what", _EXTREMES)
def test_extremes_are_answered(what: str) -> None:
    """And soon: what is not linear in the text's length would not end here at all."""
    text, code = _EXTREMES[what]
    checked = _survives(text)
    if code:
        assert code in {found.code for found in checked.diagnostics}
    else:
        assert checked.diagnostics == ()


def test_a_chain_of_three_hundred_lets() -> None:
    chain = ["let a0 = 1 mm"] + [f"let a{n} = a{n - 1} + 1 mm" for n in range(1, 300)]
    assert codes("\n".join(chain)) == []
    assert set(codes("\n".join(reversed(chain)))) <= {"E0106"}  # refused, or worked out: no crash


def test_lets_that_double_are_worked_out_once_each() -> None:
    lets = ["let a0 = 1 mm"] + [f"let a{n} = a{n - 1} - a{n - 1} + 1 mm" for n in range(1, 60)]
    assert codes("\n".join(lets)) == []  # 2^60 evaluations would not end


def test_a_chain_of_two_hundred_files(tmp_path: Path) -> None:
    for n in range(200):
        (tmp_path / f"f{n}.hog").write_text(f'use "f{n + 1}.hog" as next\nlet a = next.a\n')
    (tmp_path / "f200.hog").write_text("let a = 1 mm\n")
    found = {d.code for d in check_file(tmp_path / "f0.hog").diagnostics}
    assert found <= {"E0106"}


def _written(tmp_path: Path, data: bytes) -> Path:
    file = tmp_path / "plant.hog"
    file.write_bytes(data)
    return file


@pytest.mark.parametrize(
    ("what", "data"),
    [
        ("a byte order mark", b"\xef\xbb\xbflet a = 1 mm\n"),
        ("CRLF", b"let a = 1 mm\r\nlet b = 2 * a\r\n"),
        ("old line ends", b"let a = 1 mm\rlet b = 2 * a\r"),
        ("no line end", b"let a = 1 mm"),
        ("nothing", b""),
        ("a comment without an end", b"# a comment"),
    ],
)
def test_files_as_editors_write_them(what: str, data: bytes, tmp_path: Path) -> None:
    assert check_file(_written(tmp_path, data)).diagnostics == (), what


def test_what_is_no_text_is_refused_in_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="byte 3 is not UTF-8"):
        check_file(_written(tmp_path, b"let\xff"))
    with pytest.raises(UnreadableError, match="not a file"):
        check_file(tmp_path)
    with pytest.raises(UnreadableError, match="no such file"):
        check_file(tmp_path / "missing.hog")
    with pytest.raises(UnreadableError, match="MB"):
        check_file(_written(tmp_path, b" " * (LARGEST_FILE + 1)))
    with pytest.raises(UnreadableError):
        check_file(tmp_path / ("long" * 200))
    with pytest.raises(UnreadableError):
        check_file(Path("nul\0byte.hog"))
