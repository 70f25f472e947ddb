"""Text to tree. Parsing never fails: what can't be read is reported and skipped to the line's end.

The text is cut into tokens first and fed to Lark's LALR parser one by one. When a token does not
fit, the rest of the line (with any block that hangs on it) is skipped, the parser's stack is
unwound to the last point where a line break may stand, and reading goes on: so one run finds the
faults of every line.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from copy import copy
from functools import cache
from importlib.resources import files
from pathlib import Path

from lark import Lark, Token, Tree, UnexpectedCharacters, UnexpectedToken

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source, Span
from hoggin.syntax import tree
from hoggin.syntax.build import Builder

DEEPEST_NESTING = 60  # braces and brackets; far above any plant, far below Python's stack
LONGEST_SOURCE = 4_000_000  # characters
LONGEST_SUM = 100  # operators on one line
_MOST_LEXICAL_FAULTS = 20

_WORDS = {
    "NAME": "a name",
    "STRING": 'a text in "quotes"',
    "MEASURE": "a quantity with its unit",
    "NUMBER": "a number",
    "LBRACE": "`{`",
    "RBRACE": "`}`",
    "LPAR": "`(`",
    "RPAR": "`)`",
    "COLON": "`:`",
    "COMMA": "`,`",
    "EQUAL": "`=`",
    "DOT": "`.`",
    "VBAR": "`|`",
    "COMPARISON": "a comparison (`<=`, `>=`, `==` ...)",
    "_NL": "the end of the line",
    "SEMICOLON": "`;`",
    "$END": "the end of the file",
    "__ANON_0": "`->`",
    "SOURCE": "`source`",
    "KIND": "a kind of machine",
    "SIGN": "an operator",
    "STAR": "an operator",
    "SLASH": "an operator",
    "CARET": "an operator",
}


def parse(source: Source, diagnostics: Diagnostics) -> tree.File:
    """Parse a source. Faults are reported (E01xx); the tree holds every line that made sense."""
    if len(source.text) > LONGEST_SOURCE:
        diagnostics.report(
            "E0105",
            Span(source, 0, 1),
            f"the file is longer than {LONGEST_SOURCE:,} characters",
            "split it into a plant and library files joined by `use`",
        )
        return tree.File(source, (), frozenset({"*"}))
    tokens = _tokens(source, diagnostics)
    deep = _too_deep(tokens)
    if deep is not None:
        diagnostics.report(
            "E0106",
            _span(source, deep),
            f"blocks and brackets are nested more than {DEEPEST_NESTING} deep",
            "take inner parts out into `let` lines or templates",
        )
        return tree.File(source, (), frozenset({"*"}))
    return _Reading(source, diagnostics).run(tokens)


@cache
def grammar() -> Lark:
    """The LALR parser, its tables kept in the user's cache folder between runs."""
    text = files("hoggin.syntax").joinpath("grammar.lark").read_text(encoding="utf-8")
    return Lark(
        text,
        parser="lalr",
        lexer="basic",
        propagate_positions=True,
        maybe_placeholders=True,
        cache=_cache_file() or False,
    )


def _cache_file() -> str | None:
    base = os.environ.get("XDG_CACHE_HOME") or Path("~/.cache").expanduser()
    folder = Path(base) / "hoggin"
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except (OSError, RuntimeError):
        return None
    return str(folder / "grammar.lark-cache") if os.access(folder, os.W_OK) else None


def _tokens(source: Source, diagnostics: Diagnostics) -> list[Token]:
    """Cut the text into tokens. A character that is none of the language's is reported once and
    read as a blank."""
    text = source.text
    lexer = grammar()
    for _ in range(_MOST_LEXICAL_FAULTS):
        try:
            raw = list(lexer.lex(text))
        except UnexpectedCharacters as fault:
            end = _report_characters(source, text, fault.pos_in_stream or 0, diagnostics)
            start = fault.pos_in_stream or 0
            text = text[:start] + " " * (end - start) + text[end:]
        else:
            break
    else:
        raw = []
    # An outside file may end without a line break; the grammar wants none after the last line.
    return list(_shape(raw))


