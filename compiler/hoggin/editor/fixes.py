"""Quick-fixes: the fixes that a diagnostic offers, as edits.

Each message declares its fix (`diagnostics/fault.py`); the words for it are in backticks in its
help. If there are several proposals, only those that the checker accepts are kept.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import islice
from typing import TypeGuard

from hoggin.check.checker import check
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.source import Source
from hoggin.editor.edits import Edit, applied
from hoggin.editor.project import Project
from hoggin.editor.reading import OpenWorld
from hoggin.editor.snapshot import Snapshot
from hoggin.schema.asked import sized_names
from hoggin.syntax import tree
from hoggin.syntax.walk import nodes_at
from hoggin.world import library_names

_CODE = re.compile(r"`([^`\n]+)`")
_NUMBER = re.compile(r"add `[^`]+`, (.+?) to ")
_WORDS = re.compile(r"choose `\w+` from (.+)")
_REST = re.compile(r"[ \t]*#.*|[ \t]*$", re.MULTILINE)  # of a line: nothing, or a comment
_STILL_MISSING = ("E0402", "E0407")  # errors that a correct word may reveal
_OPENED = re.compile(r"[ \t]*\(")
_MOST = 12

_Block = tree.Declaration | tree.PlantDefinition | tree.Definition | tree.Operation | tree.Project


@dataclass(frozen=True, slots=True)
class Fix:
    title: str
    edits: tuple[Edit, ...]
    sure: bool  # the one there is


def fixes(snapshot: Snapshot, diagnostic: Diagnostic) -> tuple[Fix, ...]:
    """The fixes for a diagnostic of the snapshot's own file."""
    if diagnostic.span.source.name != snapshot.name or not diagnostic.fix:
        return ()
    return tuple(islice(_BY_FIX[diagnostic.fix](snapshot, diagnostic), _MOST))


def tried(project: Project, snapshot: Snapshot, diagnostic: Diagnostic) -> tuple[Fix, ...]:
    """The same; if there are several, each is tried, and one that causes another error is left out.
    If one is left, it is the preferred fix."""
    found = fixes(snapshot, diagnostic)
    if len(found) < 2 or any(fix.sure for fix in found):
        return found
    before = {(d.code, d.message) for d in snapshot.checked.diagnostics}
    left = [fix for fix in found if not _brings(project, snapshot, fix) - before]
    return (replace(left[0], sure=True),) if len(left) == 1 else tuple(left)


def _brings(project: Project, snapshot: Snapshot, fix: Fix) -> set[tuple[str, str]]:
    """The errors of the text with a fix applied, except for what is still missing."""
    texts = {snapshot.path: applied(snapshot.source.text, fix.edits)}
    world = OpenWorld(snapshot.path, {**project.texts, **texts})
    return {
        (found.code, found.message)
        for found in check(world, world.open_main(), project.reader).diagnostics
        if found.is_error and found.code not in _STILL_MISSING
    }


def _fix(
    title: str, diagnostic: Diagnostic, start: int, end: int, text: str, *, sure: bool = True
) -> Fix:
    return Fix(title, (Edit(diagnostic.span.source.name, start, end, text),), sure)


