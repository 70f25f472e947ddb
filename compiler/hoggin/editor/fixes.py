"""Quick-fixes: what a diagnostic offers to do, as edits.

Each message declares its fix (`diagnostics/fault.py`); the words to work with stand in backticks in
its help. Of several proposals those are left that the checker takes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from hoggin.check.checker import check
from hoggin.diagnostics.diagnostic import Diagnostic
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
_STILL_MISSING = ("E0402", "E0407")  # what a right word may bring to light
_MOST = 12


_Block = tree.Declaration | tree.PlantDefinition | tree.Definition


@dataclass(frozen=True, slots=True)
class Fix:
    title: str
    edits: tuple[Edit, ...]
    sure: bool  # the one there is


def fixes(snapshot: Snapshot, diagnostic: Diagnostic) -> tuple[Fix, ...]:
    """What may be done about a diagnostic of the snapshot's own file."""
    if diagnostic.span.source.name != snapshot.name:
        return ()
    found = [*_using(snapshot, diagnostic), *_replacing(diagnostic), *_with_unit(diagnostic)]
    found += [*_marked(diagnostic), *_closing(snapshot, diagnostic), *_adding(snapshot, diagnostic)]
    found += [*_stating(snapshot, diagnostic), *_removing(diagnostic)]
    return tuple(found[:_MOST])


def tried(project: Project, snapshot: Snapshot, diagnostic: Diagnostic) -> tuple[Fix, ...]:
    """The same; where there are several, each is tried out, and one that brings another fault is
    left out. The one that is left is sure."""
    found = fixes(snapshot, diagnostic)
    if len(found) < 2 or any(fix.sure for fix in found):
        return found
    before = {(d.code, d.message) for d in snapshot.checked.diagnostics}
    left = [fix for fix in found if not _brings(project, snapshot, fix) - before]
    return (replace(left[0], sure=True),) if len(left) == 1 else tuple(left)


def _brings(project: Project, snapshot: Snapshot, fix: Fix) -> set[tuple[str, str]]:
    """The errors that the text has with a fix in it, but for what is still missing."""
    texts = {snapshot.path: applied(snapshot.source.text, fix.edits)}
    world = OpenWorld(snapshot.path, {**project.texts, **texts})
    return {
        (found.code, found.message)
        for found in check(world, world.open_main(), project.reader).diagnostics
        if found.is_error and found.code not in _STILL_MISSING
    }


def _fix(diagnostic: Diagnostic, title: str, start: int, end: int, text: str, sure: bool) -> Fix:
    return Fix(title, (Edit(diagnostic.span.source.name, start, end, text),), sure)


def _replacing(diagnostic: Diagnostic) -> Iterator[Fix]:
    """The wrong word is the end of the blamed text that the message names."""
    if diagnostic.fix not in ("replace", "choose a member"):
        return
    written, end = diagnostic.span.text, diagnostic.span.end
    named = [word for word in _CODE.findall(diagnostic.message) if written.endswith(word)]
    right = _CODE.findall(diagnostic.help)
    if not named or not written:
        return
    wrong = max(named, key=len)
    if diagnostic.fix == "choose a member":
        right = [f"{wrong}.{word}" for word in right if word not in sized_names()]
    for word in right:
        if word != wrong:
            title = f"change `{wrong}` to `{word}`"
            sure = len(right) == 1
            yield _fix(diagnostic, title, end - len(wrong), end, word, sure)


def _with_unit(diagnostic: Diagnostic) -> Iterator[Fix]:
    """A number that lacks its unit."""
    bare = re.fullmatch(r"[0-9.eE+-]+", diagnostic.span.text)
    if diagnostic.fix != "append a unit" or bare is None:
        return
    end = diagnostic.span.end
    for unit in _CODE.findall(diagnostic.help):
        yield _fix(diagnostic, f"write it in {unit}", end, end, f" {unit}", False)


def _marked(diagnostic: Diagnostic) -> Iterator[Fix]:
    """A share that lacks its `%`, or a text that lacks its quotes."""
    written = diagnostic.span.text
    if diagnostic.fix == "rewrite":
        text = _CODE.findall(diagnostic.help)[0]
    elif diagnostic.fix == "quote" and '"' not in written:
        text = f'"{written}"'
    else:
        return
    yield _fix(
        diagnostic, f"write `{text}`", diagnostic.span.start, diagnostic.span.end, text, True
    )


