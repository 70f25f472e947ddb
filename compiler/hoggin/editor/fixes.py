"""Quick-fixes: what a diagnostic's own words propose, as edits.

The sentences of the checker put code in backticks. A help that names the right word (`did you
mean`, `known here`, `name one`, `write it in`) is taken at it, and so is one that says what to add.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.editor.edits import Edit
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax import tree
from hoggin.world import library_names

_CODE = re.compile(r"`([^`\n]+)`")
_CHOSEN = ("did you mean ", "known here: ", "name one: ")
_SETTING = re.compile(r"the (setting|parameter) `(\w+)` is missing")
_NUMBER = re.compile(r"add `[^`]+`, (.+?) to ")
_WORDS = re.compile(r"choose `\w+` from (.+)")
_MOST = 12


@dataclass(frozen=True, slots=True)
class Fix:
    title: str
    edits: tuple[Edit, ...]
    sure: bool  # the one there is


def fixes(snapshot: Snapshot, diagnostic: Diagnostic) -> tuple[Fix, ...]:
    """What may be done about a diagnostic of the snapshot's own file."""
    if diagnostic.span.source.name != snapshot.name:
        return ()
    found = [*_replacing(diagnostic), *_with_unit(diagnostic), *_closing(snapshot, diagnostic)]
    found += [*_adding(snapshot, diagnostic), *_using(snapshot, diagnostic)]
    found += [*_removing(diagnostic)]
    return tuple(found[:_MOST])


def _fix(diagnostic: Diagnostic, title: str, start: int, end: int, text: str, sure: bool) -> Fix:
    return Fix(title, (Edit(diagnostic.span.source.name, start, end, text),), sure)


def _replacing(diagnostic: Diagnostic) -> Iterator[Fix]:
    """The wrong word is the end of the blamed text that the message names."""
    if not diagnostic.help.startswith(_CHOSEN):
        return
    written, end = diagnostic.span.text, diagnostic.span.end
    named = [word for word in _CODE.findall(diagnostic.message) if written.endswith(word)]
    right = _CODE.findall(diagnostic.help)
    if not named or not written:
        return
    wrong = max(named, key=len)
    for word in right:
        if word != wrong:
            title = f"change `{wrong}` to `{word}`"
            sure = len(right) == 1
            yield _fix(diagnostic, title, end - len(wrong), end, word, sure)


def _with_unit(diagnostic: Diagnostic) -> Iterator[Fix]:
    """E0303: a number that lacks its unit."""
    if diagnostic.code != "E0303" or not re.fullmatch(r"[0-9.eE+-]+", diagnostic.span.text):
        return
    end = diagnostic.span.end
    for unit in _CODE.findall(diagnostic.help):
        yield _fix(diagnostic, f"write it in {unit}", end, end, f" {unit}", False)


def _closing(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    if diagnostic.code == "E0104":
        end = diagnostic.span.end
        yield _fix(diagnostic, "close the text", end, end, '"', True)
    if diagnostic.code == "E0103" and diagnostic.help == "add a `}`":
        end = len(snapshot.source.text)
        last = "" if snapshot.source.text.endswith("\n") else "\n"
        yield _fix(diagnostic, "close the block", end, end, f"{last}}}\n", True)


def _adding(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """E0402: a setting in the machine's block, or a parameter in its brackets, that is missing."""
    missing = _SETTING.match(diagnostic.message)
    if missing is None:
        return
    what, name = missing.groups()
    node = declaration_at(snapshot, diagnostic.span.start)
    if node is None:
        return
    words = _WORDS.match(diagnostic.help)
    number = _NUMBER.match(diagnostic.help)
    values = words.group(1).split(" | ") if words else [number.group(1)] if number else []
    for value in values:
        edit = (
            with_setting(node, name, value)
            if what == "setting"
            else with_argument(node, name, value)
        )
        if edit is not None:
            yield Fix(f"add `{name} {value}`", (edit,), len(values) == 1)


def declaration_at(snapshot: Snapshot, offset: int) -> tree.Declaration | None:
    """The declaration whose name stands at an offset."""
    symbol = snapshot.names.at(snapshot.name, offset)
    if symbol is None:
        return None
    nodes = (n for n in symbol.symbol.nodes if isinstance(n, tree.Declaration))
    return next((n for n in nodes if n.name.span.start == offset), None)


def with_setting(node: tree.Declaration, name: str, value: str) -> Edit:
    """A line more in a machine's block, after its last; a block where it has none."""
    source, end = node.span.source, node.span.end
    line = f"{name} {value}"
    if not node.span.text.endswith("}") or (node.of is not None and not _has_block(node)):
        return Edit(source.name, end, end, f" {{ {line} }}")
    if not node.body:
        opened = node.span.text.rindex("{") + node.span.start + 1
        return Edit(source.name, opened, end - 1, f" {line} ")
    last = node.body[-1].span
    if "\n" not in node.span.text:
        return Edit(source.name, last.end, last.end, f"; {line}")
    indent = " " * (last.column - 1)
    return Edit(source.name, last.end, last.end, f"\n{indent}{line}")


def _has_block(node: tree.Declaration) -> bool:
    return bool(node.body) or node.span.text.endswith("}")


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
    """E0201: a library of the compiler that the file does not use yet."""
    if diagnostic.code != "E0201":
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
    """W0101: a `use` that nothing uses, with its line."""
    span = diagnostic.span
    if diagnostic.code != "W0101" or not span.text.startswith("use"):
        return
    text = span.source.text
    alone = text[text.rfind("\n", 0, span.start) + 1 : span.start].strip() == ""
    after = text.find("\n", span.end)
    end = after + 1 if alone and after >= 0 and not text[span.end : after].strip() else span.end
    yield _fix(diagnostic, "remove the line", span.start, end, "", True)
