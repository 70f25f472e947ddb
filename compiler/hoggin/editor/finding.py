"""Finds where a name is declared and used, and renames it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from hoggin.check.checker import check
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.source import Source, Span
from hoggin.editor.edits import Edit, applied
from hoggin.editor.names import Names, Occurrence, Symbol
from hoggin.editor.project import Project
from hoggin.editor.reading import OpenWorld
from hoggin.editor.snapshot import Snapshot
from hoggin.errors import HogginError
from hoggin.syntax import tree
from hoggin.syntax.tokens import tokens_of
from hoggin.world import UnreadableError, is_library

_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


class CannotRenameError(HogginError):
    """The message says why, in a plain sentence."""


def definition(snapshot: Snapshot, offset: int) -> tuple[Span, ...]:
    """Where the name at an offset is declared, in every option of a `choose`; for the file that a
    `use` names, its beginning."""
    names = snapshot.names
    for statement in snapshot.file.statements:
        if not isinstance(statement, tree.Use):
            continue
        if statement.target.span.start <= offset <= statement.target.span.end:
            file = names.files.get(names.used_file(statement))
            return () if file is None else (Span(file.source, 0, 0),)
    found = names.at(snapshot.name, offset)
    return () if found is None else found.symbol.spans


def uses(project: Project, snapshot: Snapshot, offset: int) -> tuple[Occurrence, ...]:
    """Every place in the project where the thing named at an offset is declared or used."""
    found = snapshot.names.at(snapshot.name, offset)
    return () if found is None else tuple(project.names(snapshot).uses(found.symbol))


def highlights(snapshot: Snapshot, offset: int) -> tuple[Occurrence, ...]:
    """The same within the document."""
    found = snapshot.names.at(snapshot.name, offset)
    if found is None:
        return ()
    every = snapshot.names.occurrences(snapshot.name)
    return tuple(one for one in every if one.symbol.key == found.symbol.key)


def renamable(snapshot: Snapshot, offset: int) -> Span:
    """The name at an offset. Raises CannotRenameError."""
    found = snapshot.names.at(snapshot.name, offset)
    if found is None:
        raise CannotRenameError("nothing here can be renamed")
    symbol = found.symbol
    if is_library(symbol.file):
        raise CannotRenameError(f"`{symbol.name}` belongs to the standard library")
    if symbol.kind == "deck":
        raise CannotRenameError("the names of decks are fixed by the language")
    return found.span


def renamed(project: Project, snapshot: Snapshot, offset: int, new: str) -> tuple[Edit, ...]:
    """The edits that rename the thing named at an offset, in every file of the project.

    Raises CannotRenameError if the name can't be changed, if the new one is not a valid name or
    already means something, or if lines that can't be read may contain it.
    """
    renamable(snapshot, offset)
    if not _is_name(new):
        raise CannotRenameError(
            f"`{new}` is not a valid name: use letters, digits and `_`, but no keyword"
        )
    names = project.names(snapshot)
    found = names.at(snapshot.name, offset)
    if found is None or found.symbol.name == new:
        return ()
    symbol = found.symbol
    _refuse_damaged(names, symbol)
    _refuse_unheard(project, snapshot, names, symbol)
    edits = tuple(_edit(one, new) for one in names.uses(symbol))
    _refuse_change(project, snapshot, names, symbol, edits, new)
    return edits


def _is_name(text: str) -> bool:
    if not _NAME.fullmatch(text):
        return False
    return [token.kind for token in tokens_of(Source("", text), Diagnostics())] == ["NAME"]


def _edit(one: Occurrence, new: str) -> Edit:
    span, node = one.span, one.symbol.node
    is_implied = one.declares and isinstance(node, tree.Use) and node.alias is None
    text = f"{span.text} as {new}" if is_implied else new
    return Edit(span.source.name, span.start, span.end, text)


def _refuse_damaged(names: Names, symbol: Symbol) -> None:
    for name in _files_with(names, {symbol.file}):
        file = names.files[name]
        if symbol.name in file.lost_names or "*" in file.lost_names:
            raise CannotRenameError(f"first correct the lines of `{name}` that can't be read")


def _refuse_unheard(project: Project, snapshot: Snapshot, names: Names, symbol: Symbol) -> None:
    """An error may hide a line with the name from the checker, so that its meaning is unknown."""
    for name in _files_with(names, {symbol.file}):
        known = {one.span.start for one in names.occurrences(name)}
        tokens = tokens_of(names.files[name].source, Diagnostics())
        unheard = any(t.text == symbol.name and t.start not in known for t in tokens)
        if unheard and any(d.is_error for d in _faults(project.texts, snapshot, name, project)):
            raise CannotRenameError(f"first correct the errors of `{name}`")


def _refuse_change(
    project: Project,
    snapshot: Snapshot,
    names: Names,
    symbol: Symbol,
    edits: tuple[Edit, ...],
    new: str,
) -> None:
    """The new name must refer to the same thing in the same places, and cause no new error."""
    texts = {
        file: applied(names.files[file].source.text, [e for e in edits if e.file == file])
        for file in {edit.file for edit in edits}
    }
    opened = project.texts | {snapshot.path_of(file): text for file, text in texts.items()}
    after = Project(project.reader, opened)
    again = after.names(after.snapshot(snapshot.path))
    counts = {file: len(names.occurrences(file)) for file in texts}
    if any(len(again.occurrences(file)) != count for file, count in counts.items()):
        raise CannotRenameError(f"`{new}` means something else in one of these places")
    moved = again.uses(_moved(again, symbol, edits))
    if len(moved) != len(edits):
        raise CannotRenameError(f"`{new}` already means something else here")
    for file in _files_with(names, set(texts)):
        before = len(_faults(project.texts, snapshot, file, project))
        if len(_faults(opened, snapshot, file, project)) > before:
            raise CannotRenameError(f"with the name `{new}`, `{file}` would have another error")


def _moved(names: Names, symbol: Symbol, edits: tuple[Edit, ...]) -> Symbol:
    """The renamed symbol in the new text: its place, moved by the edits before it."""
    start = symbol.span.start
    for edit in edits:
        if edit.file == symbol.file and edit.start < symbol.span.start:
            start += len(edit.text) - (edit.end - edit.start)
        elif edit.file == symbol.file and edit.start == symbol.span.start and " as " in edit.text:
            start += edit.text.index(" as ") + 4
    found = names.at(symbol.file, start)
    if found is None:
        raise CannotRenameError("that name is not allowed here")
    return found.symbol


def _files_with(names: Names, changed: set[str]) -> list[str]:
    """Own files that were changed, or use one that was."""
    own = [name for name in sorted(names.files) if not is_library(name)]
    used = {
        name: {names.used_file(s) for s in names.files[name].statements if isinstance(s, tree.Use)}
        for name in own
    }
    reached = set(changed)
    while more := {name for name in own if name not in reached and used[name] & reached}:
        reached |= more
    return [name for name in own if name in reached]


def _faults(
    texts: Mapping[Path, str], snapshot: Snapshot, file: str, project: Project
) -> tuple[Diagnostic, ...]:
    try:
        world = OpenWorld(snapshot.path_of(file), texts)
        return check(world, world.open_main(), project.reader).diagnostics
    except UnreadableError:
        return ()