def _report_characters(source: Source, text: str, start: int, diagnostics: Diagnostics) -> int:
    """Report what stands at `start` and return the offset where reading may go on."""
    letter = text[start]
    if letter == '"':
        end = text.find("\n", start)
        end = len(text) if end < 0 else end
        diagnostics.report(
            "E0104",
            Span(source, start, end),
            "the text is not closed on its line",
            'put a `"` at its end',
        )
        return end
    run = re.compile(re.escape(letter) + "+").match(text, start)
    end = run.end() if run else start + 1
    shown = letter if letter.isprintable() else f"U+{ord(letter):04X}"
    diagnostics.report(
        "E0102",
        Span(source, start, end),
        f"`{shown}` means nothing here",
        "names are letters, digits and `_`; anything else goes in a comment or in quotes",
    )
    return end


def _shape(raw: list[Token]) -> Iterator[Token]:
    """A line break inside ( ) is white space; beside a dot any word is a name."""
    depth = 0
    after_dot = False
    for token, following in zip(raw, [*raw[1:], None], strict=True):
        kind = token.type
        if kind == "LPAR":
            depth += 1
        elif kind == "RPAR":
            depth = max(0, depth - 1)
        elif kind in ("LBRACE", "RBRACE"):
            depth = 0  # a bracket left open must not swallow the rest of the file
        elif kind == "_NL" and depth:
            continue
        before_dot = following is not None and following.type == "DOT"
        if (after_dot or before_dot) and kind != "NAME" and str(token).isidentifier():
            token = Token.new_borrow_pos("NAME", token.value, token)
        after_dot = kind == "DOT"
        yield token


def _too_deep(tokens: list[Token]) -> Token | None:
    """The first token that nests deeper than any plant needs, or runs on as one endless sum."""
    depth = chain = 0
    for token in tokens:
        kind = token.type
        if kind in ("LBRACE", "LPAR"):
            depth += 1
        elif kind in ("RBRACE", "RPAR"):
            depth -= 1
        elif kind in ("SIGN", "STAR", "SLASH", "CARET"):
            chain += 1
        elif kind == "_NL":
            chain = 0
        if depth > DEEPEST_NESTING or chain > LONGEST_SUM:
            return token
    return None


def _span(source: Source, token: Token) -> Span:
    start = token.start_pos or 0
    if token.type == "$END":
        return Span(source, len(source.text), len(source.text))
    if token.type == "_NL":  # blame the place where the line stops, not the next line
        return Span(source, start, start + 1)
    return Span(source, start, token.end_pos or start)


