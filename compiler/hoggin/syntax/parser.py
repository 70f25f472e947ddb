"""Text to tree. Parsing never fails: what can't be read is reported and skipped to the line's end.

The text is cut into tokens first, which are run one by one through the grammar's LALR tables; a
rule's node is built as its last token is read. When a token does not fit, the whole line (with any
block that depends on it) is dropped, the stack is unwound to where the line's end may be, and
reading continues: so one run finds the faults of every line.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Any

from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.families.text import E0101, E0103, E0105, E0106
from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.source import Source, Span
from hoggin.syntax import tree
from hoggin.syntax.braces import matched
from hoggin.syntax.build import Builder
from hoggin.syntax.conflicts import without_conflicts
from hoggin.syntax.slips import mended
from hoggin.syntax.tables import Reduction, tables
from hoggin.syntax.tokens import MOST_TOKENS, Token, tokens_of
from hoggin.syntax.unexpected import misspelt, unexpected

DEEPEST_NESTING = 60  # braces and brackets; far above any plant, far below Python's stack
LONGEST_SOURCE = 1_000_000  # characters
LONGEST_SUM = 100  # operators on one line
_MOST_FAULTS = 100  # in one file; what has more is no plant


def parse(source: Source, diagnostics: Diagnostics) -> tree.File:
    """Parse a source. Faults are reported (E01xx); the tree holds every line that made sense.

    A source is parsed once in a process, however many plants use it.
    """
    file, found = _parsed(source)
    diagnostics.extend(found)
    return file


@lru_cache(maxsize=256)
def _parsed(source: Source) -> tuple[tree.File, tuple[Diagnostic, ...]]:
    diagnostics = Diagnostics()
    return _file(source, diagnostics), tuple(diagnostics)


def _file(source: Source, diagnostics: Diagnostics) -> tree.File:
    if len(source.text) > LONGEST_SOURCE:
        return _too_long(source, f"{LONGEST_SOURCE:,} characters", diagnostics)
    source, left_out = without_conflicts(source, diagnostics)
    tokens = tokens_of(source, diagnostics)
    if len(tokens) > MOST_TOKENS:
        return _too_long(source, f"{MOST_TOKENS:,} words and signs", diagnostics)
    deep = _too_deep(tokens)
    if deep is not None:
        token, fault = deep
        diagnostics.report(fault, _span(source, token))
        return tree.File(source, (), frozenset({"*"}))
    tokens = matched(mended(tokens, source, diagnostics), source, diagnostics)
    return _Reading(source, diagnostics, left_out).run(tokens)


def _too_long(source: Source, limit: str, diagnostics: Diagnostics) -> tree.File:
    diagnostics.report(E0105.longer_than(limit), Span(source, 0, 1))
    return tree.File(source, (), frozenset({"*"}))


def _too_deep(tokens: list[Token]) -> tuple[Token, Fault] | None:
    """The first token that nests deeper than any plant needs, or runs on as one endless sum, and
    what to say of it."""
    depth = chain = 0
    for token in tokens:
        kind = token.kind
        if kind in ("LBRACE", "LPAR"):
            depth += 1
        elif kind in ("RBRACE", "RPAR"):
            depth -= 1
        elif kind in ("SIGN", "STAR", "SLASH", "CARET"):
            chain += 1
        elif kind in ("_NL", "SEMICOLON"):
            chain = 0
        if depth > DEEPEST_NESTING:
            return token, E0106.blocks(DEEPEST_NESTING)
        if chain > LONGEST_SUM:
            return token, E0106.operators(LONGEST_SUM)
    return None


def _span(source: Source, token: Token) -> Span:
    start = token.start
    if token.kind == "$END":
        return Span(source, len(source.text), len(source.text))
    if token.kind == "_NL":  # blame the place where the line stops, not the next line
        return Span(source, start, start + 1)
    return Span(source, start, token.end)


class _Reading:
    """One run of the LALR parser over a source's tokens, with recovery at line and block ends."""

    def __init__(self, source: Source, diagnostics: Diagnostics, lost: frozenset[str]) -> None:
        self.source = source
        self.diagnostics = diagnostics
        self.lost = set(lost)
        self.tables = tables()
        self.builder = Builder(source)
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
                mended = self._mend(tokens, position)
                position = self._recover(tokens, position) if mended is None else mended
        return tree.File(self.source, self._finish(tokens), frozenset(self.lost))

    def _feed(self, token: Token) -> bool:
        """Take a token in. False, and nothing changed, where it does not fit."""
        states, stack, kind = self.tables.states, self.stack, token.kind
        action = states[stack[-1]].get(kind)
        if action is None:
            return False
        if action < 0:  # some rules could be reduced before a token that does not fit: look ahead
            before = self.tables.reductions_before(stack, kind)
            if before is None:
                return False
            for reduction in before:
                self._reduce(reduction, token.start)
            action = states[stack[-1]][kind]
        stack.append(action)
        self.values.append(token)
        self.spans.append((token.start, token.end))
        return True

    def _reduce(self, reduction: Reduction, position: int) -> None:
        """Put one value in place of a rule's parts; `position` is where a rule of none would be."""
        states, stack, values, spans = self.tables.states, self.stack, self.values, self.spans
        if reduction.is_step:  # the value stays, under another name
            stack[-1] = states[stack[-2]][reduction.origin]
            return
        bottom = len(values) - reduction.size
        start = spans[bottom][0] if reduction.size else position
        end = spans[-1][1] if reduction.size else start
        value: Any = reduction.parts(values[bottom:])
        if reduction.thin and len(value) == 1:
            value = value[0]
        elif reduction.builder:
            value = self.builder.built(reduction.builder, value, start, end)
        del stack[bottom + 1 :], values[bottom:], spans[bottom:]
        values.append(value)
        spans.append((start, end))
        stack.append(states[stack[-1]][reduction.origin])

    def _recover(self, tokens: list[Token], position: int) -> int:
        """Report the token, skip to the end of its line or block, unwind the stack to a point
        where that end may be. Returns the position to continue from."""
        start = _start_of_line(tokens, position)
        self._report(tokens[position], tokens[start:position])
        end = _end_of_line(tokens, position)
        line = tokens[start:end]
        self._lose(line)
        from_line = line[0].start if line else None
        open_before = self._open_blocks(len(self.values))
        while end < len(tokens):
            if not self._unwind(tokens[end].kind, from_line):
                return end + 1  # a brace that closes nothing: step over it
            open_now = self._open_blocks(len(self.values))
            if open_now >= open_before:
                return end
            # A block was given up with its line: what is left of it goes as well.
            for _ in range(open_before - open_now):
                end = _end_of_block(tokens, end)
            end = _end_of_line(tokens, end)
            open_before = open_now
        self._unwind("$END", from_line)
        return end

    def _mend(self, tokens: list[Token], position: int) -> int | None:
        """Read one wrong sign as the right one, or step over it, where what follows then fits; so
        that its line is not lost. The position to continue from, or None."""
        wrong = tokens[position]
        start = _start_of_line(tokens, position)
        line = tokens[start:position]
        kinds = [token.kind for token in line]
        after = tokens[position + 1 : position + 3]
        if not after or not line:
            return None
        better = right = ""
        match wrong.kind:
            case "EQUAL" if self._fits("COLON"):
                better, right = "COLON", ":"
            case "SEMICOLON" if self._fits("COMMA"):
                better, right = "COMMA", ","
            case "COMMA" if self._fits("SEMICOLON") and not {"ARROW", "USE"} & set(kinds):
                better, right = "SEMICOLON", ";"
            case "MEASURE" | "NUMBER" | "STRING" | "NAME" if self._in_list():
                self.diagnostics.report(E0101.comma_missing(), _span(self.source, wrong))
                self._feed(Token("COMMA", "", wrong.start, wrong.start))
                return position
            case "DOT" if kinds[-1] == "MEASURE" and self._fits(after[0].kind):
                pass
            case "EQUAL" | "COLON" if kinds[-1] == "NAME" and self._fits(after[0].kind):
                ends = [token.kind for token in after[1:]] or ["_NL"]
                if after[0].kind == "NAME" and ends[0] not in ("_NL", "SEMICOLON", "RBRACE"):
                    return None
            case _:
                return None
        fault = E0101.instead(wrong.text, right) if right else E0101.left_over(wrong.text)
        self.diagnostics.report(fault, _span(self.source, wrong))
        if better:
            self._feed(Token(better, wrong.text, wrong.start, wrong.end))
        return position + 1

    def _in_list(self) -> bool:
        """Whether an entry of a list has just ended."""
        return self._fits("COMMA") and self._fits("RBRACE")

    def _fits(self, kind: str) -> bool:
        return self.tables.fits(self.stack, kind)

    def _lose(self, line: list[Token]) -> None:
        """Keep what names are in a line that is given up: it may have declared them."""
        names = [token.text for token in line if token.kind == "NAME"]
        self.lost.update(names)
        self.lost.update(f"{one}_{two}" for one, two in pairwise(names))
        if line and line[0].kind == "DECK":
            self.lost.add("deck")
        self.lost.add("")

    def _unwind(
        self, kind: str, from_line: int | None = None, fewer_than: int | None = None
    ) -> bool:
        """Drop what is from an offset on (half a line would be blamed for what it lacks), and
        then more, until a token of this kind fits, with fewer blocks open than a number; False
        (stack unchanged) if it never does."""
        whole = len(self.spans)
        while from_line is not None and whole and self.spans[whole - 1][0] >= from_line:
            whole -= 1
        for depth in range(whole + 1, 0, -1):
            if fewer_than is not None and self._open_blocks(depth - 1) >= fewer_than:
                continue
            if self.tables.fits(self.stack[:depth], kind):
                del self.stack[depth:]
                del self.values[depth - 1 :], self.spans[depth - 1 :]
                return True
        return False

    def _finish(self, tokens: list[Token]) -> tuple[tree.Statement, ...]:
        """Feed the end of the file, closing blocks that were left open."""
        length = len(self.source.text)
        end = Token("$END", "", length, length)
        brace = Token("RBRACE", "}", length, length)
        from_line: int | None = None
        still_open: int | None = None
        while not self._feed(end):
            if still_open is None:
                self._report(end)
                from_line = self._lose_half_line(tokens)
            # Each turn closes a block further out, so this ends.
            if self._unwind("RBRACE", from_line, still_open):
                still_open = self._open_blocks(len(self.values))
                self._feed(brace)
            elif not self._unwind("$END", from_line):
                return ()
        statements: tuple[tree.Statement, ...] = self.values[0]
        return statements

    def _lose_half_line(self, tokens: list[Token]) -> int | None:
        """At the end of a file, where its last line is unfinished: the offset of that line."""
        self.lost.add("")
        line = tokens[_start_of_line(tokens, len(tokens)) :]
        if not line or self.tables.fits(self.stack, "RBRACE"):
            return None
        self._lose(line)
        return line[0].start

    def _report(self, token: Token, line: Sequence[Token] = ()) -> None:
        span = _span(self.source, token)
        here = self.tables.states[self.stack[-1]]
        accepted = {k for k in here if k.isupper() and self.tables.fits(self.stack, k)}
        if token.kind == "$END" and "RBRACE" in accepted:
            self.diagnostics.report(E0103.open_at_end(), span)
        elif token.kind == "RBRACE" and not self._open_blocks(len(self.values)):
            self.diagnostics.report(E0103.nothing_to_close(), span)
        elif right := misspelt(line, token):
            span = _span(self.source, line[0])
            self.diagnostics.report(E0101.misspelt(line[0].text, right), span)
        else:
            self.diagnostics.report(unexpected(line, token, accepted), span)

    def _open_blocks(self, count: int) -> int:
        """How many blocks are open in the lowest so many entries of the stack."""
        kinds = [value.kind for value in self.values[:count] if isinstance(value, Token)]
        return kinds.count("LBRACE") - kinds.count("RBRACE")


def _end_of_line(
    tokens: list[Token], position: int, ends: Sequence[str] = ("_NL", "SEMICOLON")
) -> int:
    """The next line break, `;` or closing brace that belongs to the block we are in."""
    depth = 0
    for index in range(position, len(tokens)):
        kind = tokens[index].kind
        depth += (kind == "LBRACE") - (kind == "RBRACE")
        if depth < 0 or (depth == 0 and kind in ends):
            return index
    return len(tokens)


def _end_of_block(tokens: list[Token], position: int) -> int:
    """Behind the brace that closes the block we are in."""
    return min(_end_of_line(tokens, position, ends=()) + 1, len(tokens))


def _start_of_line(tokens: list[Token], position: int) -> int:
    while position > 0 and tokens[position - 1].kind not in ("_NL", "SEMICOLON", "LBRACE"):
        position -= 1
    return position