def _replacing(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """The wrong word is the end of the blamed text that the message names."""
    written, end = diagnostic.span.text, diagnostic.span.end
    named = [word for word in _CODE.findall(diagnostic.message) if written.endswith(word)]
    if not named:
        return
    wrong = max(named, key=len)
    right = _CODE.findall(diagnostic.help)
    if diagnostic.fix == "choose a member":
        right = [f"{wrong}.{word}" for word in right if word not in sized_names()]
    sure = len(right) == 1
    for word in right:
        if word != wrong:
            title = f"change `{wrong}` to `{word}`"
            yield _fix(title, diagnostic, end - len(wrong), end, word, sure=sure)


def _with_unit(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A number that lacks its unit."""
    if re.fullmatch(r"[0-9.eE+-]+", diagnostic.span.text):
        end = diagnostic.span.end
        for unit in _CODE.findall(diagnostic.help):
            yield _fix(f"write it in {unit}", diagnostic, end, end, f" {unit}", sure=False)


def _rewriting(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A share that lacks its `%`, or a text that lacks its quotes."""
    span = diagnostic.span
    is_quote = diagnostic.fix == "quote"
    text = f'"{span.text}"' if is_quote else _CODE.findall(diagnostic.help)[0]
    if not (is_quote and '"' in span.text):
        yield _fix(f"write `{text}`", diagnostic, span.start, span.end, text)


def _closing_text(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    end = diagnostic.span.end
    yield _fix("close the text", diagnostic, end, end, '"')


def _closing_block(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    text = snapshot.source.text
    last = "" if text.endswith("\n") else "\n"
    yield _fix("close the block", diagnostic, len(text), len(text), f"{last}}}\n")


def _adding(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A setting in the machine's block, or a parameter in its brackets, that is missing."""
    is_setting = diagnostic.fix == "add a setting"
    name = _CODE.findall(diagnostic.message)[0]
    node = _declaration_at(snapshot, diagnostic.span.start)
    if node is None:
        return
    words = _WORDS.match(diagnostic.help)
    number = _NUMBER.match(diagnostic.help)
    values = words.group(1).split(" | ") if words else [number.group(1)] if number else []
    for value in values:
        line = f"{name} {value}" if is_setting else f"{name}: {value}"
        edit = _with_line(node, line) if is_setting else _with_argument(node, line)
        if edit is not None:
            yield Fix(f"add `{line}`", (edit,), len(values) == 1)


def _stating(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A line that a block must have, if the help contains it in full."""
    line = _CODE.findall(diagnostic.help)[0]
    path = nodes_at(snapshot.file, diagnostic.span.start)
    plants = [n for n in path if isinstance(n, tree.PlantDefinition)]
    blocks = plants if diagnostic.fix == "add a line to the plant" else [*filter(_is_block, path)]
    for node in blocks[-1:]:
        yield Fix(f"add `{line}`", (_with_line(node, line),), True)


def _naming_sieves(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    line = _CODE.findall(diagnostic.help)[1]
    library = "std.sieves"
    for node in nodes_at(snapshot.file, diagnostic.span.start):
        if isinstance(node, tree.PlantDefinition):
            uses = [s.target.span.text for s in snapshot.file.statements if isinstance(s, tree.Use)]
            used = () if library in uses else (use_line(snapshot, library),)
            yield Fix(f"add `{line}`", (*used, _with_line(node, line)), True)


def _is_block(node: tree.Node) -> TypeGuard[_Block]:
    """Whether a node is a statement whose block may take another line."""
    return isinstance(node, tree.Declaration | tree.PlantDefinition | tree.Operation) or (
        isinstance(node, tree.Definition) and node.body is not None
    )


def _declaration_at(snapshot: Snapshot, offset: int) -> tree.Declaration | None:
    """The declaration whose name is at an offset."""
    symbol = snapshot.names.at(snapshot.name, offset)
    if symbol is None:
        return None
    nodes = (n for n in symbol.symbol.nodes if isinstance(n, tree.Declaration))
    return next((n for n in nodes if n.name.span.start == offset), None)


def _with_line(node: _Block, line: str) -> Edit:
    """Add a line to a block, after its last; or a block if there is none."""
    source, text, body = node.span.source, node.span.text, node.body or ()
    if "{" not in text:
        return _insert(source, node.span.end, f" {{ {line} }}")
    if body:
        last = body[-1].span
        if "\n" not in text:
            return _insert(source, last.end, f"; {line}")
        rest = _REST.match(source.text, last.end)
        end = rest.end() if rest is not None else last.end
        return _insert(source, end, f"\n{' ' * (last.column - 1)}{line}")
    opened = node.span.start + text.rindex("{") + 1
    if "\n" not in text and text.endswith("}"):
        return Edit(source.name, opened, node.span.end - 1, f" {line} ")
    return _insert(source, opened, f"\n{' ' * (node.span.column + 1)}{line}")


def _with_argument(node: tree.Declaration, argument: str) -> Edit | None:
    """Add an argument to a declaration."""
    if node.of is None:
        return None
    source = node.span.source
    if node.arguments:
        return _insert(source, node.arguments[-1].span.end, f", {argument}")
    end = node.of.span.end
    opened = _OPENED.match(source.text, end)
    return _insert(source, opened.end() if opened else end, argument if opened else f"({argument})")


def _insert(source: Source, place: int, text: str) -> Edit:
    return Edit(source.name, place, place, text)


def _using(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """Libraries of the compiler that the file does not use yet."""
    for library in library_names():
        if library.rpartition(".")[2] == diagnostic.span.text:
            yield Fix(f"add `use {library}`", (use_line(snapshot, library),), False)


def use_line(snapshot: Snapshot, library: str) -> Edit:
    """Add a `use`, after the file's last or otherwise at its top."""
    uses = [s for s in snapshot.file.statements if isinstance(s, tree.Use)]
    if not uses:
        return _insert(snapshot.source, 0, f"use {library}\n")
    return _insert(snapshot.source, uses[-1].span.end, f"\nuse {library}")


def _removing(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A `use` that nothing uses, with its line."""
    span, text = diagnostic.span, diagnostic.span.source.text
    alone = text[text.rfind("\n", 0, span.start) + 1 : span.start].strip() == ""
    after = text.find("\n", span.end)
    end = after + 1 if alone and after >= 0 and not text[span.end : after].strip() else span.end
    yield _fix("remove the line", diagnostic, span.start, end, "")


_BY_FIX: dict[str, Callable[[Snapshot, Diagnostic], Iterator[Fix]]] = {
    **dict.fromkeys(("replace", "choose a member"), _replacing),
    **dict.fromkeys(("rewrite", "quote"), _rewriting),
    "append a unit": _with_unit,
    "close the text": _closing_text,
    "close the block": _closing_block,
    **dict.fromkeys(("add a setting", "add an argument"), _adding),
    **dict.fromkeys(("add a line", "add a line to the plant"), _stating),
    "add sieves": _naming_sieves,
    "use a library": _using,
    "remove a use": _removing,
}
