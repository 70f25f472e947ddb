"""A text that is edited by its statements: what stands in which line, and where more may go."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.merge.facts import ROOT, Facts
from hoggin.revise.why.lines import BLOCKS, Path
from hoggin.syntax import tree
from hoggin.syntax.tokens import tokens_of

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
                if isinstance(node, BLOCKS):
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
        node = item.node
        last: tree.Node | None = None
        match node:
            case tree.Declaration(name=name, of=of, arguments=arguments):
                last = arguments[-1] if arguments else of or name
            case tree.Deck(aperture=aperture, shape=shape):
                last = shape or aperture
            case tree.ClassDefinition(name=name, parameters=parameters):
                last = parameters[-1] if parameters else name
            case tree.TemplateDefinition(name=name, parameters=parameters):
                last = parameters[-1] if parameters else name
            case tree.PlantDefinition(title=title):
                last = title
            case tree.Definition(path=path):
                last = path
            case tree.ModelDefinition(name=name) | tree.Choose(name=name) | tree.Option(name=name):
                last = name
        if last is None:
            return None
        return next((b for b in self._braces if last.span.end <= b < item.end), None)

    def head(self, item: Item) -> str:
        """What stands before a statement's block; the whole of one that has none."""
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
        """What stands behind a statement on its line, where that is a comment or nothing."""
        return _REST.match(self.text, offset)

    def comment(self, item: Item) -> str:
        """The comment behind a statement, with the blanks before it."""
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
        """A stretch of this text as it stands under another indent."""
        own = self.indent(from_offset)
        first, *rest = text.split("\n")
        return "\n".join([first, *(_moved_line(line, own, indent) for line in rest)])


def _moved_line(line: str, own: str, indent: str) -> str:
    if not line.strip():
        return ""
    return indent + line[len(own) :] if line.startswith(own) else indent + line.lstrip()


def edited(text: str, edits: Sequence[Edit]) -> str:
    """The text with all edits made; of those at one place, what is put in comes first."""
    written = _Written()
    position = 0
    for edit in sorted(edits, key=lambda edit: (edit.start, edit.end > edit.start)):
        written.add(text[position : max(position, edit.start)])
        if edit.apart:
            written.add_lines(edit.text, _indent(text, edit.start))
        else:
            written.add(edit.text)
        position = max(position, edit.end)
    written.add(text[position:])
    return written.text


class _Written:
    """A text that grows; behind lines put in, what follows begins a line of its own."""

    def __init__(self) -> None:
        self.text = ""
        self._indent: str | None = None  # of the line to be begun

    def add(self, part: str) -> None:
        if self._indent is not None:
            part = part.lstrip("; \t")
            if not part:
                return
            part = part[1:] if part.startswith("\n") else self._indent + part
            self._indent = None
        self.text += part

    def add_lines(self, lines: str, indent: str) -> None:
        self.text = self.text.rstrip("; \t")
        if self.text and not self.text.endswith("\n"):
            self.text += "\n"
        self.text += lines
        self._indent = indent


def _indent(text: str, offset: int) -> str:
    start = text.rfind("\n", 0, offset) + 1
    line = text[start:].partition("\n")[0]
    return line[: len(line) - len(line.lstrip())]
