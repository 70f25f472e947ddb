"""A text that is edited by its statements: what is in which line, and where more may go."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.merge.facts import ROOT, Facts
from hoggin.revise.why.lines import Block, Path
from hoggin.syntax import tree
from hoggin.syntax.tokens import tokens_of
from hoggin.syntax.walk import children

_REST = re.compile(r"[ \t]*;?[ \t]*(?P<comment>#[^\n]*)?$", re.M)


@dataclass(frozen=True, slots=True)
class Edit:
    """[start, end) is replaced. `apart`: by whole lines, so that the line is broken around them."""

    start: int
    end: int
    text: str
    apart: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """A statement in its block. keys: the paths it states; of a route one a step, else its own."""

    node: tree.Statement
    block: Path
    keys: tuple[Path, ...]

    @property
    def path(self) -> Path:
        return self.keys[0]

    @property
    def start(self) -> int:
        return self.node.span.start

    @property
    def end(self) -> int:
        return self.node.span.end

    @property
    def text(self) -> str:
        return self.node.span.text


@dataclass(frozen=True)
class Page:
    """A file with its facts by path."""

    file: tree.File
    facts: Facts

    @property
    def text(self) -> str:
        return self.file.source.text

    @cached_property
    def bodies(self) -> Mapping[Path, Sequence[Item]]:
        """The statements of every block, and of the file, in order."""
        found: dict[Path, list[Item]] = {}
        own = {
            fact.line.node.span.start: path
            for path, fact in self.facts.items()
            if not fact.of_route and isinstance(fact.line.node, tree.Statement)
            if not isinstance(fact.line.node, tree.Route)
        }

        def walk(statements: Sequence[tree.Statement], block: Path) -> None:
            body = found.setdefault(block, [])
            for node in statements:
                if isinstance(node, tree.Route):
                    steps = tuple((*block, f"from {e.path.dotted}") for e in node.endpoints[:-1])
                    body.append(Item(node, block, steps))
                    continue
                path = own[node.span.start]
                body.append(Item(node, block, (path,)))
                if isinstance(node, Block):
                    walk(node.body or (), path)

        walk(self.file.statements, ROOT)
        return found

    @cached_property
    def items(self) -> Mapping[Path, Item]:
        """Statements by what they state."""
        return {key: item for body in self.bodies.values() for item in body for key in item.keys}

    @cached_property
    def _braces(self) -> list[int]:
        tokens = tokens_of(Source("", self.text), Diagnostics())
        return [token.start for token in tokens if token.kind == "LBRACE"]

    def opening(self, item: Item) -> int | None:
        """The offset of the brace that opens a statement's block; None where it has none."""
        if not isinstance(item.node, Block):
            return None
        body = item.node.body or ()
        heads = (part.span.end for part in children(item.node) if part not in body)
        end = max(heads, default=item.node.span.start)
        return next((b for b in self._braces if end <= b < item.end), None)

    def head(self, item: Item) -> str:
        """What is before a statement's block; the whole of one that has none."""
        brace = self.opening(item)
        return self.text[item.start : item.end if brace is None else brace].rstrip()

    def line_start(self, offset: int) -> int:
        return self.text.rfind("\n", 0, offset) + 1

    def line_end(self, offset: int) -> int:
        end = self.text.find("\n", offset)
        return len(self.text) if end < 0 else end

    def indent(self, offset: int) -> str:
        """The blanks that the line of an offset begins with."""
        return _indent(self.text, offset)

    def begins_line(self, offset: int) -> bool:
        return not self.text[self.line_start(offset) : offset].strip()

    def rest(self, offset: int) -> re.Match[str] | None:
        """What is after a statement on its line, where that is a comment or nothing."""
        return _REST.match(self.text, offset)

    def comment(self, item: Item) -> str:
        """The comment after a statement, with the spaces before it."""
        found = self.rest(item.end)
        if found is None or found["comment"] is None:
            return ""
        return self.text[item.end : found.end()].lstrip(";")

    def above(self, item: Item) -> int:
        """Where the lines of a statement begin, those of comment directly above it with them."""
        start = self.line_start(item.start)
        while start and self.text[self.line_start(start - 1) : start].lstrip().startswith("#"):
            start = self.line_start(start - 1)
        return start

    def moved(self, text: str, from_offset: int, indent: str) -> str:
        """A stretch of this text as it is under another indent."""
        own = self.indent(from_offset)
        first, *rest = text.split("\n")
        bare = (line.removeprefix(own) if line.startswith(own) else line.lstrip() for line in rest)
        return "\n".join([first, *(indent + line if line.strip() else "" for line in bare)])


def edited(text: str, edits: Sequence[Edit]) -> str:
    """The text with all edits made; of those at one place, what is put in comes first. What follows
    whole lines begins a line of its own."""
    made = ""
    position = 0
    indent: str | None = None  # of the line to be begun

    def add(part: str) -> None:
        nonlocal made, indent
        if indent is not None:
            part = part.lstrip("; \t")
            if not part:
                return
            part = part[1:] if part.startswith("\n") else indent + part
            indent = None
        made += part

    for edit in sorted(edits, key=lambda edit: (edit.start, edit.end > edit.start)):
        add(text[position : max(position, edit.start)])
        if edit.apart:
            made = made.rstrip("; \t")
            made += edit.text if not made or made.endswith("\n") else f"\n{edit.text}"
            indent = _indent(text, edit.start)
        else:
            add(edit.text)
        position = max(position, edit.end)
    add(text[position:])
    return made


def _indent(text: str, offset: int) -> str:
    line = text[text.rfind("\n", 0, offset) + 1 :].partition("\n")[0]
    return line[: len(line) - len(line.lstrip())]