def _closing(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    if diagnostic.fix == "close the text":
        end = diagnostic.span.end
        yield _fix(diagnostic, "close the text", end, end, '"', True)
    if diagnostic.fix == "close the block":
        end = len(snapshot.source.text)
        last = "" if snapshot.source.text.endswith("\n") else "\n"
        yield _fix(diagnostic, "close the block", end, end, f"{last}}}\n", True)


def _adding(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A setting in the machine's block, or a parameter in its brackets, that is missing."""
    if diagnostic.fix not in ("add a setting", "add an argument"):
        return
    is_setting = diagnostic.fix == "add a setting"
    name = _CODE.findall(diagnostic.message)[0]
    node = declaration_at(snapshot, diagnostic.span.start)
    if node is None:
        return
    words = _WORDS.match(diagnostic.help)
    number = _NUMBER.match(diagnostic.help)
    values = words.group(1).split(" | ") if words else [number.group(1)] if number else []
    for value in values:
        line = f"{name} {value}" if is_setting else f"{name}: {value}"
        edit = with_line(node, line) if is_setting else with_argument(node, name, value)
        if edit is not None:
            yield Fix(f"add `{line}`", (edit,), len(values) == 1)


def _stating(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A line that a block has to hold, where the help writes it whole."""
    if diagnostic.fix == "add sieves":
        yield from _naming_sieves(snapshot, diagnostic)
        return
    if diagnostic.fix not in ("add a line", "add a line to the plant"):
        return
    line = _CODE.findall(diagnostic.help)[0]
    path = nodes_at(snapshot.file, diagnostic.span.start)
    plants = [n for n in path if isinstance(n, tree.PlantDefinition)]
    blocks = plants if diagnostic.fix == "add a line to the plant" else [*map(_as_block, path)]
    node = next((one for one in reversed(blocks) if one is not None), None)
    if node is not None:
        yield Fix(f"add `{line}`", (with_line(node, line),), True)


def _naming_sieves(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    line = _CODE.findall(diagnostic.help)[1]
    library = "std.sieves"
    for node in nodes_at(snapshot.file, diagnostic.span.start):
        if isinstance(node, tree.PlantDefinition):
            uses = [s.target.span.text for s in snapshot.file.statements if isinstance(s, tree.Use)]
            used = () if library in uses else (use_line(snapshot, library),)
            yield Fix(f"add `{line}`", (*used, with_line(node, line)), True)


def _as_block(node: tree.Node) -> _Block | None:
    """A node, where it is a statement whose block may take another line."""
    if isinstance(node, tree.Declaration | tree.PlantDefinition):
        return node
    return node if isinstance(node, tree.Definition) and node.body is not None else None


def declaration_at(snapshot: Snapshot, offset: int) -> tree.Declaration | None:
    """The declaration whose name stands at an offset."""
    symbol = snapshot.names.at(snapshot.name, offset)
    if symbol is None:
        return None
    nodes = (n for n in symbol.symbol.nodes if isinstance(n, tree.Declaration))
    return next((n for n in nodes if n.name.span.start == offset), None)


def with_line(node: _Block, line: str) -> Edit:
    """A line more in a block, after its last; a block for what has none."""
    source, text, body = node.span.source, node.span.text, node.body or ()
    if "{" not in text:
        return Edit(source.name, node.span.end, node.span.end, f" {{ {line} }}")
    if body:
        last = body[-1].span
        if "\n" not in text:
            return Edit(source.name, last.end, last.end, f"; {line}")
        rest = _REST.match(source.text, last.end)
        end = rest.end() if rest is not None else last.end
        return Edit(source.name, end, end, f"\n{' ' * (last.column - 1)}{line}")
    opened = node.span.start + text.rindex("{") + 1
    if "\n" not in text and text.endswith("}"):
        return Edit(source.name, opened, node.span.end - 1, f" {line} ")
    return Edit(source.name, opened, opened, f"\n{' ' * (node.span.column + 1)}{line}")


def with_argument(node: tree.Declaration, name: str, value: str) -> Edit | None:
    """An argument more in the brackets of a declaration."""
    if node.of is None:
        return None
    source = node.span.source
    if node.arguments:
        end = node.arguments[-1].span.end
        return Edit(source.name, end, end, f", {name}: {value}")
    end = node.of.span.end
    after = source.text[end:]
    opened = re.match(r"[ \t]*\(", after)
    if opened:
        return Edit(source.name, end + opened.end(), end + opened.end(), f"{name}: {value}")
    return Edit(source.name, end, end, f"({name}: {value})")


def _using(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """Libraries of the compiler that the file does not use yet."""
    if diagnostic.fix != "use a library":
        return
    name = diagnostic.span.text
    for library in library_names():
        if library.rpartition(".")[2] == name:
            edit = use_line(snapshot, library)
            yield Fix(f"add `use {library}`", (edit,), False)


def use_line(snapshot: Snapshot, library: str) -> Edit:
    """A `use` more, after the file's last or else at its top."""
    uses = [s for s in snapshot.file.statements if isinstance(s, tree.Use)]
    if not uses:
        return Edit(snapshot.name, 0, 0, f"use {library}\n")
    end = uses[-1].span.end
    return Edit(snapshot.name, end, end, f"\nuse {library}")


def _removing(diagnostic: Diagnostic) -> Iterator[Fix]:
    """A `use` that nothing uses, with its line."""
    span = diagnostic.span
    if diagnostic.fix != "remove a use":
        return
    text = span.source.text
    alone = text[text.rfind("\n", 0, span.start) + 1 : span.start].strip() == ""
    after = text.find("\n", span.end)
    end = after + 1 if alone and after >= 0 and not text[span.end : after].strip() else span.end
    yield _fix(diagnostic, "remove the line", span.start, end, "", True)
