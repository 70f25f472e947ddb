"""Conflicts that git leaves in a file: each is reported once, and nothing else is blamed."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.render import render
from hoggin.diagnostics.source import Source
from hoggin.syntax.parser import parse
from tests.check.reading import check_text
from tests.repository import Repository

QUARRY = (Path(__file__).parents[2] / "examples" / "quarry.hog").read_text(encoding="utf-8")
LINES = QUARRY.splitlines(keepends=True)


def _conflict(ours: str, theirs: str, base: str | None = None) -> str:
    middle = "" if base is None else f"||||||| 1a2b3c4\n{base}"
    return f"<<<<<<< HEAD\n{ours}{middle}=======\n{theirs}>>>>>>> wider-deck\n"


@st.composite
def _balanced(draw: st.DrawFn) -> tuple[int, int]:
    """A run of lines that opens no block it does not close."""
    first = draw(st.integers(0, len(LINES) - 1))
    ends = []
    depth = 0
    for last in range(first, min(first + 30, len(LINES))):
        code = LINES[last].partition("#")[0]
        for sign in code:
            depth += (sign in "{(") - (sign in "})")
            if depth < 0:
                break
        if depth < 0:
            break
        if depth == 0:
            ends.append(last + 1)
    return first, draw(st.sampled_from(ends or [first]))


@pytest.mark.slow
@given(run=_balanced(), other=_balanced(), with_base=st.booleans())
@settings(max_examples=60, deadline=None)
def test_whatever_the_other_side_says_the_conflict_alone_is_blamed(
    run: tuple[int, int], other: tuple[int, int], with_base: bool
) -> None:
    first, last = run
    ours, theirs = "".join(LINES[first:last]), "".join(LINES[slice(*other)])
    assume(ours.strip())  # else what they have is read, which is no part of a plant here
    conflict = _conflict(ours, theirs, ours if with_base else None)
    found = check_text("".join(LINES[:first]) + conflict + "".join(LINES[last:]))
    assert [d.code for d in found.diagnostics] == ["E0108"], "\n".join(
        map(render, found.diagnostics)
    )
    assert found.diagnostics[0].span.line == first + 1
    assert found.plant is None


@pytest.mark.slow
@given(run=_balanced())
@settings(max_examples=60, deadline=None)
def test_what_only_the_other_side_has_is_not_called_unknown(run: tuple[int, int]) -> None:
    first, last = run
    conflict = _conflict("", "".join(LINES[first:last]))
    found = check_text("".join(LINES[:first]) + conflict + "".join(LINES[last:])).diagnostics
    assert [d.code for d in found] == ["E0108"], "\n".join(map(render, found))


def test_both_sides_are_shown_with_their_names_and_lines() -> None:
    text = "let a = 1 mm\n" + _conflict("let b = 2 mm\n", "let b = 3 mm\nlet c = 4 mm\n")
    diagnostics = Diagnostics()
    parse(Source("a.hog", text), diagnostics)
    (found,) = diagnostics
    shown = render(found)
    for words in ("HEAD has a.hog:3:1", "let b = 2 mm", "wider-deck has a.hog:5:1", "let c = 4 mm"):
        assert words in shown
    assert "up to line 7" in shown
    assert "keep the lines of one side" in shown


def test_a_side_without_lines_is_shown_as_such() -> None:
    diagnostics = Diagnostics()
    parse(Source("a.hog", _conflict("", "let b = 3 mm\n")), diagnostics)
    assert "HEAD has nothing, after a.hog:1" in render(next(iter(diagnostics)))


def test_what_is_left_of_a_conflict_resolved_by_half_is_told() -> None:
    diagnostics = Diagnostics()
    text = "let a = 1 mm\n=======\nlet b = 2 mm\n>>>>>>> theirs\n<<<<<<< HEAD\nlet c = 3 mm\n"
    file = parse(Source("a.hog", text), diagnostics)
    assert [(d.code, d.span.line) for d in diagnostics] == [("E0108", n) for n in (2, 4, 5)]
    assert len(file.statements) == 3


def test_conflicts_are_found_as_git_itself_writes_them(tmp_path: Path) -> None:
    repository = Repository(tmp_path)
    text = "".join(f"let {name} = {number} mm\n" for number, name in enumerate("abcdefghij"))
    repository.commit({"a.hog": text})
    repository.git("checkout", "--quiet", "-b", "other")
    repository.commit({"a.hog": text.replace(" 1 mm", " 11 mm").replace(" 8 mm", " 18 mm")})
    repository.git("checkout", "--quiet", "main")
    repository.commit({"a.hog": text.replace(" 1 mm", " 21 mm").replace(" 8 mm", " 28 mm")})
    for style in ("merge", "diff3", "zdiff3"):
        repository.git("merge", "--abort") if style != "merge" else None
        repository.git("config", "merge.conflictStyle", style)
        repository.git("merge", "other", check=False)
        merged = (tmp_path / "a.hog").read_text()
        assert merged.count("<<<<<<<") == 2
        diagnostics = Diagnostics()
        file = parse(Source("a.hog", merged), diagnostics)
        assert [d.code for d in diagnostics] == ["E0108", "E0108"]
        assert len(file.statements) == 10
