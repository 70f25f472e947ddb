"""What a file states, by what it is about, with all that is written of it: more than a result
depends on, as a source or a title that is lost in a merge would be missed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.why.lines import Line, Path, lines_of
from hoggin.revise.why.meaning import meaning
from hoggin.syntax import tree
from hoggin.syntax.parser import parse

_FILE = "file"
ROOT: Path = (_FILE,)
_SAID_OFTEN = ("source", "caution")


@dataclass(frozen=True, slots=True)
class Fact:
    """words: equal where the same is stated."""

    words: str
    line: Line

    @property
    def of_route(self) -> bool:
        """A product that a route declares: it has no text of its own."""
        node = self.line.node
        return isinstance(node, tree.Declaration) and node.kind.span.end == node.span.end


Facts = Mapping[Path, Fact]


def read(source: Source) -> tree.File | None:
    """The tree of a text; None where it can't be read whole."""
    diagnostics = Diagnostics()
    file = parse(source, diagnostics)
    return None if diagnostics.has_errors else file


def facts_of(files: Sequence[tree.File]) -> list[Facts]:
    """The facts of each file, the first of which the others were made from.

    What may be said many times is known by its words; a requirement by what it is of, where the
    first file has one like it that is gone.
    """
    base, *made = [_facts(lines_of(file, _FILE).values()) for file in files]
    return [base, *(_paired(one, base) for one in made)]


def _facts(lines: Iterable[Line]) -> dict[Path, Fact]:
    found: dict[Path, Fact] = {}
    for line in lines:
        fact = Fact(_words(line), line)
        path, count = line.path, 1
        if isinstance(line.node, tree.Fact) and line.node.name.text in _SAID_OFTEN:
            path = (*path[:-1], f"fact {line.node.name.text}", fact.words)
            while path in found:
                count += 1
                path = (*path[:-1], f"{fact.words} {count}")
        elif isinstance(line.node, tree.Text):  # a plant's title goes with the plant
            path = (*path[:-1], "plant", path[-1])
        found[path] = fact
    return found


def _words(line: Line) -> str:
    node = line.node
    match node:
        case tree.Fact(source=source) if source is not None:
            return f"{line.words} source {source.text}"
        case tree.Rule(reason=reason):
            return f"{line.path[-1]} else {reason.text}"
        case tree.Requirement():
            return line.path[-1]
        case tree.Parameter() | tree.SettingDefinition():
            return " ".join(node.span.text.split())
    return line.words


def _paired(made: Mapping[Path, Fact], base: Facts) -> Facts:
    """Requirements and rules that were changed, by the path of what they were."""
    gone: dict[Path, list[Path]] = {}
    for path, fact in base.items():
        subject = _subject(path, fact)
        if subject is not None and path not in made:
            gone.setdefault(subject, []).append(path)
    found: dict[Path, Fact] = {}
    for path, fact in made.items():
        subject = _subject(path, fact)
        was = gone.get(subject) if subject is not None and path not in base else None
        found[was.pop(0) if was else path] = fact
    return found


def _subject(path: Path, fact: Fact) -> Path | None:
    """What a requirement or rule is of, and which way; None of what has several parts."""
    if not isinstance(fact.line.node, tree.Requirement | tree.Rule):
        return None
    match fact.line.node.condition:
        case tree.Comparison(operator=operator, left=left):
            return (*path[:-1], meaning(left), operator)
        case tree.Within(value=value):
            return (*path[:-1], meaning(value), "within")
        case tree.MeetsBand(product=product):
            return (*path[:-1], product.dotted, "meets")
    return None
