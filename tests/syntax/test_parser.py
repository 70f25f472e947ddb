"""Text to tree: what each line becomes, where it stands, and how reading goes on after a fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.syntax.tables import tables
from hoggin.syntax.walk import below
from tests.check.reading import FIXTURES


def _parsed(text: str) -> tuple[tree.File, list[str]]:
    diagnostics = Diagnostics()
    file = parse(Source("plant.hog", text), diagnostics)
    return file, [f"{d.code}:{d.span.line}" for d in diagnostics]


def _statements(text: str) -> tuple[tree.Statement, ...]:
    file, faults = _parsed(text)
    assert faults == []
    return file.statements


def _value(expression: str) -> tree.Expression:
    (let,) = _statements(f"let a = {expression}")
    assert isinstance(let, tree.Let)
    return let.value


def _shown(node: tree.Expression | tree.Range) -> str:
    """An expression with every bracket written."""
    match node:
        case tree.Arithmetic():
            return f"({_shown(node.left)} {node.operator} {_shown(node.right)})"
        case tree.Negated():
            return f"-{_shown(node.operand)}"
        case tree.Measure():
            return f"{node.number:g} {node.unit}"
        case tree.Number():
            return f"{node.number:g}"
        case tree.Path():
            return node.dotted
        case tree.Call():
            return f"{node.function.dotted}({', '.join(map(_shown, node.arguments))})"
    return node.span.text


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("1 + 2 * 3", "(1 + (2 * 3))"),
        ("1 * 2 + 3", "((1 * 2) + 3)"),
        ("1 - 2 - 3", "((1 - 2) - 3)"),
        ("8 / 4 / 2", "((8 / 4) / 2)"),
        ("2 * a ^ 2", "(2 * (a ^ 2))"),
        ("-a * b", "(-a * b)"),
        ("a - -b", "(a - -b)"),
        ("(1 + 2) * 3", "((1 + 2) * 3)"),
        ("180 kW * (head / 1 m) ^ 2", "(180 kW * ((head / 1 m) ^ 2))"),
        ("min(a, 2 mm, b.c)", "min(a, 2 mm, b.c)"),
        ("5mm", "5 mm"),
        ("5 t/h", "5 t/h"),
        ("5 t / h", "(5 t / h)"),
        ("50 %", "50 %"),
        ("1e5", "100000"),
        ("1e5 mm", "100000 mm"),
        ("1e5mm", "100000 mm"),
        ("2E-3", "0.002"),
        ("5 e3", "5 e3"),
        ("5 eggs", "5 eggs"),
    ],
)
def test_expressions_bind_as_in_arithmetic(written: str, meant: str) -> None:
    if written == "5 e3":  # `e3` is no unit and no exponent: it does not belong there
        assert _parsed(f"let a = {written}")[1] == ["E0101:1"]
    else:
        assert _shown(_value(written)) == meant


def test_a_machine_with_its_class_arguments_and_settings() -> None:
    (machine,) = _statements("crusher a: lib.cone(head: 1 m, width: 2 m) { css 32 mm; duty fine }")
    assert isinstance(machine, tree.Declaration)
    assert machine.kind.text == "crusher"
    assert machine.of is not None
    assert machine.of.dotted == "lib.cone"
    assert [a.name.text for a in machine.arguments] == ["head", "width"]
    facts = [fact for fact in machine.body if isinstance(fact, tree.Fact)]
    assert [fact.name.text for fact in facts] == ["css", "duty"]


def test_a_route_of_many_steps_with_an_inline_product() -> None:
    (route,) = _statements("a -> b.top.over -> product chips")
    assert isinstance(route, tree.Route)
    assert [(e.path.dotted, e.new_product) for e in route.endpoints] == [
        ("a", False),
        ("b.top.over", False),
        ("chips", True),
    ]


def test_a_fact_with_its_source_and_a_source_alone() -> None:
    fact, alone = _statements('ratio 5 source "King (2001)"\nsource "Bond (1952)"')
    assert isinstance(fact, tree.Fact)
    assert fact.source is not None
    assert fact.source.text == "King (2001)"
    assert isinstance(alone, tree.Fact)
    assert alone.name.text == "source"


def test_conditions_group_by_and_before_or_and_by_brackets() -> None:
    (plain,) = _statements('rule a > 1 or b > 2 and c > 3 else "x"')
    assert isinstance(plain, tree.Rule)
    assert isinstance(plain.condition, tree.AnyOf)
    assert isinstance(plain.condition.conditions[1], tree.All)
    (grouped,) = _statements('rule (a > 1 or b > 2) and c > 3 else "x"')
    assert isinstance(grouped, tree.Rule)
    assert isinstance(grouped.condition, tree.All)
    assert isinstance(grouped.condition.conditions[0], tree.AnyOf)


def test_spans_hold_what_was_written_and_no_more() -> None:
    text = "let a = (1 mm + 2 mm) * 3   # why\nrequire (x.rate + y.rate) / 2 >= 5 t/h\n"
    let, requirement = _statements(text)
    assert isinstance(let, tree.Let)
    assert let.span.text == "let a = (1 mm + 2 mm) * 3"
    assert let.value.span.text == "(1 mm + 2 mm) * 3"
    assert isinstance(requirement, tree.Requirement)
    assert requirement.condition.span.text == "(x.rate + y.rate) / 2 >= 5 t/h"


def test_every_span_of_a_good_file_begins_and_ends_with_a_word_or_sign() -> None:
    for file in sorted((FIXTURES / "good").glob("*.hog")):
        for statement in _statements(file.read_text(encoding="utf-8")):
            written = statement.span.text
            assert written == written.strip()
            assert written.count("{") == written.count("}")


@pytest.mark.parametrize(
    "text",
    ["", "\n\n", "# nothing", ";;;", "let a = 1;", "let a = 1\n;\n\n# end", "\n\nlet a = 1"],
)
def test_blank_lines_comments_and_semicolons_mean_nothing(text: str) -> None:
    assert _parsed(text)[1] == []


@pytest.mark.parametrize(
    ("text", "faults", "kept"),
    [
        ("let a = 1\nlet b = = 2\nlet c = 3", ["E0101:2"], ["a", "c"]),
        ("let a 1\nlet b 2\nlet c = 3", ["E0101:1", "E0101:2"], ["c"]),
        ("let a = 1; let b = ; let c = 3", ["E0101:1"], ["a", "c"]),
        ("let a = (1\nlet b = 2", ["E0101:2"], []),
        ("let a = 1\nlet b = min(2,", ["E0101:2"], ["a"]),
        ('let a = "x\nlet b = 2', ["E0104:1"], ["a", "b"]),
        ("let a = 1 €\nlet b = 2", ["E0102:1"], ["a", "b"]),
        ("let a = 1\n}\nlet b = 2", ["E0103:2"], ["a", "b"]),
        ("crusher x y { let = 1 }\nlet b = 2", ["E0101:1"], ["b"]),
        ("crusher x y {\n one 1\n two 2\n}\nlet b = 2", ["E0101:1"], ["b"]),
    ],
)
def test_one_fault_costs_one_line(text: str, faults: list[str], kept: list[str]) -> None:
    file, found = _parsed(text)
    assert found == faults
    lets = [s.name.text for s in file.statements if isinstance(s, tree.Let)]
    assert lets == kept
    assert file.damaged == any(not fault.startswith(("E0102", "E0104")) for fault in found)


def test_half_a_line_leaves_nothing_behind() -> None:
    """`rock << base` is no fact named `rock`."""
    file, faults = _parsed('plant "x" {\n  rock << base\n  blend heap\n}')
    assert faults == ["E0101:2"]
    (plant,) = file.statements
    assert isinstance(plant, tree.PlantDefinition)
    assert [type(s) for s in plant.body] == [tree.Declaration]


def test_a_block_left_open_keeps_what_it_holds() -> None:
    file, faults = _parsed('plant "x" {\n  feed rock {\n    rate 5 t/h\n')
    assert faults == ["E0103:4"]
    (plant,) = file.statements
    assert isinstance(plant, tree.PlantDefinition)
    (feed,) = plant.body
    assert isinstance(feed, tree.Declaration)
    assert len(feed.body) == 1


def test_names_in_lost_lines_are_remembered() -> None:
    file, _ = _parsed("let = bigger + smaller\nlet c = 3")
    assert {"bigger", "smaller"} <= file.lost_names


def test_parsing_without_a_folder_for_the_tables(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    tables.cache_clear()
    try:
        assert len(_statements("let a = 1 mm")) == 1
    finally:
        tables.cache_clear()


def test_parsing_without_a_home(monkeypatch: pytest.MonkeyPatch) -> None:
    def homeless(_: Path) -> Path:
        raise RuntimeError("no home directory")

    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(Path, "expanduser", homeless)
    tables.cache_clear()
    try:
        assert len(_statements("let a = 1 mm")) == 1
    finally:
        tables.cache_clear()


def test_nodes_have_slots_and_no_dictionary_of_their_own() -> None:
    """A plant has thousands of nodes: a dictionary for each takes time and memory."""
    for statement in _statements("let gap = 13 mm\nrequire a.rate >= 2 t/h in wet\n"):
        for node in below(statement):
            assert not hasattr(node, "__dict__")
            assert not hasattr(node.span, "__dict__")
