"""The files for Vim, by Vim itself, judged by the compiler's stream of tokens."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from editor_support.words import WEIGHT, functions, keywords, pattern_of

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.schema.units import BASE_UNITS, written_unit
from hoggin.syntax.tokens import tokens_of
from tests.editor_support.engines import ROOT, VIM, ask_vim, hog_files, needs_vim, vim_groups
from tests.editor_support.texts import TEXTS

_PLAIN = {
    "NUMBER": ("hogginNumber",),
    "STRING": ("hogginText", "hogginOpenText"),
    "COMPARISON": ("hogginOperator",),
    "SIGN": ("hogginOperator",),
    "STAR": ("hogginOperator",),
    "SLASH": ("hogginOperator",),
    "CARET": ("hogginOperator",),
    "EQUAL": ("hogginOperator",),
    "VBAR": ("hogginOperator",),
    "ARROW": ("hogginArrow",),
}
_WORDS = (
    *("hogginDeclaring", "hogginOfClass", "hogginStating", "hogginJoining", "hogginArrowWord"),
)
_NAMES = ("", "hogginGroup", "hogginFact", "hogginLabel", "hogginAccess")


@pytest.mark.slow
@needs_vim
def test_every_token_of_the_compiler_gets_its_group(tmp_path: Path) -> None:
    files = hog_files("stdlib", "examples", "tests/fixtures/good")
    texts = {str(path.relative_to(ROOT)): path.read_text() for path in files} | TEXTS
    wrong: list[str] = []
    for (name, text), lines in zip(
        texts.items(), vim_groups(list(texts.values()), tmp_path), strict=True
    ):
        source = Source(name, text)
        for token in tokens_of(source, Diagnostics()):
            line, column = source.line_column(token.start)
            if token.kind == "_NL" or not source.line_text(line).isascii():
                continue  # Vim counts bytes
            groups = lines[line - 1][column - 1 : column - 1 + len(token.text)]
            if not _fits(token.kind, token.text, groups):
                wrong.append(f"{name}:{line} {token.kind} {token.text!r} is {groups}")
    assert not wrong, "\n".join(wrong[:60])


@needs_vim
def test_comments_are_comments_and_texts_with_a_hash_are_not(tmp_path: Path) -> None:
    [[first, second]] = vim_groups(['rate 5 t/h # feed\nabout "no # comment"'], tmp_path)
    assert first[11:] == ["hogginComment"] * len("# feed")
    assert first[5] == "hogginNumber"
    assert first[7:10] == ["hogginUnit"] * 3
    assert second[6:] == ["hogginText"] * len('"no # comment"')


@needs_vim
def test_opening_a_file_sets_comments_indent_and_formatter(tmp_path: Path) -> None:
    file = tmp_path / "a.hog"
    file.write_text("")
    asked = "&filetype, &commentstring, &shiftwidth, &expandtab, &formatprg, &syntax"
    assert ask_vim(f"call writefile([{asked}], $ANSWER)", [file]).splitlines() == [
        "hoggin",
        "# %s",
        "2",
        "1",
        "hoggin format -",
        "hoggin",
    ]


@needs_vim
@pytest.mark.parametrize("name", ["examples/quarry.hog", "examples/sand.hog", "stdlib/cones.hog"])
def test_indent_agrees_with_the_language_layout(name: str, tmp_path: Path) -> None:
    """Blocks are indented as the one layout has them; lines broken within brackets are left out."""
    file = tmp_path / "a.hog"
    wanted = [line for line in (ROOT / name).read_text().splitlines() if line.strip()]
    file.write_text("\n".join(line.lstrip() for line in wanted) + "\n")
    found = ask_vim("normal! gg=G\nwrite! $ANSWER", [file]).splitlines()
    compared = [
        (line, other)
        for line, other in zip(wanted, found, strict=True)
        if not line.lstrip()[0].isdigit()  # columns of sizes are set out by hand
    ]
    assert len(compared) > 20
    assert [other for _, other in compared] == [line for line, _ in compared]


def test_the_syntax_file_holds_every_word_and_unit() -> None:
    """What stands when no Vim is there to be asked."""
    syntax = (VIM / "syntax/hoggin.vim").read_text()
    parts = syntax.replace(r"\|", " ").replace(r"\%(", " ").replace(r"\)", " ")
    held = set(parts.replace(r"\>", " ").replace('"', " ").split())
    missing = {*keywords(), *BASE_UNITS, *functions()} - {"%"} - held
    assert not missing
    assert WEIGHT in syntax


def _fits(kind: str, text: str, groups: list[str]) -> bool:
    solid = {group for group, letter in zip(groups, text, strict=False) if letter.strip()}
    if kind == "MEASURE":
        number = re.match(pattern_of("NUMBER"), text)
        assert number is not None
        unit = text[number.end() :].lstrip()
        wanted = "hogginUnit" if written_unit(unit) is not None else "hogginBadUnit"
        own = set(groups[: number.end()]), set(groups[len(text) - len(unit) :])
        return own == ({"hogginNumber"}, {wanted})
    if kind == "NAME":
        free = (*functions(), WEIGHT)
        return solid <= set(_NAMES) or (
            text in free and solid <= {"hogginFunction", "hogginJoining", "hogginAim"}
        )
    if kind in _PLAIN:
        return len(solid) == 1 and solid <= set(_PLAIN[kind])
    if kind.isupper() and text.isidentifier():
        return len(solid) == 1 and solid <= set(_WORDS)
    return solid <= {
        "",
        "hogginStart",
        "hogginGroup",
        "hogginAccess",
        "hogginLabel",
    }  # brackets and signs
