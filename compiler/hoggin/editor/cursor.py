"""What is before a place in an incomplete text: the open blocks around it, the words of its line,
and the word that is being typed."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax.tokens import Token, tokens_of

_WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_]*\Z")
# A unit with a slash is one word: `t/h`, of which `t/` may have been typed.
_UNIT = re.compile(r"(?<![\w.])[0-9][0-9.]*[ \t]*([A-Za-z]\w*/\w*)\Z")
# A line in which every text is closed and no comment begins.
_OPEN_LINE = re.compile(r'[^"#]*(?:"[^"]*"[^"#]*)*')
_ENDS = ("_NL", "SEMICOLON")
Words = tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class Cursor:
    """blocks: the words before each `{` that is open, from the outside in. line: the words before
    the one being typed. done: the statements of the open block before this one, none empty."""

    source: Source
    offset: int
    start: int  # of the word that is being typed
    blocks: tuple[Words, ...]
    line: Words
    done: tuple[Words, ...]

    @property
    def stated(self) -> set[str]:
        """The first words of the statements before this one."""
        return {words[0].text for words in self.done}

    @property
    def word(self) -> str:
        return self.source.text[self.start : self.offset]

    @property
    def head(self) -> Words:
        """The words before the innermost open `{`; none at the top of a file."""
        return self.blocks[-1] if self.blocks else ()

    @property
    def around(self) -> str:
        """The kind of thing whose block the innermost one stands in: "plant", "feed", "crusher"."""
        head = self.blocks[-2] if len(self.blocks) > 1 else ()
        return head[0].text if head else ""

    @property
    def after(self) -> str:
        """The rest of the line."""
        return self.source.text[self.offset :].partition("\n")[0]

    @property
    def path(self) -> tuple[str, ...] | None:
        """The names of the dotted path that ends in the dot before the word; None without one."""
        if not self.line or self.line[-1].kind != "DOT":
            return None
        names: list[str] = []
        place = len(self.line) - 1
        while place > 0 and self.line[place].kind == "DOT":
            names.insert(0, self.line[place - 1].text)
            place -= 2
        return tuple(names)

    @property
    def words_before_path(self) -> Words:
        """The line without the dotted path that is being typed."""
        path = self.path
        return self.line if path is None else self.line[: len(self.line) - 2 * len(path)]

    @property
    def bracket(self) -> int | None:
        """The place in the line of the innermost `(` that is open."""
        opened: list[int] = []
        for place, token in enumerate(self.line):
            if token.kind == "LPAR":
                opened.append(place)
            elif token.kind == "RPAR" and opened:
                opened.pop()
        return opened[-1] if opened else None


def cursor_at(source: Source, offset: int) -> Cursor | None:
    """None within a comment or a text, where nothing is proposed."""
    before = source.text[:offset]
    unit = _UNIT.search(before, before.rfind("\n") + 1)
    found = _WORD.search(before)
    start = unit.start(1) if unit else found.start() if found else offset
    if not _OPEN_LINE.fullmatch(before, before.rfind("\n") + 1):
        return None
    tokens = tokens_of(Source(source.name, before[:start]), Diagnostics())
    blocks: list[Words] = []
    done: list[list[Words]] = [[]]
    line: list[Token] = []
    for token in tokens:
        if token.kind == "LBRACE":
            blocks.append(tuple(line))
            done.append([])
            line = []
        elif token.kind == "RBRACE":
            if blocks:
                done.pop()
                done[-1].append(blocks.pop())
            line = []
        elif token.kind in _ENDS:
            done[-1].append(tuple(line))
            line = []
        else:
            line.append(token)
    return Cursor(source, offset, start, tuple(blocks), tuple(line), tuple(filter(None, done[-1])))
