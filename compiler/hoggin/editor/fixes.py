"""Quick-fixes: the fixes that a diagnostic offers, as edits.

Each message declares its fix (`diagnostics/fault.py`); the words for it are in backticks in its
help. Each is tried by the checker before it is offered.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice
from typing import TypeGuard

from hoggin.check.checker import check
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.editor.edits import CODE, Edit, Fix, applied, insertion
from hoggin.editor.project import Project
from hoggin.editor.reading import OpenWorld
from hoggin.editor.snapshot import Snapshot
from hoggin.editor.text_fixes import TEXT_FIXES
from hoggin.schema.asked import sized_names
from hoggin.syntax import tree
from hoggin.syntax.walk import nodes_at
from hoggin.world import library_names

_NUMBER = re.compile(r"add `[^`]+`, (.+?) to ")
_WORDS = re.compile(r"choose `\w+` from (.+)")
_REST = re.compile(r"[ \t]*#.*|[ \t]*$", re.MULTILINE)  # of a line: nothing, or a comment
_STILL_MISSING = ("E0402", "E0407")  # errors that a correct word may reveal
_OPENED = re.compile(r"[ \t]*\(")
_MOST = 12

_Block = tree.Declaration | tree.PlantDefinition | tree.Definition | tree.Operation | tree.Project


def fixes(snapshot: Snapshot, diagnostic: Diagnostic) -> tuple[Fix, ...]:
    """The fixes for a diagnostic of the snapshot's own file."""
    if diagnostic.span.source.name != snapshot.name or not diagnostic.fix:
        return ()
    return tuple(islice(_BY_FIX[diagnostic.fix](snapshot, diagnostic), _MOST))


def tried(project: Project, snapshot: Snapshot, diagnostic: Diagnostic) -> tuple[Fix, ...]:
    """The same, each tried: one is left out if the diagnostic stays, or if it causes another error
    on the same line or, where there are several, anywhere. If one is left, it is the preferred
    fix."""
    found = fixes(snapshot, diagnostic)
    before = {(d.code, d.message) for d in snapshot.checked.diagnostics}
    left = []
    for fix in found:
        after = _checked(project, snapshot, fix)
        brought = [
            found
            for found in after
            if found.is_error
            and found.code not in _STILL_MISSING
            and (found.code, found.message) not in before
            and (not fix.sure or (diagnostic.fix in TEXT_FIXES and _is_near(found, diagnostic)))
        ]
        if not brought and not any(_is_same(one, diagnostic, fix) for one in after):
            left.append(fix)
    return (replace(left[0], sure=True),) if len(left) == 1 else tuple(left)


def _is_near(one: Diagnostic, other: Diagnostic) -> bool:
    """Whether two diagnostics are on the same line."""
    return one.span.source.name == other.span.source.name and one.span.line == other.span.line


def _checked(project: Project, snapshot: Snapshot, fix: Fix) -> list[Diagnostic]:
    """The errors and warnings of the text with a fix applied."""
    texts = {snapshot.path: applied(snapshot.source.text, fix.edits)}
    world = OpenWorld(snapshot.path, {**project.texts, **texts})
    return list(check(world, world.open_main(), project.reader).diagnostics)


def _is_same(after: Diagnostic, before: Diagnostic, fix: Fix) -> bool:
    """Whether a diagnostic is still there, where the fix has moved it."""
    if (after.code, after.message) != (before.code, before.message):
        return False
    moves = (e for e in fix.edits if e.end <= before.span.start)
    moved = before.span.start + sum(len(e.text) - (e.end - e.start) for e in moves)
    return after.span.start == moved


def _fix(
    title: str, diagnostic: Diagnostic, start: int, end: int, text: str, *, sure: bool = True
) -> Fix:
    return Fix(title, (Edit(diagnostic.span.source.name, start, end, text),), sure)


