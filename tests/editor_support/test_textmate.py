"""The TextMate grammar, by VS Code's own engine, judged by the compiler's stream of tokens."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest
from editor_support.words import REST, WEIGHT, functions, keywords, openings

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.schema.units import BASE_UNITS, is_currency, written_unit
from hoggin.syntax.tokens import Token, tokens_of
from tests.editor_support.engines import ROOT, Lines, hog_files, needs_node, textmate_lines
from tests.editor_support.snapshots import FOLDER, snapshots
from tests.editor_support.texts import TEXTS

pytestmark = needs_node

_PLAIN = {
    "NUMBER": "constant.numeric",
    "STRING": "string.quoted.double",
    "COMPARISON": "keyword.operator.comparison",
    "SIGN": "keyword.operator.arithmetic",
    "STAR": "keyword.operator.arithmetic",
    "SLASH": "keyword.operator.arithmetic",
    "CARET": "keyword.operator.arithmetic",
    "ARROW": "keyword.operator.arrow",
    "EQUAL": "keyword.operator.assignment",
    "VBAR": "keyword.operator.choice",
    "PERCENT": "keyword.other.unit",
    "LBRACE": "punctuation.section.block",
    "RBRACE": "punctuation.section.block",
    "LPAR": "punctuation.section.group",
    "RPAR": "punctuation.section.group",
    "COLON": "punctuation.separator",
    "COMMA": "punctuation.separator",
    "SEMICOLON": "punctuation.separator",
    "DOT": "punctuation.accessor",
}
_FOLDERS = ("stdlib", "examples", "tests/fixtures")
_WORD = ("storage.type", "keyword.control", "keyword.other")
# Names the language's grammar leaves free, but which the checker gives a meaning in some places.
_MEANT_BY_THE_CHECKER = {*functions(), *openings(), WEIGHT, REST, *BASE_UNITS}


@pytest.fixture(scope="module")
def judged() -> dict[str, tuple[str, Lines]]:
    """Every text of the project and of this test with its scopes."""
    texts = {str(path.relative_to(ROOT)): path.read_text() for path in hog_files(*_FOLDERS)} | TEXTS
    coloured = textmate_lines(list(texts.values()))
    return {
        name: (text, lines) for (name, text), lines in zip(texts.items(), coloured, strict=True)
    }


def test_every_token_of_the_compiler_gets_its_kind_of_scope(
    judged: dict[str, tuple[str, Lines]],
) -> None:
    wrong: list[str] = []
    seen: set[str] = set()
    for name, (text, lines) in judged.items():
        source = Source(name, text)
        seen |= {token.kind for token in tokens_of(source, Diagnostics())}
        wrong += _mistaken(source, lines)
    assert not wrong, "\n".join(wrong[:60])
    assert seen >= {*keywords().values(), *_PLAIN, "MEASURE", "NAME"} - {"PERCENT"}


def test_lines_of_words_and_signs_in_any_order_get_the_kinds_of_scope_as_well() -> None:
    """Each line a file of its own. `class` only begins a line and `;` only stands outside brackets
    here: elsewhere they make no sense, and the compiler sees a little more in them."""
    chance = random.Random(1)
    alphabet = sorted({*keywords(), *functions()} - {"class"})
    alphabet += ["rest", "weight", "most", "b2", "x_y", "2.5 mm", "4 t/h", "5 %", "7 zz", '"t # x"']
    alphabet += ["->", ".", ":", ",", "{", "}", "(", ")", "=", "|", "+", "<=", "3"] * 2
    heads = ("", "  ", "class ", "in a; ")
    texts = [
        chance.choice(heads) + " ".join(chance.choices(alphabet, k=chance.randint(1, 8))) + end
        for end in ("", " # feed") * 750
    ]
    wrong: list[str] = []
    for text, lines in zip(texts, textmate_lines(texts), strict=True):
        wrong += _mistaken(Source(text, text), lines)
    assert not wrong, "\n".join(wrong[:60])


def test_what_stands_between_the_tokens_is_comment_or_blank(
    judged: dict[str, tuple[str, Lines]],
) -> None:
    comments = 0
    for name, (text, lines) in judged.items():
        source = Source(name, text)
        within = bytearray(len(text))
        faults = Diagnostics()
        for token in tokens_of(source, faults):
            if token.kind != "_NL":  # which holds the comments before it
                within[token.start : token.end] = b"x" * (token.end - token.start)
        reported = {source.line_column(fault.span.start)[0] for fault in faults}
        for number, pieces in enumerate(lines, start=1):
            if number in reported:
                continue
            start = source.offset(number, 1)
            for begin, end, scopes in pieces:
                free = not any(within[start + begin : start + end])
                words = text[start + begin : start + end].strip()
                is_comment = scopes.startswith("comment.line")
                comments += is_comment
                assert is_comment == bool(free and words), (name, number, words, scopes)
    assert comments > 100


def test_whole_files_are_coloured_as_they_were() -> None:
    """Where a change is meant: `python -m tests.editor_support.snapshots`, and look at it."""
    now = snapshots()
    assert sorted(FOLDER.iterdir()) == sorted(now)
    for path, told in now.items():
        assert path.read_text() == told, path.name


def _mistaken(source: Source, lines: Lines) -> list[str]:
    """What the engine takes for something else than the compiler does. A line with a sign that the
    compiler reads as another one is shown as it stands."""
    faults = Diagnostics()
    tokens = tokens_of(source, faults)
    mended = {source.line_column(fault.span.start)[0] for fault in faults}
    return [
        f"{source.name}:{source.line_column(token.start)[0]} {token.kind} {part!r} is {scopes!r}"
        for token in tokens
        if source.line_column(token.start)[0] not in mended
        for part, piece, scopes in _parts(token, source, lines)
        if not _fits(token, part, piece, scopes)
    ]


def _parts(token: Token, source: Source, lines: Lines) -> Iterator[tuple[str, str, str]]:
    """The parts a token falls into, the engine's pieces they stand in, and the scopes of each;
    blanks are left out."""
    if token.kind == "_NL":
        return
    line, column = source.line_column(token.start)
    start = column - 1
    end = start + len(token.text)
    for begin, finish, scopes in lines[line - 1]:
        low, high = max(begin, start), min(finish, end)
        part = token.text[low - start : high - start]
        if low < high and part.strip():
            yield part, source.line_text(line)[begin:finish], scopes


def _fits(token: Token, part: str, piece: str, scope: str) -> bool:
    if token.kind == "MEASURE":
        if part.strip()[0].isdigit():
            return scope.startswith("constant.numeric")
        known = written_unit(part.strip()) is not None
        return scope.startswith("keyword.other.unit" if known else "invalid.illegal.unit")
    if token.kind == "NAME":
        is_word = scope.startswith((*_WORD, "keyword.", "constant.language", "support.function"))
        plain = scope.startswith(
            ("variable", "support.type", "support.class", "entity.name", "constant.other")
        )
        meant = token.text in _MEANT_BY_THE_CHECKER or is_currency(token.text)
        return plain or (is_word and meant)
    if token.kind == "SLASH" and scope.startswith("keyword.other.unit"):
        return written_unit(piece.strip()) is not None  # of a parameter's type, `t/h`
    if token.kind in _PLAIN:
        return scope.startswith(_PLAIN[token.kind])
    return part == token.text and scope.startswith(_WORD)  # a word of the language
