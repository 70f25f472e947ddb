"""Trees as text. The parser is the judge: what is printed must read back as the same tree."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source, Span
from hoggin.syntax import tree
from hoggin.syntax.layout import laid_out
from hoggin.syntax.parser import parse
from hoggin.syntax.printer import line, printed
from hoggin.syntax.walk import below, same
from hoggin.visible import says_something

ROOT = Path(__file__).parents[2]
FOLDERS = ("stdlib", "examples", "tests/fixtures")
TEXTS = {
    path.relative_to(ROOT).as_posix(): path.read_text(encoding="utf-8")
    for folder in FOLDERS
    for path in sorted((ROOT / folder).rglob("*.hog"))
}


def read(text: str) -> tree.File | None:
    """The tree of a text; None where it can't be read whole."""
    diagnostics = Diagnostics()
    file = parse(Source("a.hog", text), diagnostics)
    return None if diagnostics.has_errors else file


READABLE = {name: file for name, text in TEXTS.items() if (file := read(text)) is not None}


def test_most_files_of_the_project_can_be_read() -> None:
    assert len(READABLE) > 0.7 * len(TEXTS)
    assert all(name in READABLE for name in TEXTS if not name.startswith("tests/"))


@pytest.mark.slow
@pytest.mark.parametrize("name", READABLE)
def test_a_file_printed_reads_as_the_same_tree_and_stands_in_the_layout(name: str) -> None:
    statements = READABLE[name].statements
    text = printed(statements)
    again = read(text)
    assert again is not None
    assert same(again.statements, statements)
    assert laid_out(Source("a.hog", text)) == text


# --- trees made by chance

_SPAN = Span(Source("", ""), 0, 0)
NAMES = st.sampled_from(["css", "gap", "a", "b_2", "free", "weight", "rest"])
IDENTS = NAMES.map(lambda text: tree.Ident(_SPAN, text))
PATHS = st.lists(IDENTS, min_size=1, max_size=3).map(lambda p: tree.Path(_SPAN, tuple(p)))
NUMBERS = st.one_of(
    st.floats(0, 1e300), st.integers(0, 10**20).map(float), st.sampled_from([0.1, 1e-7, 5e-324])
)
UNITS = st.sampled_from(["mm", "t/h", "%", "kWh/t", "t/h/m2", "EUR/t", "m2", "ex"])
TEXTS_IN_QUOTES = st.text(
    st.characters(blacklist_characters='"\n\r', codec="utf-8"), max_size=9
).filter(says_something)
QUOTED = TEXTS_IN_QUOTES.map(lambda text: tree.Text(_SPAN, text))


def _more(inner: st.SearchStrategy[tree.Expression]) -> st.SearchStrategy[tree.Expression]:
    given = st.one_of(inner, st.builds(tree.Range, st.just(_SPAN), inner, inner))
    call = st.builds(tree.Call, st.just(_SPAN), PATHS, st.lists(given, min_size=1).map(tuple))
    negated = st.builds(tree.Negated, st.just(_SPAN), inner)
    signs = st.sampled_from("+-*/^")
    arithmetic = st.builds(tree.Arithmetic, st.just(_SPAN), signs, inner, inner)
    by = st.builds(tree.By, st.just(_SPAN), PATHS, st.lists(_entries(inner), max_size=3).map(tuple))
    return st.one_of(call, negated, arithmetic, by)


def _entry(
    key: tree.Expression, value: tree.Expression | None, upper: tree.Expression | None
) -> tree.Entry:
    return tree.Entry(_SPAN, key, value, None if value is None else upper)


def _entries(inner: st.SearchStrategy[tree.Expression]) -> st.SearchStrategy[tree.Entry]:
    plain = st.builds(_entry, inner, st.none() | inner, st.none() | inner)
    row = st.builds(tree.Row, st.just(_SPAN), st.lists(plain, max_size=3).map(tuple))
    return plain | st.builds(_entry, inner, row, st.none())