def _replacing(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """The wrong word is the end of the blamed text that the message names."""
    written, end = diagnostic.span.text, diagnostic.span.end
    named = [word for word in CODE.findall(diagnostic.message) if written.endswith(word)]
    if not named:
        return
    wrong = max(named, key=len)
    right = CODE.findall(diagnostic.help)
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
        for unit in CODE.findall(diagnostic.help):
            yield _fix(f"write it in {unit}", diagnostic, end, end, f" {unit}", sure=False)


def _rewriting(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A share that lacks its `%`, or a text that lacks its quotes."""
    span = diagnostic.span
    is_quote = diagnostic.fix == "quote"
    text = f'"{span.text}"' if is_quote else CODE.findall(diagnostic.help)[0]
    if not (is_quote and '"' in span.text):
        yield _fix(f"write `{text}`", diagnostic, span.start, span.end, text)


def _adding(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A setting in the machine's block, or a parameter in its brackets, that is missing."""
    is_setting = diagnostic.fix == "add a setting"
    name = CODE.findall(diagnostic.message)[0]
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


def _moving(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A setting that is among the arguments, written in the machine's block."""
    source = diagnostic.span.source
    for node in nodes_at(snapshot.file, diagnostic.span.start):
        if not isinstance(node, tree.Declaration):
            continue
        for place, one in enumerate(node.arguments):
            if one.span.start <= diagnostic.span.start < one.span.end:
                first, last = one.span.start, one.span.end
                if place:
                    first = node.arguments[place - 1].span.end
                elif len(node.arguments) > 1:
                    last = node.arguments[1].span.start
                line = one.span.text.replace(":", "", 1)
                cut = Edit(source.name, first, last, "")
                yield Fix(f"move `{line}` to the block", (cut, _with_line(node, line)), True)


def _stating(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A line that a block must have, if the help contains it in full."""
    line = CODE.findall(diagnostic.help)[0]
    path = nodes_at(snapshot.file, diagnostic.span.start)
    plants = [n for n in path if isinstance(n, tree.PlantDefinition)]
    blocks = plants if diagnostic.fix == "add a line to the plant" else [*filter(_is_block, path)]
    for node in blocks[-1:]:
        yield Fix(f"add `{line}`", (_with_line(node, line),), True)


def _naming_sieves(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    line = CODE.findall(diagnostic.help)[1]
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
        return insertion(source, node.span.end, f" {{ {line} }}")
    if body:
        last = body[-1].span
        if "\n" not in text:
            return insertion(source, last.end, f"; {line}")
        rest = _REST.match(source.text, last.end)
        end = rest.end() if rest is not None else last.end
        return insertion(source, end, f"\n{' ' * (last.column - 1)}{line}")
    opened = node.span.start + text.rindex("{") + 1
    if "\n" not in text and text.endswith("}"):
        return Edit(source.name, opened, node.span.end - 1, f" {line} ")
    return insertion(source, opened, f"\n{' ' * (node.span.column + 1)}{line}")


def _with_argument(node: tree.Declaration, argument: str) -> Edit | None:
    """Add an argument to a declaration."""
    if node.of is None:
        return None
    source = node.span.source
    if node.arguments:
        return insertion(source, node.arguments[-1].span.end, f", {argument}")
    end = node.of.span.end
    opened = _OPENED.match(source.text, end)
    return insertion(
        source, opened.end() if opened else end, argument if opened else f"({argument})"
    )


def _using(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """Libraries of the compiler that the file does not use yet."""
    for library in library_names():
        if library.rpartition(".")[2] == diagnostic.span.text:
            yield Fix(f"add `use {library}`", (use_line(snapshot, library),), False)


def use_line(snapshot: Snapshot, library: str) -> Edit:
    """Add a `use`, after the file's last or otherwise at its top."""
    uses = [s for s in snapshot.file.statements if isinstance(s, tree.Use)]
    if not uses:
        return insertion(snapshot.source, 0, f"use {library}\n")
    return insertion(snapshot.source, uses[-1].span.end, f"\nuse {library}")


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
    **TEXT_FIXES,
    "move to the block": _moving,
    **dict.fromkeys(("add a setting", "add an argument"), _adding),
    **dict.fromkeys(("add a line", "add a line to the plant"), _stating),
    "add sieves": _naming_sieves,
    "use a library": _using,
    "remove a use": _removing,
}