class _Reading:
    """One run of the LALR parser over a source's tokens, with recovery at line and block ends."""

    def __init__(self, source: Source, diagnostics: Diagnostics) -> None:
        self.source = source
        self.diagnostics = diagnostics
        self.lost: set[str] = set()
        self.parser = grammar().parse_interactive("")

    def run(self, tokens: list[Token]) -> tree.File:
        state = self.parser.parser_state
        position = 0
        while position < len(tokens):
            # Feeding a token that does not fit may have reduced rules already: keep a way back.
            before = state.state_stack[:], state.value_stack[:]
            try:
                state.feed_token(tokens[position])
                position += 1
            except UnexpectedToken:
                state.state_stack, state.value_stack = before
                position = self._recover(tokens, position)
        statements = Builder(self.source).transform(self._finish())
        return tree.File(self.source, statements, frozenset(self.lost))

    def _recover(self, tokens: list[Token], position: int) -> int:
        """Report the token, skip to the end of its line or block, unwind the stack to a point
        where that end may stand. Returns the position to go on from."""
        wrong = tokens[position]
        self._report(wrong)
        end = _end_of_line(tokens, position)
        line_start = _start_of_line(tokens, position)
        self.lost.update(str(t) for t in tokens[line_start:end] if t.type == "NAME")
        self.lost.add("")
        if end == len(tokens):
            self._unwind("$END")
            return end
        if self._unwind(tokens[end].type):
            return end
        return end + 1  # a brace that closes nothing: step over it

    def _unwind(self, kind: str) -> bool:
        """Drop stack entries until a token of this kind fits; False (stack unchanged) if none."""
        state = self.parser.parser_state
        for depth in range(len(state.state_stack), 0, -1):
            if self._fits(depth, kind):
                del state.state_stack[depth:]
                del state.value_stack[depth - 1 :]
                return True
        return False

    def _fits(self, depth: int, kind: str) -> bool:
        trial = self.parser.copy(deepcopy_values=False)
        trial.parser_state.parse_conf = copy(trial.parser_state.parse_conf)
        trial.parser_state.parse_conf.callbacks = {}
        del trial.parser_state.state_stack[depth:]
        del trial.parser_state.value_stack[depth - 1 :]
        try:
            trial.feed_token(Token(kind, ""))
        except UnexpectedToken:
            return False
        return True

    def _finish(self) -> Tree[Token]:
        """Feed the end of the file, closing blocks that were left open."""
        end = Token("$END", "", len(self.source.text), 0, 0, 0, 0, len(self.source.text))
        first = True
        while True:
            try:
                whole: Tree[Token] = self.parser.feed_token(end)
                return whole
            except UnexpectedToken:
                if first:
                    self._report(end)
                    self.lost.add("")
                first = False
                brace = Token("RBRACE", "}", end.start_pos, 0, 0, 0, 0, end.end_pos)
                if self._unwind("RBRACE"):
                    self.parser.feed_token(brace)
                elif not self._unwind("$END"):
                    return Tree("start", [])

    def _report(self, token: Token) -> None:
        span = _span(self.source, token)
        accepted = self.parser.accepts()
        if token.type == "$END" and "RBRACE" in accepted:
            self.diagnostics.report(
                "E0103", span, "a block is still open at the end of the file", "add a `}`"
            )
        elif token.type == "RBRACE" and not self._in_block():
            self.diagnostics.report(
                "E0103", span, "this `}` closes no block", "remove it, or open its block with `{`"
            )
        else:
            self.diagnostics.report("E0101", span, *_unexpected(token, accepted))

    def _in_block(self) -> bool:
        stack = self.parser.parser_state.value_stack
        return any(isinstance(value, Token) and value.type == "LBRACE" for value in stack)


def _end_of_line(tokens: list[Token], position: int) -> int:
    """The next line break, `;` or closing brace that belongs to the block we stand in."""
    depth = 0
    for index in range(position, len(tokens)):
        kind = tokens[index].type
        if kind == "LBRACE":
            depth += 1
        elif kind == "RBRACE":
            if depth == 0:
                return index
            depth -= 1
        elif kind in ("_NL", "SEMICOLON") and depth == 0:
            return index
    return len(tokens)


def _start_of_line(tokens: list[Token], position: int) -> int:
    while position > 0 and tokens[position - 1].type not in ("_NL", "SEMICOLON", "LBRACE"):
        position -= 1
    return position


def _unexpected(token: Token, accepted: set[str]) -> tuple[str, str]:
    """What stands there and what could: (message, help)."""
    found = _WORDS["$END"] if token.type == "$END" else f"`{token}`"
    if token.type == "_NL":
        found = "the end of the line"
    wanted = sorted({_WORDS.get(kind, f"`{kind.lower()}`") for kind in accepted})
    message = f"{found} does not fit here"
    if {"UNIT", "PERCENT"} & accepted and "MEASURE" not in accepted:
        return message, "a unit is wanted here, like `mm`, `t/h` or `%`"
    if len(wanted) <= 6:
        return message, "wanted here: " + " or ".join(wanted)
    if "KIND" in accepted and "USE" in accepted:
        return message, "a line begins with a name or with a word of the language"
    return message, "a quantity, a name or an expression is wanted here"
