"""Quick-fixes of signs and words that can't be read: the text around the place shows what to write.

Each is a guess from the text alone; the checker decides whether it is offered (`fixes`).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.editor.edits import CODE, Edit, Fix, insertion, replacement
from hoggin.editor.names import Symbol
from hoggin.editor.snapshot import Snapshot
from hoggin.schema.kinds import DECK_ORDER
from hoggin.syntax import tree

_WORD_BEFORE = re.compile(r"\S+[ \t]+$")
_BLANKS_BEFORE = re.compile(r"[ \t]+$")
_COMMENT = re.compile(r"[/*-]+[ \t]*(?P<words>.*?)[ \t]*\*?/?[ \t]*$", re.MULTILINE)
_BACKWARDS = re.compile(r"[ \t]*(?P<line>[^#;{}\n]*?)[ \t]*(?=[#;{}\n]|$)")
_CALLED = re.compile(r"[ \t]*:[ \t]*(?P<path>[\w.]+)")
_NUMBER_SIGN = re.compile(r"(?:\b[Nn]o\.[ \t]*|#)[0-9]+$")
_CALL = re.compile(r"(?P<path>[\w.]+)[ \t]*\([ \t\n]*$")
_ARGUMENTS = re.compile(r"[^():;{}\n]+(?=\))")
_DECK = re.compile(r"\bdeck[ \t]+([a-z]\w*)")
_RANGE = re.compile(
    r"(?P<low>[0-9.]+[^-\n]*?)[ \t]*-[ \t]*(?P<high>[0-9.]+[^#;}\n]*?)[ \t]*(?=[#;}\n]|$)"
)
_ASKED = re.compile(r"(?P<words>[^0-9#;}\n]*?)[ \t]*(?=[0-9])")
_AT_LEAST = re.compile(r"(?:at )?least|above|over|min")
_AT_MOST = re.compile(r"(?:at )?most|below|under|max")


def _joined(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """The blamed word and the one before it, as the help writes them."""
    span, right = diagnostic.span, CODE.findall(diagnostic.help)[-1]
    before = _WORD_BEFORE.search(span.source.text, 0, span.start)
    if before is not None:
        yield replacement(span.source, before.start(), span.end, right)


def _without_quotes(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    span = diagnostic.span
    if re.fullmatch(r'"[A-Za-z_]\w*"', span.text):
        yield replacement(span.source, span.start, span.end, span.text.strip('"'))


def _straightened(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    span = diagnostic.span
    if len(span.text) > 1 and '"' not in span.text[1:-1]:
        yield replacement(span.source, span.start, span.end, f'"{span.text[1:-1]}"')


def _without_sign(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A sign that is left out, with the blanks before it where there are others after it."""
    span, text = diagnostic.span, diagnostic.span.source.text
    blanks = _BLANKS_BEFORE.search(text, 0, span.start)
    is_spaced = text[span.end : span.end + 1] in (" ", "\t", "\n", "")
    start = blanks.start() if blanks is not None and is_spaced else span.start
    edit = Edit(span.source.name, start, span.end, "")
    yield Fix(f"remove `{span.text}`", (edit,), True)


