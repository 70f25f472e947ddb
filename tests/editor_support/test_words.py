"""The editors' files hold the compiler's words, and no others that it does not know."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from editor_support.generate import generated
from editor_support.words import (
    ARITHMETIC,
    PLAIN_TYPES,
    WEIGHT,
    functions,
    keywords,
    openings,
    units,
    words,
)

from hoggin.schema.units import BASE_UNITS, SYNONYMS
from hoggin.syntax.tables import grammar, tables
from tests.check.reading import LIBRARIES, check_text, codes, small_plant
from tests.editor_support.engines import VSCODE

_ROUTE = "rock -> product stone\n"


def _errors(body: str) -> list[str]:
    """The errors of a plant with these lines; warnings, that a `use` is in vain, left out."""
    return [code for code in codes(small_plant(body)) if code.startswith("E")]


@pytest.mark.parametrize("path", generated(), ids=lambda path: path.name)
def test_the_committed_file_is_what_the_compiler_s_words_give_now(path: Path) -> None:
    """Where it is not: `python -m editor_support.generate`."""
    assert path.read_text() == generated()[path]


def test_every_word_of_the_grammar_file_is_found() -> None:
    """Read from the grammar's text with no help of its tables: quoted words and lists of words."""
    text = grammar()
    quoted = set(re.findall(r'"([a-z]+)"', text))
    listed: set[str] = set()
    for line in re.findall(r"^[A-Z]+\.2: /(.*)/$", text, re.MULTILINE):
        listed |= set(re.findall(r"[a-z_]{2,}", line))
    assert quoted | listed == set(keywords()) == {*words().all, WEIGHT}
    assert len(quoted | listed) > 35


def test_opening_words_are_those_that_may_begin_a_file() -> None:
    """The parser's own tables are asked, not its tokens."""
    may_open = {word for word, kind in keywords().items() if tables().fits([tables().start], kind)}
    # `source` may stand at the end of a line as well: there it is a word too.
    assert {*words().declaring, *words().stating} == may_open - {"source"}


def test_every_unit_stands_in_both_grammars() -> None:
    assert set(units()) == {*BASE_UNITS, *SYNONYMS}
    for path, text in generated().items():
        held = set(re.split(r"[|()\\:?]+", text))
        assert set(BASE_UNITS) - held == set(), path


@pytest.mark.parametrize("name", ARITHMETIC)
def test_the_checker_knows_the_function(name: str) -> None:
    assert _errors(_ROUTE + f"let a = {name}(1 mm, 2 mm)") == []
    assert "E0201" in _errors(_ROUTE + f"let a = {name}x(1 mm, 2 mm)")


def test_the_checker_knows_no_other_function() -> None:
    tried = {*keywords(), *openings(), *BASE_UNITS, "sqrt", "abs", "round", "sum", "mean"}
    others = sorted(word for word in tried - set(functions()) if word.isidentifier())
    lines = [f"let a{place} = {word}(1, 2)" for place, word in enumerate(others)]
    text = small_plant(_ROUTE + "\n".join(lines))
    blamed = {found.span.line for found in check_text(text).diagnostics if found.is_error}
    assert [line for line in lines if text.split("\n").index(line) + 1 not in blamed] == []


@pytest.mark.parametrize("aim", ["maximize", "minimize"])
def test_the_checker_knows_the_aim_and_its_weight(aim: str) -> None:
    settings = "duty tertiary; css free(12 mm to 18 mm)"
    body = f"crusher cone: cones.high_speed(head: 1300 mm) {{ {settings} }}\n"
    route = "rock -> cone -> product stone\n"
    both = f"{aim} stone.rate weight 2\nminimize plant.power weight 1\n"
    assert _errors(body + route + both) == []
    assert _errors(body + route + both.replace("weight 2", "gravity 2")) != []


@pytest.mark.parametrize("opening", openings())
def test_the_checker_knows_the_shape_of_opening(opening: str) -> None:
    screen = "screen a: screens.inclined(width: 2 m, length: 6 m) {{ deck top 20 mm {} }}\n"
    routes = "rock -> a; a.over -> product b; a.under -> product c\n"
    assert _errors(screen.format(opening) + routes) == []
    assert _errors(screen.format("oblong") + routes) != []


@pytest.mark.parametrize("kind", PLAIN_TYPES)
def test_the_checker_knows_the_plain_type(kind: str) -> None:
    value = {"number": "3", "text": '"a"'}[kind]
    text = f"{LIBRARIES}template t(a: {kind} = {value}) {{ in i; out o; i -> o }}\n"
    assert not check_text(text).has_errors
    assert check_text(text.replace(kind, "thing")).has_errors


def test_the_rest_of_a_splitter_is_a_word() -> None:
    body = "splitter s { out a 50 %; out b rest }\nrock -> s; s.a -> product c; s.b -> product d\n"
    assert _errors(body) == []
    assert _errors(body.replace("rest", "remains")) != []


def test_the_extension_s_grammar_is_the_generated_one() -> None:
    manifest = json.loads((VSCODE / "package.json").read_text())
    [grammar] = manifest["contributes"]["grammars"]
    assert VSCODE / grammar["path"] in generated()
    assert json.loads((VSCODE / grammar["path"]).read_text())["scopeName"] == grammar["scopeName"]