ATOMS = st.one_of(
    st.builds(tree.Measure, st.just(_SPAN), NUMBERS, UNITS),
    st.builds(tree.Number, st.just(_SPAN), NUMBERS),
    PATHS,
)
SUMS = st.recursive(ATOMS, _more, max_leaves=12)
LISTS = st.lists(_entries(SUMS), max_size=8).map(tuple)
SINGLE = st.one_of(
    st.builds(tree.Comparison, st.just(_SPAN), st.sampled_from(["<=", "==", ">"]), SUMS, SUMS),
    st.builds(tree.Within, st.just(_SPAN), SUMS, st.builds(tree.Range, st.just(_SPAN), SUMS, SUMS)),
    st.builds(tree.MeetsBand, st.just(_SPAN), PATHS, PATHS),
)
CONDITIONS = st.recursive(
    SINGLE,
    lambda inner: st.builds(
        lambda kind, parts: kind(_SPAN, tuple(parts)),
        st.sampled_from([tree.All, tree.AnyOf]),
        st.lists(inner, min_size=2, max_size=3),
    ),
    max_leaves=6,
)
PARAMETERS = st.builds(
    lambda name, kind, default, source: tree.Parameter(_SPAN, name, kind, default, source),
    IDENTS,
    st.builds(tree.UnitType, st.just(_SPAN), UNITS)
    | st.builds(tree.Range, st.just(_SPAN), SUMS, SUMS)
    | st.just(tree.ClassType(_SPAN, tree.Ident(_SPAN, "crusher"))),
    st.none() | SUMS | QUOTED,
    st.none() | QUOTED,
)
FACTS = st.builds(
    lambda name, value, listed, source: tree.Fact(
        _SPAN, name, None if listed is not None else value, listed, source
    ),
    IDENTS,
    st.none() | SUMS | QUOTED,
    st.none() | LISTS,
    st.none() | QUOTED,
)
PLAIN = st.one_of(
    FACTS,
    st.builds(tree.Note, st.just(_SPAN), QUOTED),
    st.builds(tree.Let, st.just(_SPAN), IDENTS, SUMS),
    st.builds(tree.Requirement, st.just(_SPAN), CONDITIONS, st.just(())),
    st.builds(tree.Rule, st.just(_SPAN), CONDITIONS, QUOTED),
    st.builds(tree.Port, st.just(_SPAN), st.sampled_from(["in", "out"]), IDENTS, st.none() | SUMS),
    st.builds(
        lambda expression, weight: tree.Aim(
            _SPAN,
            tree.Ident(_SPAN, "maximize"),
            expression,
            None if weight is None else tree.Number(_SPAN, weight),
        ),
        SUMS,
        st.none() | NUMBERS,
    ),
    st.builds(tree.Deck, st.just(_SPAN), IDENTS, SUMS, st.none() | IDENTS, st.just(())),
)


def _blocks(
    inner: st.SearchStrategy[tuple[tree.Statement, ...]],
) -> st.SearchStrategy[tuple[tree.Statement, ...]]:
    arguments = st.lists(st.builds(tree.Argument, st.just(_SPAN), IDENTS, SUMS), max_size=2)
    crusher = tree.Ident(_SPAN, "crusher")
    block = st.one_of(
        st.builds(tree.Operation, st.just(_SPAN), inner),
        st.builds(
            lambda name, of, given, body: tree.Declaration(
                _SPAN, crusher, name, of, tuple(given) if of else (), body
            ),
            IDENTS,
            st.none() | PATHS,
            arguments,
            inner,
        ),
        st.builds(
            lambda name, given, of, body: tree.ClassDefinition(
                _SPAN, crusher, name, tuple(given), of, body
            ),
            IDENTS,
            st.lists(PARAMETERS, max_size=3),
            st.none() | PATHS,
            inner,
        ),
        st.builds(tree.PlantDefinition, st.just(_SPAN), QUOTED, inner, st.just(())),
        st.builds(tree.Option, st.just(_SPAN), IDENTS, inner),
        st.builds(
            lambda name, of, body: tree.Definition(
                _SPAN, tree.Ident(_SPAN, "material"), name, of, body
            ),
            IDENTS,
            st.none() | PATHS,
            inner,
        ),
    )
    return st.lists(block, max_size=3).map(tuple)


STATEMENTS = st.recursive(st.lists(PLAIN, max_size=4).map(tuple), _blocks, max_leaves=5)


@pytest.mark.slow
@settings(max_examples=200, deadline=None)
@given(STATEMENTS)
def test_any_tree_printed_reads_as_the_same_tree(statements: tuple[tree.Statement, ...]) -> None:
    text = printed(statements)
    again = read(text)
    assert again is not None
    assert same(again.statements, statements), text
    assert laid_out(Source("a.hog", text)) == text


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("a-(b-c)", "a - (b - c)"),
        ("(a-b)-c", "a - b - c"),
        ("a*(b+c)^2", "a * (b + c) ^ 2"),
        ("(a^2)^3", "(a ^ 2) ^ 3"),
        ("-(a+b)", "-(a + b)"),
        ("-a^2", "-a ^ 2"),
        ("0.50mm", "0.5 mm"),
        ("max( a,2 )", "max(a, 2)"),
    ],
)
def test_brackets_stand_where_the_meaning_needs_them(written: str, shown: str) -> None:
    file = read(f"let x = {written}")
    assert file is not None
    assert line(file.statements[0]) == f"let x = {shown}"


def test_a_walk_meets_every_node_once() -> None:
    file = read(
        'class crusher c(a: mm) {\n  css by a { b: 2 mm + d }\n  rule a < 3 mm else "no"\n}'
    )
    assert file is not None
    found = [node for statement in file.statements for node in below(statement)]
    assert len(found) == len(set(map(id, found)))
    idents = sorted(node.text for node in found if isinstance(node, tree.Ident))
    assert idents == ["a", "a", "a", "b", "c", "crusher", "css", "d"]