def _sized(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A sieve's number, as `No. 4` or `#4`, as its size: an entry of its list."""
    source, end = diagnostic.span.source, diagnostic.span.end
    found = _NUMBER_SIGN.search(source.text, 0, end)
    if found is not None:
        before = source.text[: found.start()].rstrip(" \t")
        size = CODE.findall(diagnostic.help)[0]
        text = size if before[-1:] in ("", "\n", "{", ",") else f", {size}"
        place = found.start() if text == size else len(before)
        yield replacement(source, place, end, text)


def _plain_space(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    span = diagnostic.span
    edit = Edit(span.source.name, span.start, span.end, " ")
    yield Fix("write a plain space", (edit,), True)


def _comment(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    source, start = diagnostic.span.source, diagnostic.span.start
    found = _COMMENT.match(source.text, start)
    if found is not None:
        edit = Edit(source.name, start, found.end(), f"# {found['words']}".rstrip())
        yield Fix("make it a comment", (edit,), True)


def _separated(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """The sign that the help names, behind what is before the blamed text."""
    span, sign = diagnostic.span, CODE.findall(diagnostic.help)[-1]
    place = len(span.source.text[: span.start].rstrip(" \t"))
    yield Fix(f"write `{sign}`", (insertion(span.source, place, sign),), True)


def _begun(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """The word that the help names, before the line's first."""
    source, word = diagnostic.span.source, CODE.findall(diagnostic.help)[0]
    start = _start_of_statement(source.text, diagnostic.span.start)
    yield Fix(f"write `{word}`", (insertion(source, start, f"{word} "),), True)


def _start_of_statement(text: str, place: int) -> int:
    before = max(text.rfind(sign, 0, place) for sign in "\n;{}") + 1
    return before + len(text[before:place]) - len(text[before:place].lstrip())


def _turned(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """`primary <- bars.over` the other way round."""
    source = diagnostic.span.source
    start = _start_of_statement(source.text, diagnostic.span.start)
    found = _BACKWARDS.match(source.text, start)
    if found is not None and ">" not in found["line"]:
        steps = [step.strip() for step in re.split(r"<-*", found["line"])]
        yield replacement(source, start, found.end("line"), " -> ".join(reversed(steps)))


def _with_kind(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """The kind of machine of the class that the line names."""
    source = diagnostic.span.source
    start = _start_of_statement(source.text, diagnostic.span.start)
    called = _CALLED.match(source.text, diagnostic.span.start)
    symbol = _symbol(snapshot, called["path"]) if called is not None else None
    match symbol.node if symbol is not None else None:
        case tree.ClassDefinition(kind=kind):
            word = kind.text
        case tree.TemplateDefinition():
            word = "section"
        case _:
            return
    yield Fix(f"write `{word}`", (insertion(source, start, f"{word} "),), True)


def _symbol(snapshot: Snapshot, path: str) -> Symbol | None:
    """The class or template of a dotted name."""
    symbol, known = None, snapshot.names.top(snapshot.name)
    for part in path.split("."):
        symbol = known.get(part)
        known = snapshot.names.members(symbol) if symbol is not None else {}
    return symbol


def _arguments_named(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """Values in brackets, given in the order of the parameters that the class needs."""
    source, start = diagnostic.span.source, diagnostic.span.start
    called = _CALL.search(source.text, 0, start)
    listed = _ARGUMENTS.match(source.text, start)
    symbol = _symbol(snapshot, called["path"]) if called is not None else None
    if symbol is None or listed is None:
        return
    members = snapshot.names.members(symbol).values()
    needed = [
        one.name
        for one in members
        if one.kind == "parameter" and getattr(one.node, "default", None) is None
    ]
    values = [value.strip() for value in listed[0].split(",")]
    if len(values) == len(needed):
        text = ", ".join(f"{n}: {v}" for n, v in zip(needed, values, strict=True))
        yield replacement(source, start, listed.end(), text)


def _deck_named(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """Each name that no other deck of the block has."""
    source, start = diagnostic.span.source, diagnostic.span.start
    opened, closed = source.text.rfind("{", 0, start), source.text.find("}", start)
    taken = _DECK.findall(source.text, opened + 1, closed if closed >= 0 else len(source.text))
    for name in DECK_ORDER:
        if name not in taken:
            yield Fix(f"name it `{name}`", (insertion(source, start, f"{name} "),), False)


def _compared(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A comparison in place of what is before a limit, or `within` for two limits."""
    source, start = diagnostic.span.source, diagnostic.span.start
    limits = _RANGE.match(source.text, start)
    if limits is not None:
        text = f"within {limits['low']} to {limits['high']}"
        yield replacement(source, start, limits.end("high"), text)
        return
    asked = _ASKED.match(source.text, start)
    if asked is None:
        return
    words = asked["words"].lower()
    signs = (
        ("<=",) if _AT_MOST.match(words) else (">=",) if _AT_LEAST.match(words) else ("<=", ">=")
    )
    for sign in signs:
        edit = Edit(source.name, start, asked.end(), f"{sign} ")
        yield Fix(f"write `{sign}`", (edit,), len(signs) == 1)


def _closed_here(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    """A brace after the last line of the block, which the note shows."""
    text, opened = diagnostic.span.source.text, diagnostic.span.start
    for note in diagnostic.notes:
        end = note.span.end
        if "\n" not in text[opened:end]:
            yield Fix("close the block", (insertion(note.span.source, end, " }"),), True)
            return
        line_start = text.rfind("\n", 0, opened) + 1
        indent = re.compile(r"[ \t]*").match(text, line_start)
        line_end = text.find("\n", end)
        place = line_end if line_end >= 0 else len(text)
        brace = f"\n{indent[0] if indent is not None else ''}}}"
        yield Fix("close the block", (insertion(note.span.source, place, brace),), True)


def _opened(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    edit = insertion(diagnostic.span.source, diagnostic.span.end, " {")
    yield Fix("open the block", (edit,), True)


def _closed_text(_: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    edit = insertion(diagnostic.span.source, diagnostic.span.end, '"')
    yield Fix("close the text", (edit,), True)


def _closed_at_end(snapshot: Snapshot, diagnostic: Diagnostic) -> Iterator[Fix]:
    text = snapshot.source.text
    last = "" if text.endswith("\n") else "\n"
    edit = insertion(diagnostic.span.source, len(text), f"{last}}}\n")
    yield Fix("close the block", (edit,), True)


TEXT_FIXES: Mapping[str, Callable[[Snapshot, Diagnostic], Iterator[Fix]]] = {
    "rewrite with the word before": _joined,
    "remove the quotes": _without_quotes,
    "straighten the quotes": _straightened,
    "remove the sign": _without_sign,
    "write the size": _sized,
    "write a space": _plain_space,
    "write a comment": _comment,
    "separate": _separated,
    "begin the line": _begun,
    "turn the route": _turned,
    "name the kind": _with_kind,
    "name the arguments": _arguments_named,
    "name the deck": _deck_named,
    "compare": _compared,
    "close the block here": _closed_here,
    "open the block": _opened,
    "close the text": _closed_text,
    "close the block": _closed_at_end,
}
