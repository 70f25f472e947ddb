"""The edits between two revisions: each is a line, or lines that are valid only together because
they share a name that one revision does not have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from hoggin.diagnostics.source import Span
from hoggin.graph import strongly_connected
from hoggin.revise.why.lines import Block, Line, Path, merged
from hoggin.syntax import tree
from hoggin.syntax.walk import paths

Lines = Mapping[Path, Line]
_Token = tuple[Path, str]  # a name, and the block it is in

# A new name of these kinds changes nothing until something else uses it.
_DEFINITIONS = {"use", "let", "class", "template", "material", "band", "grading", "series"}
_GEOMETRY = " geometry"  # no name of the language
_NAMED = {"declared", "in", "out", *_DEFINITIONS}


@dataclass(frozen=True, slots=True)
class Change:
    """A line that was changed, or a line (with what is below it) that one side lacks."""

    path: Path
    before: Line | None
    after: Line | None

    @property
    def whole(self) -> bool:
        """Whether one side lacks it."""
        return self.before is None or self.after is None

    @property
    def line(self) -> Line:
        line = self.after or self.before
        assert line is not None
        return line


@dataclass(frozen=True, slots=True)
class Edit:
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class Differences:
    """edits: changes that affect the plant. idle: changes that affect no result. order: the paths
    of both sides. start: BEFORE's lines, with the definitions that only AFTER uses, which change
    nothing there; so does what is no longer used in AFTER."""

    edits: tuple[Edit, ...]
    idle: tuple[Change, ...]
    order: tuple[Path, ...]
    start: Lines
    after: Lines

    def mixed(self, chosen: Iterable[Edit]) -> dict[Path, Line]:
        """BEFORE's lines with some of the edits made."""
        lines = dict(self.start)
        for change in (change for edit in chosen for change in edit.changes):
            if change.before is not None and change.after is not None:
                lines[change.path] = change.after
            elif change.after is not None:
                lines.update(_below(change.path, self.after))
            else:
                for path in list(_below(change.path, self.start)):
                    del lines[path]
        return lines


def differences(before: Lines, after: Lines, *, definitions_apart: bool = True) -> Differences:
    """definitions_apart: whether a definition that one side alone has and uses is not an edit, but
    is in every hybrid. That needs whatever it says itself to be known on both sides."""
    order = merged(before, after)
    changes = _changes(before, after, order)
    said = {True: _all_names(before), False: _all_names(after)}
    start, kept, idle = dict(before), [], []
    for change in changes:
        added = change.before is None
        if change.line.idle:
            idle.append(change)
        elif definitions_apart and _changes_nothing(change, said[added]):
            if added:
                start.update(_below(change.path, after))
        else:
            kept.append(change)
    edits = _joined(kept, before, after)
    return Differences(edits, tuple(idle), tuple(order), start, after)


def _changes(before: Lines, after: Lines, order: Sequence[Path]) -> list[Change]:
    found: list[Change] = []
    whole: set[Path] = set()  # of blocks that only one side has
    for path in order:
        if any(path[:depth] in whole for depth in range(1, len(path))):
            continue
        old, new = before.get(path), after.get(path)
        if old is None or new is None:
            whole.add(path)
        elif old.words == new.words:
            continue
        found.append(Change(path, old, new))
    return found


def _below(path: Path, lines: Lines) -> dict[Path, Line]:
    return {other: line for other, line in lines.items() if other[: len(path)] == path}


def _all_names(lines: Lines) -> set[str]:
    return {part.text for line in lines.values() for p in paths(line.node) for part in p.parts}


def _changes_nothing(change: Change, names: set[str]) -> bool:
    """Whether a definition that one side lacks has a name which that side does not use at all."""
    kind, _, name = change.path[-1].partition(" ")
    return change.whole and kind in _DEFINITIONS and name not in names


def _joined(changes: Sequence[Change], before: Lines, after: Lines) -> tuple[Edit, ...]:
    """Changes as edits: those that add, remove or use the same name are one."""
    together: dict[int, list[int]] = {number: [] for number in range(len(changes))}
    by_name: dict[_Token, int] = {}
    brought = [(number, token) for number in together for token in _brought(changes[number])]
    used = [(n, token) for n in together for token in _used(changes[n], before, after)]
    for number, token in brought:
        by_name.setdefault(token, number)
    for number, token in (*brought, *used):
        if token in by_name:
            together[number].append(by_name[token])
            together[by_name[token]].append(number)
    groups = map(sorted, strongly_connected(together))
    edits = [Edit(tuple(changes[i] for i in group)) for group in sorted(groups)]
    return tuple(sorted(edits, key=lambda edit: place(edit.changes[0])))


def _brought(change: Change) -> Iterator[_Token]:
    kind, _, name = change.path[-1].partition(" ")
    block = change.path[:-1]
    if change.whole and kind in _NAMED:
        yield block, name
    elif not change.whole and kind == "model":  # another one of its role is the default now
        yield block, f"model {name.partition(' ')[0]}"
    elif not change.whole and kind == "declared":
        yield change.path, _GEOMETRY  # another class, with a geometry of its own
    elif kind == "argument":
        yield block, _GEOMETRY


def _used(change: Change, before: Lines, after: Lines) -> Iterator[_Token]:
    """Names that a change mentions, seen from its block and from those around it."""
    for old_or_new, lines in ((change.before, before), (change.after, after)):
        if old_or_new is None:
            continue
        own = _below(change.path, lines).values() if change.whole else (old_or_new,)
        heads = (head for line in own if (head := _own(line.node)) is not None)
        for path in (path for head in heads for path in paths(head)):
            for depth in range(1, len(change.path)):
                yield change.path[:depth], path.parts[0].text


def _own(node: tree.Node) -> tree.Node | None:
    """What a block's head says itself: what is below it has lines of its own."""
    match node:
        case tree.Declaration(of=of):
            return of
        case tree.Deck(aperture=aperture):
            return aperture
    return None if isinstance(node, Block) else node


def _where(node: tree.Node, span: Span) -> Span:
    """Where a line gives its value: one that a case states stands in the case."""
    match node:
        case tree.Fact(entries=(first, *_)):
            return first.span
        case (
            tree.Fact(value=value)
            | tree.Let(value=value)
            | tree.Argument(value=value)
            | tree.Deck(aperture=value)
            | tree.Port(share=value)
        ) if value is not None:
            return value.span
    return span


def place(change: Change) -> tuple[str, int, int]:
    """File, line and column; of AFTER where it has the line."""
    span = _where(change.line.node, change.line.span)
    return span.source.name, span.line, span.column
