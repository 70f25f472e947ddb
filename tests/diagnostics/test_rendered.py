"""What a reader sees of each fault, word by word; and that no declared word goes unseen.

The expected texts stand beside the fixtures. After a change of wording: `pytest --snapshot-update`,
and read the difference.
"""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator
from pathlib import Path
from string import Formatter
from types import ModuleType
from typing import get_args

import pytest
from syrupy.assertion import SnapshotAssertion

from hoggin.diagnostics.codes import CODES, FAMILIES
from hoggin.diagnostics.fault import Fix
from hoggin.diagnostics.source import Source
from tests.check.reading import FIXTURES
from tests.diagnostics.rendering import (
    BesideTheFixture,
    cases,
    long_told,
    plant_told,
    table_told,
    varied_told,
)

_PAGE = {"title", "why", "wrong", "right"}  # stand in docs/diagnostics.md


@pytest.fixture
def beside(snapshot: SnapshotAssertion) -> SnapshotAssertion:
    return snapshot.use_extension(BesideTheFixture)


@pytest.mark.slow
@pytest.mark.parametrize("case", cases("errors"), ids=lambda case: case.stem)
def test_errors_read_as_expected(case: Path, tmp_path: Path, beside: SnapshotAssertion) -> None:
    assert plant_told(case, tmp_path) == beside


@pytest.mark.slow
@pytest.mark.parametrize("case", cases("balanced"), ids=lambda case: case.stem)
def test_what_balancing_reports_reads_as_expected(
    case: Path, tmp_path: Path, beside: SnapshotAssertion
) -> None:
    told = plant_told(case, tmp_path)
    assert f"{case.stem[:5]}: " in told
    assert told == beside


@pytest.mark.parametrize("case", cases("measured"), ids=lambda case: case.stem)
def test_faults_of_measurements_read_as_expected(case: Path, beside: SnapshotAssertion) -> None:
    assert table_told(Source(case.name, case.read_text(encoding="utf-8"))) == beside


@pytest.mark.parametrize("case", [FIXTURES / "errors" / "E0105_too_long"], ids=["E0105"])
def test_texts_too_long_to_keep_read_as_expected(case: Path, beside: SnapshotAssertion) -> None:
    assert long_told() == beside
    assert case.name


_VARIED = (("gab", "3 mm"), ("rock.tramb", "9 mm"), ("gap", "3 mm; let gap = 4 mm"))


@pytest.mark.parametrize("case", [FIXTURES / "errors" / "E0201_varied"], ids=["E0201"])
def test_values_varied_from_outside_read_as_expected(case: Path, beside: SnapshotAssertion) -> None:
    assert varied_told(*_VARIED) == beside
    assert case.name


# Told by `hoggin simulate` in its document: tests/studies/simulate.
_OF_DOCUMENTS = {"W0525"}
# What the checker should have found (tests/commands/test_balancing.py), and what is wrong with a
# package, not with a source (tests/plugins).
_LAST_RESORT = {"E0211", "E0802"}
_SEEN = "".join(file.read_text(encoding="utf-8") for file in sorted(FIXTURES.rglob("*.txt")))


def test_no_text_is_left_of_a_fixture_that_is_gone() -> None:
    kept = {
        case.with_suffix("") for name in ("errors", "balanced", "measured") for case in cases(name)
    }
    kept |= {FIXTURES / "errors" / name for name in ("E0105_too_long", "E0201_varied")}
    assert {file.with_suffix("") for file in FIXTURES.rglob("*.txt")} == kept


def test_every_code_is_seen() -> None:
    assert [code for code in CODES if f" {code}: " not in _SEEN] == [
        *sorted(_LAST_RESORT),
        *_OF_DOCUMENTS,
    ]


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.__name__.rpartition(".")[2])
def test_every_word_of_every_message_is_seen(family: ModuleType) -> None:
    assert [
        words for words in _words(ast.parse(inspect.getsource(family))) if words not in _SEEN
    ] == []


def _words(node: ast.AST) -> Iterator[str]:
    """The texts of a family's messages and helps, cut where a field is put in."""
    match node:
        case ast.Expr(value=ast.Constant()) | ast.Import() | ast.ImportFrom():  # or a docstring
            return
        case ast.Assign(targets=[ast.Name(id=name)]) if name in _PAGE:
            return
        case ast.ClassDef(name=name) if name in _LAST_RESORT:
            return
        case ast.Call(func=ast.Subscript(value=ast.Name(id="Message" | "Unknown"))):
            yield from _words_between_fields(node)
        case ast.Constant(value=str(text)) if text not in get_args(Fix):
            yield text
        case ast.Dict():
            for value in node.values:
                yield from _words(value)
        case ast.FormattedValue():
            yield from _words(node.value)
        case _:
            for child in ast.iter_child_nodes(node):
                yield from _words(child)


def _words_between_fields(declared: ast.Call) -> Iterator[str]:
    for part in (*declared.args, *declared.keywords):
        for template in _words(part):
            yield from (words for words, *_ in Formatter().parse(template) if words)
