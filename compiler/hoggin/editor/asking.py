"""A request for proposals at a place, and what is known for its answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from hoggin.check.meanings import KEYWORDS
from hoggin.check.plant_facts import plant_fact
from hoggin.editor.cursor import Cursor, Words
from hoggin.editor.edits import Edit
from hoggin.editor.names import Scope, Symbol
from hoggin.editor.reading import Reader
from hoggin.editor.snapshot import Snapshot
from hoggin.schema.kinds import DRAW, KINDS, OVERFLOW
from hoggin.syntax import tree


@dataclass(frozen=True, slots=True)
class Item:
    """A proposal. `text` replaces the word at the cursor; `hole` is the part of it that the author
    will change. `edits` belong to it elsewhere in the file."""

    label: str
    kind: str  # as in `colouring`
    detail: str = ""
    insert: str = ""
    hole: str = ""
    edits: tuple[Edit, ...] = ()

    @property
    def text(self) -> str:
        return self.insert or self.label


def keywords(words: Iterable[str]) -> Iterator[Item]:
    return (Item(word, "keyword", KEYWORDS.get(word, "")) for word in words)


@dataclass(frozen=True)
class Asking:
    snapshot: Snapshot
    cursor: Cursor
    reader: Reader

    @cached_property
    def scope(self) -> Scope:
        """The names possible here; at the end of a damaged block, those that its head allows."""
        return self.snapshot.names.scope_at(self.snapshot.name, self.cursor.start)

    @cached_property
    def currency(self) -> str:
        """The currency that the file's plant states; by default the euro."""
        for node in self.snapshot.file.statements:
            fact = plant_fact(node, "currency") if isinstance(node, tree.PlantDefinition) else None
            if fact is not None and isinstance(fact.value, tree.Path):
                return fact.value.dotted
        return "EUR"

    def of_kind(self, kind: str) -> Iterator[Item]:
        """Everything of a kind that a dotted name may mean here: `granite`, `astm.c33_8`."""
        known = self.scope.visible()
        if self.cursor.path is not None:
            library = self.library(self.cursor.path)
            known = self.snapshot.names.members(library) if library is not None else {}
        for symbol in known.values():
            if symbol.kind == kind:
                yield Item(symbol.name, "type", about(symbol) or kind)
            elif symbol.kind == "library" and self.cursor.path is None:
                for one in self.snapshot.names.members(symbol).values():
                    if one.kind == kind:
                        yield Item(f"{symbol.name}.{one.name}", "type", about(one) or kind)

    def library(self, path: tuple[str, ...]) -> Symbol | None:
        symbol = self._named(path)
        return symbol if symbol is not None and symbol.kind == "library" else None

    def _named(self, path: Sequence[str]) -> Symbol | None:
        """The symbol of a dotted name that is being written."""
        symbol = self.scope.value(path[0])
        for part in path[1:]:
            if symbol is None or symbol.kind != "library":
                return None
            symbol = self.snapshot.names.members(symbol).get(part)
        return symbol

    def class_of(self, words: Words) -> Symbol | None:
        """The class or template that the head of a declaration names: `crusher NAME: a.b(...)`."""
        if len(words) < 4 or words[2].kind != "COLON":
            return None
        parts = [words[3].text]
        for dot, name in zip(words[4::2], words[5::2], strict=False):
            if dot.kind != "DOT":
                break
            parts.append(name.text)
        return self._named(parts)

    def outlets(self, symbol: Symbol) -> list[str]:
        """The outlets of a thing, "" where it has only one that needs no name."""
        members = self.snapshot.names.members(symbol).values()
        match symbol.kind:
            case "product" | "out port":
                return []
            case "splitter":
                return [one.name for one in members]
            case "bin" | "stockpile" if _states(symbol, DRAW):
                return [DRAW, OVERFLOW]
            case "section":
                return [one.name for one in members if one.kind == "out port"]
        kind = KINDS.get(symbol.kind)
        if kind is not None and kind.decked:
            return [*(f"{deck.name}.over" for deck in members), "under"]
        return list(kind.outlets) if kind is not None and len(kind.outlets) > 1 else [""]

    def inlets(self, symbol: Symbol) -> list[str]:
        if symbol.kind in ("feed", "in port"):
            return []
        if symbol.kind == "section":
            members = self.snapshot.names.members(symbol).values()
            return [one.name for one in members if one.kind == "in port"]
        return [""]

    def subject(self, path: tuple[str, ...]) -> tuple[str, Symbol | None]:
        """The kind of thing that `path` names, as `check.requirements` calls it, and its symbol."""
        if path == ("plant",):
            return "plant", None
        table = self.scope.things
        symbol: Symbol | None = None
        for place, part in enumerate(path):
            if symbol is not None and ".".join(path[place:]) in self._parts_of(symbol):
                return "stream", None
            symbol = table.get(part)
            if symbol is None or symbol.kind.endswith(" port"):
                return "", None
            table = self.snapshot.names.members(symbol)
        return ("" if symbol is None else symbol.kind), symbol

    def _parts_of(self, symbol: Symbol) -> tuple[str, ...]:
        """The outlets of a machine by their names; none of other things."""
        kind = KINDS.get(symbol.kind)
        return () if kind is None else (*kind.outlets, *self.outlets(symbol))


def _states(symbol: Symbol, name: str) -> bool:
    """Whether a block has a line of this name."""
    body = getattr(symbol.node, "body", None) or ()
    return any(isinstance(one, tree.Fact) and one.name.text == name for one in body)


def about(symbol: Symbol) -> str:
    """A thing's own description."""
    for statement in getattr(symbol.node, "body", None) or ():
        if isinstance(statement, tree.Fact) and statement.name.text == "about":
            return statement.value.text if isinstance(statement.value, tree.Text) else ""
    return ""
