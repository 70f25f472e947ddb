"""The reference pages leave no word of the language and no class of the library out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from lark import Lark
from lark.lexer import PatternStr

from hoggin.commands.reference import pages
from hoggin.commands.reference_language import keywords
from hoggin.schema.asked import asked, kinds
from hoggin.schema.facts import FACTS, OPERATED, facts_of
from hoggin.schema.kinds import CLASS_KINDS
from hoggin.schema.units import BASE_UNITS
from hoggin.syntax.tables import grammar
from hoggin.world import library_names

PAGE = pages()["reference.md"]
CLASSES = pages()["classes.md"]
TABLES = PAGE.partition("## The grammar")[0]  # the grammar's own text would hold every word
GRAMMAR = grammar()


def words_of_lark() -> set[str]:
    """Every reserved word as Lark itself, the library that compiles the grammar, reads it."""
    terminals = Lark(GRAMMAR, parser="lalr", start="start").terminals
    plain = {t.pattern.value for t in terminals if isinstance(t.pattern, PatternStr)}
    grouped = {
        word
        for terminal in terminals
        if terminal.name in ("KIND", "DEFINITION", "PRODUCT", "DIRECTION", "AIM")
        for word in re.findall(r"[a-z_]{2,}", terminal.pattern.value)
    }
    return {word for word in plain if word.isalpha()} | grouped


@pytest.mark.slow
def test_every_keyword_of_the_grammar_is_explained() -> None:
    assert set(keywords(GRAMMAR)) == words_of_lark()
    for word in words_of_lark():
        row = re.search(rf"^\| `{word}` \| (.*) \|$", TABLES, re.MULTILINE)
        assert row is not None, word
        assert row.group(1), f"`{word}` has no explanation: add one to KEYWORDS"


@pytest.mark.parametrize("unit", [*BASE_UNITS])
def test_every_unit_is_listed(unit: str) -> None:
    assert f"`{unit}`" in TABLES.partition("## Units")[2].partition("## Functions")[0]


@pytest.mark.parametrize("owner", sorted({owner for fact in FACTS for owner in fact.owners}))
def test_every_fact_is_listed_with_its_block(owner: str) -> None:
    named = {"plant": "the plant", "class": "a machine class", "band": "a grading band"}
    named |= {"plant.project": "the project"}
    named |= {f"{one}.operation": f"the operation of a {one}" for one in OPERATED}
    named |= {"operation": "the operation of any machine", "machine": "any machine of a class"}
    named |= {"machine.operation": "the operation of any machine of a class"}
    heading = (
        f"#### {owner}" if owner in CLASS_KINDS else f"### Of {named.get(owner, f'a {owner}')}"
    )
    part = TABLES.partition(f"\n{heading}\n")[2].partition("\n#")[0]
    for fact in facts_of(owner).values():
        assert f"| `{fact.name}` | {fact.meaning} |" in part, fact.name


@pytest.mark.parametrize("kind", kinds())
def test_every_result_is_listed_with_its_kind(kind: str) -> None:
    results = TABLES.partition("## Results")[2]
    named = {"plant": "the plant", "machine": "any other machine"}.get(kind, f"a {kind}")
    part = results.partition(f"### Of {named}\n")[2].partition("\n#")[0]
    for quantity in asked(kind):
        assert f"| `{quantity}` |" in part, quantity


def test_every_class_of_the_library_files_is_listed() -> None:
    """Read from the files' own text, not by the compiler."""
    stdlib = Path(__file__).parents[2] / "stdlib"
    for library in library_names():
        short = library.removeprefix("std.")
        text = (stdlib / f"{short.replace('.', '/')}.hog").read_text(encoding="utf-8")
        for kind, name, body in re.findall(r"^class (\w+) (\w+)(.*?)^}", text, re.M | re.S):
            if not re.search(r"^  about ", body, re.M):
                continue  # one that others extend
            assert f"### {short}.{name}\n\n```\n{kind} {short}.{name} " in CLASSES, name
