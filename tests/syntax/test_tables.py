"""Our reading of the tables against Lark's own parser and lexer, the reference library.

Lark compiles the grammar; cutting into tokens, running the tables and shaping the children are
done here, for speed and for going on after a fault. On a text without faults both must agree.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any, cast

import pytest
from lark import Lark, Tree

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.syntax.tables import grammar, tables
from hoggin.syntax.tokens import tokens_of
from tests.check.reading import FIXTURES

_ROOT = FIXTURES.parents[1]
_FILES = [*sorted((_ROOT / "stdlib").rglob("*.hog")), *sorted((FIXTURES / "good").glob("*.hog"))]
# A parameter named by a word of the language is beyond a plain lexer.
_PLAIN = [file for file in _FILES if "setting:" not in file.read_text(encoding="utf-8")]
_GRAMMAR = grammar()
# Node classes and the grammar's names for them, where one stands for the other without exception.
_RULES: dict[type, str] = {
    tree.Measure: "measure",
    tree.Arithmetic: "arithmetic",
    tree.Entry: "entry",
    tree.By: "by",
    tree.Row: "row",
    tree.Deck: "deck",
    tree.Operation: "operation",
    tree.Note: "note",
    tree.Route: "route",
    tree.Rule: "rule",
    tree.Comparison: "comparison",
    tree.Declaration: "declaration",
    tree.ClassDefinition: "class_definition",
    tree.TemplateDefinition: "template_definition",
    tree.ModelDefinition: "model_definition",
    tree.Parameter: "parameter",
    tree.PlantDefinition: "plant_definition",
}


@pytest.fixture(scope="module")
def lark() -> Lark:
    return Lark(
        _GRAMMAR, parser="lalr", lexer="basic", maybe_placeholders=True, propagate_positions=True
    )


def _nodes(value: Any) -> Iterator[tree.Node]:
    if isinstance(value, tuple):
        for item in value:
            yield from _nodes(item)
    elif isinstance(value, tree.Node):
        yield value
        for field in fields(cast(Any, value)):
            yield from _nodes(getattr(value, field.name))


@pytest.mark.slow
@pytest.mark.parametrize("file", _PLAIN, ids=lambda file: file.stem)
def test_nodes_and_their_spans_are_those_of_lark(file: Path, lark: Lark) -> None:
    text = file.read_text(encoding="utf-8")
    diagnostics = Diagnostics()
    ours = Counter(
        (_RULES[type(node)], node.span.start, node.span.end)
        for node in _nodes(parse(Source(file.name, text), diagnostics).statements)
        if type(node) in _RULES
    )
    whole: Tree[Any] = lark.parse(text)
    theirs = Counter(
        (str(found.data), found.meta.start_pos, found.meta.end_pos)
        for found in whole.iter_subtrees()
        if found.data in _RULES.values()
    )
    assert list(diagnostics) == []
    assert ours == theirs
    assert ours


@pytest.mark.parametrize("file", _FILES, ids=lambda file: file.stem)
def test_tokens_are_those_of_lark(file: Path, lark: Lark) -> None:
    text = file.read_text(encoding="utf-8")
    ours = [(t.text, t.start, t.end) for t in tokens_of(Source(file.name, text), Diagnostics())]
    theirs = [(str(t), t.start_pos, t.end_pos) for t in lark.lex(text)]
    assert ours == theirs


def test_the_tables_are_made_once_a_process() -> None:
    assert tables() is tables()
