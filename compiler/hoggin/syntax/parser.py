"""Text to tree. Parsing never fails: what can't be read is reported and skipped to the line's end.

The text is cut into tokens first and fed to Lark's LALR parser one by one. When a token does not
fit, the rest of the line (with any block that hangs on it) is skipped, the parser's stack is
unwound to the last point where a line break may stand, and reading goes on: so one run finds the
faults of every line.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Any

from lark import Lark, Token, UnexpectedCharacters
from lark.grammar import Rule
from lark.parsers.lalr_analysis import Shift

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source, Span
from hoggin.syntax import tree
from hoggin.syntax.build import Builder

DEEPEST_NESTING = 60  # braces and brackets; far above any plant, far below Python's stack
LONGEST_SOURCE = 1_000_000  # characters
MOST_TOKENS = 200_000  # words and signs: some 30,000 lines
LONGEST_SUM = 100  # operators on one line
# Words that open a line, and where such a word may stand second; elsewhere they are names.
_FIRST_WORDS = frozenset(
    {"USE", "LET", "REQUIRE", "RULE", "CLASS", "TEMPLATE", "SETTING", "PLANT", "SERIES", "MODEL"}
    | {"DECK", "KIND", "DEFINITION", "PRODUCT", "DIRECTION"}
)
_SECOND_WORDS = frozenset({("CLASS", "KIND"), ("ARROW", "PRODUCT")})
_MOST_LEXICAL_FAULTS = 20
_MOST_FAULTS = 100  # in one file; what has more is no plant

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
    "ARROW": "`->`",
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
        return _too_long(source, f"{LONGEST_SOURCE:,} characters", diagnostics)
    tokens = _tokens(source, diagnostics)
    if len(tokens) > MOST_TOKENS:
        return _too_long(source, f"{MOST_TOKENS:,} words and signs", diagnostics)
    deep = _too_deep(tokens)
    if deep is not None:
        token, message = deep
        diagnostics.report(
            "E0106",
            _span(source, token),
            message,
            "take inner parts out into `let` lines or templates",
        )
        return tree.File(source, (), frozenset({"*"}))
    return _Reading(source, diagnostics).run(tokens)


def _too_long(source: Source, limit: str, diagnostics: Diagnostics) -> tree.File:
    diagnostics.report(
        "E0105",
        Span(source, 0, 1),
        f"the file is longer than {limit}",
        "split it into a plant and library files joined by `use`",
    )
    return tree.File(source, (), frozenset({"*"}))


@cache
def _tables() -> _Tables:
    return _Tables()


def _lark(builder: Builder) -> Lark:
    """The LALR parser, its tables kept in the user's cache folder between runs."""
    text = Path(__file__).with_name("grammar.lark").read_text(encoding="utf-8")
    return Lark(
        text,
        parser="lalr",
        lexer="basic",
        maybe_placeholders=True,
        transformer=builder,
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
    raw: list[Token] = []
    for _ in range(_MOST_LEXICAL_FAULTS):
        try:
            raw.extend(islice(_tables().tokens(text), MOST_TOKENS + 1 - len(raw)))
        except UnexpectedCharacters as fault:
            start = fault.pos_in_stream or 0
            end = _report_characters(source, text, start, diagnostics)
            if text[start] == '"':  # go on as if the text were closed: its line is blamed once
                raw.append(Token("STRING", text[start:end] + '"', start, end_pos=end))
            text = "\f" * end + text[end:]  # blanks that join no line break; offsets stay true
        else:
            break
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
    run = re.compile(r"[^\W\d_A-Za-z]+" if letter.isalpha() else re.escape(letter) + "+")
    found = run.match(text, start)
    end = found.end() if found else start + 1
    shown = text[start:end] if letter.isalpha() else letter
    shown = shown[:20] if letter.isprintable() else f"U+{ord(letter):04X}"
    diagnostics.report(
        "E0102",
        Span(source, start, end),
        f"`{shown}` means nothing here",
        "names are letters, digits and `_`; anything else goes in a comment or in quotes",
    )
    return end


def _shape(raw: list[Token]) -> Iterator[Token]:
    """A line break inside ( ) is white space; a word that is none of the language's where it
    stands is a name: beside a dot, before a colon, or a line's first word in its middle."""
    depth = 0
    before = "_NL"
    for token, following in zip(raw, [*raw, None][1:], strict=True):
        kind = token.type
        if kind == "LPAR":
            depth += 1
        elif kind == "RPAR":
            depth = max(0, depth - 1)
        elif kind in ("LBRACE", "RBRACE"):
            depth = 0  # a bracket left open must not swallow the rest of the file
        elif kind == "_NL" and depth:
            continue
        after = "$END" if following is None else following.type
        if _is_name(kind, before, after) and str(token).isidentifier():
            token = Token.new_borrow_pos("NAME", token.value, token)
        before = kind
        yield token


def _is_name(kind: str, before: str, after: str) -> bool:
    if "DOT" in (before, after) or after == "COLON":
        return True
    if kind not in _FIRST_WORDS or (before, kind) in _SECOND_WORDS:
        return False
    return before not in ("_NL", "SEMICOLON", "LBRACE", "RBRACE") or after == "ARROW"


def _too_deep(tokens: list[Token]) -> tuple[Token, str] | None:
    """The first token that nests deeper than any plant needs, or runs on as one endless sum, and
    what to say of it."""
    depth = chain = 0
    for token in tokens:
        kind = token.type
        if kind in ("LBRACE", "LPAR"):
            depth += 1
        elif kind in ("RBRACE", "RPAR"):
            depth -= 1
        elif kind in ("SIGN", "STAR", "SLASH", "CARET"):
            chain += 1
        elif kind in ("_NL", "SEMICOLON"):
            chain = 0
        if depth > DEEPEST_NESTING:
            return token, f"blocks and brackets are nested more than {DEEPEST_NESTING} deep"
        if chain > LONGEST_SUM:
            return token, f"there are more than {LONGEST_SUM} operators in one line"
    return None


def _span(source: Source, token: Token) -> Span:
    start = token.start_pos or 0
    if token.type == "$END":
        return Span(source, len(source.text), len(source.text))
    if token.type == "_NL":  # blame the place where the line stops, not the next line
        return Span(source, start, start + 1)
    return Span(source, start, token.end_pos or start)


@dataclass(frozen=True, slots=True)
class _Reduction:
    """What the parser does when a rule's last token has been read. `build` is None where the rule
    only hands its one part up, as most steps of an expression do."""

    size: int
    origin: str
    build: Callable[[list[Any]], Any] | None


# By state, then token or rule name: the state to go to, or the reduction to make first.
_States = dict[int, dict[str, Any]]


class _Tables:
    """Lark's LALR tables, with every rule's reduction looked up once."""

    def __init__(self) -> None:
        self.builder = Builder()
        self.lark = _lark(self.builder)
        conf = self.lark.parse_interactive("").parser_state.parse_conf
        self.start = conf.start_state
        rules: Mapping[Any, Callable[[list[Any]], Any]] = conf.callbacks
        reductions = {rule: _reduction(rule, build) for rule, build in rules.items()}
        self.states: _States = {
            state: {
                name: argument if action is Shift else reductions[argument]
                for name, (action, argument) in actions.items()
            }
            for state, actions in conf.states.items()
        }
        self.states[conf.end_state]["$END"] = conf.end_state  # the file is complete: stay there

    def tokens(self, text: str) -> Iterator[Token]:
        """The text's tokens, one by one. Raises UnexpectedCharacters where there is none."""
        thread: Any = self.lark.parse_interactive(text).lexer_thread
        yield from thread.lex(None)


def _reduction(rule: Rule, build: Callable[[list[Any]], Any]) -> _Reduction:
    parts: Sequence[Any] = rule.expansion
    hands_up = rule.options.expand1 and not rule.alias and len(parts) == 1
    kept = hands_up and not (parts[0].is_term and parts[0].filter_out)
    return _Reduction(len(parts), rule.origin.name, None if kept else build)


def _fits(states: _States, stack: Sequence[int], kind: str) -> bool:
    """Whether a parser with these states on its stack would take a token of this kind."""
    trial = list(stack)
    while True:
        action = states[trial[-1]].get(kind)
        if not isinstance(action, _Reduction):
            return action is not None
        if action.size:
            del trial[-action.size :]
        trial.append(states[trial[-1]][action.origin])


class _Reading:
    """One run of the LALR parser over a source's tokens, with recovery at line and block ends."""

    def __init__(self, source: Source, diagnostics: Diagnostics) -> None:
        self.source = source
        self.diagnostics = diagnostics
        self.lost: set[str] = set()
        self.tables = _tables()
        self.tables.builder.begin(source)
        self.stack = [self.tables.start]  # states; one more than there are values and spans
        self.values: list[Any] = []
        self.spans: list[tuple[int, int]] = []

    def run(self, tokens: list[Token]) -> tree.File:
        position = faults = 0
        while position < len(tokens) and faults < _MOST_FAULTS:
            if self._feed(tokens[position]):
                position += 1
            else:
                faults += 1
                position = self._recover(tokens, position)
        return tree.File(self.source, self._finish(), frozenset(self.lost))

    def _feed(self, token: Token) -> bool:
        """Take a token in. False, and nothing changed, where it does not fit."""
        states, stack, values, spans = self.tables.states, self.stack, self.values, self.spans
        builder = self.tables.builder
        action = states[stack[-1]].get(token.type)
        if isinstance(action, _Reduction) and not _fits(states, stack, token.type):
            return False  # some rules could be reduced before that shows: look ahead first
        while isinstance(action, _Reduction):
            if action.build is None:  # the value and its span stay, under another name
                stack[-1] = states[stack[-2]][action.origin]
            else:
                size = action.size
                start = spans[-size][0] if size else token.start_pos or 0
                end = spans[-1][1] if size else start
                builder.at(start, end)
                parts = values[len(values) - size :]
                del stack[len(stack) - size :], values[len(values) - size :]
                del spans[len(spans) - size :]
                values.append(action.build(parts))
                spans.append((start, end))
                stack.append(states[stack[-1]][action.origin])
            action = states[stack[-1]].get(token.type)
        if action is None:
            return False
        stack.append(action)
        values.append(token)
        spans.append((token.start_pos or 0, token.end_pos or 0))
        return True

    def _recover(self, tokens: list[Token], position: int) -> int:
        """Report the token, skip to the end of its line or block, unwind the stack to a point
        where that end may stand. Returns the position to go on from."""
        wrong = tokens[position]
        self._report(wrong)
        end = _end_of_line(tokens, position)
        line = tokens[_start_of_line(tokens, position) : end]
        self.lost.update(str(t) for t in line if t.type == "NAME")
        self.lost.add("")
        from_line = line[0].start_pos if line else None
        if end == len(tokens):
            self._unwind("$END", from_line)
            return end
        if self._unwind(tokens[end].type, from_line):
            return end
        return end + 1  # a brace that closes nothing: step over it

    def _unwind(
        self, kind: str, from_line: int | None = None, fewer_than: int | None = None
    ) -> bool:
        """Drop what stands from an offset on (half a line would be blamed for what it lacks), and
        then more, until a token of this kind fits, with fewer blocks open than a number; False
        (stack unchanged) if it never does."""
        whole = len(self.spans)
        while from_line is not None and whole and self.spans[whole - 1][0] >= from_line:
            whole -= 1
        for depth in range(whole + 1, 0, -1):
            if fewer_than is not None and self._open_blocks(depth - 1) >= fewer_than:
                continue
            if _fits(self.tables.states, self.stack[:depth], kind):
                del self.stack[depth:]
                del self.values[depth - 1 :], self.spans[depth - 1 :]
                return True
        return False

    def _finish(self) -> tuple[tree.Statement, ...]:
        """Feed the end of the file, closing blocks that were left open."""
        length = len(self.source.text)
        end = Token("$END", "", length, end_pos=length)
        brace = Token("RBRACE", "}", length, end_pos=length)
        still_open: int | None = None
        while not self._feed(end):
            if still_open is None:
                self._report(end)
                self.lost.add("")
            # Each turn closes a block further out, so this ends.
            if self._unwind("RBRACE", fewer_than=still_open):
                still_open = self._open_blocks(len(self.values))
                self._feed(brace)
            elif not self._unwind("$END"):
                return ()
        statements: tuple[tree.Statement, ...] = self.values[0]
        return statements

    def _report(self, token: Token) -> None:
        span = _span(self.source, token)
        here = self.tables.states[self.stack[-1]]
        accepted = {k for k in here if k.isupper() and _fits(self.tables.states, self.stack, k)}
        if token.type == "$END" and "RBRACE" in accepted:
            self.diagnostics.report(
                "E0103", span, "a block is still open at the end of the file", "add a `}`"
            )
        elif token.type == "RBRACE" and not self._open_blocks(len(self.values)):
            self.diagnostics.report(
                "E0103", span, "this `}` closes no block", "remove it, or open its block with `{`"
            )
        else:
            self.diagnostics.report("E0101", span, *_unexpected(token, accepted))

    def _open_blocks(self, count: int) -> int:
        """How many blocks are open in the lowest so many entries of the stack."""
        kinds = [value.type for value in self.values[:count] if isinstance(value, Token)]
        return kinds.count("LBRACE") - kinds.count("RBRACE")


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
