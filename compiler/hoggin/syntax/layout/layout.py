"""Lines to rows: their indent, kind and cells; and the whole text from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax.layout.alignment import Row, aligned
from hoggin.syntax.layout.lines import Line, lines_of
from hoggin.syntax.layout.spacing import holds_entries, texts
from hoggin.syntax.parser import parse
from hoggin.syntax.tokens import Token

_STEP = 2
_OPENS = ("LBRACE", "LPAR")
_CLOSES = ("RBRACE", "RPAR")


def laid_out(source: Source) -> str | Diagnostics:
    """The text in its one layout; the diagnostics of a text that can't be read whole."""
    diagnostics = Diagnostics()
    parse(source, diagnostics)
    if diagnostics.has_errors:
        return diagnostics
    rows = _rows(lines_of(source))
    bodies = aligned(rows)
    written: list[str] = []
    for place, (row, body) in enumerate(zip(rows, bodies, strict=True)):
        if row.spaced and place and not _hugs(rows[place - 1], row):
            written.append("")
        text = body if row.cells else row.comment
        written.append(" " * row.indent + text)
    return "".join(f"{line}\n" for line in written)


def _hugs(before: Row, row: Row) -> bool:
    """Whether no blank line may be between: after a `{`, or before a `}`."""
    return before.text.endswith(("{", "(")) or row.text.startswith(("}", ")"))


@dataclass(frozen=True)
class _Open:
    """An open bracket: where its line starts, where lines within it start, and what it holds."""

    kind: str
    outside: int
    inside: int
    entries: bool
    parameters: bool
    table: int = 0


def _rows(lines: Sequence[Line]) -> list[Row]:
    stack: list[_Open] = []
    rows = []
    for number, line in enumerate(lines):
        if not line.tokens:
            rows.append(Row(_indent(stack, None), "", [], comment=line.comment, spaced=line.spaced))
            continue
        indent = _indent(stack, line.tokens[0])
        within = stack[-1] if stack else None
        row = _row(line, indent, within)
        rows.append(row)
        _open_and_close(stack, line.tokens, lines[number + 1 :], row)
        table = _table(line.tokens, within, stack[-1] if stack else None)
        if table is not None:
            _take_entries(row, line.tokens, table, within)
    return rows


def _table(tokens: Sequence[Token], before: _Open | None, after: _Open | None) -> _Open | None:
    """The list of entries, of several lines, that a line has a part in."""
    kinds = [token.kind for token in tokens]
    if before is not None and before.entries:
        plain = not {"LBRACE", "LPAR"} & set(kinds) and kinds[0] != "RBRACE"
        return before if plain else None
    opened = after is not None and after is not before and after.entries and kinds[-1] != "LBRACE"
    return after if opened and "LPAR" not in kinds and kinds.count("LBRACE") == 1 else None


def _take_entries(row: Row, tokens: Sequence[Token], table: _Open, before: _Open | None) -> None:
    """Part a line into entries, and what is before and after them."""
    kinds = [token.kind for token in tokens]
    start = 0 if before is table else kinds.index("LBRACE") + 1
    end = kinds.index("RBRACE") if "RBRACE" in kinds else len(tokens)
    cuts = [i for i in range(start, end) if kinds[i] == "COMMA"]
    last_comma = cuts.pop() if cuts and cuts[-1] == end - 1 else end  # the line's end will do
    entries = []
    for first, last in pairwise([start - 1, *cuts, last_comma]):
        own = list(tokens[first + 1 : last])
        colon = next((i for i, token in enumerate(own) if token.kind == "COLON"), len(own) - 1)
        key, value = (_joined(part) for part in (own[: colon + 1], own[colon + 1 :]))
        entries.append((key, value))
    row.table, row.entries, row.kind = table.table, tuple(entries), ""
    row.around = (_joined(tokens[:start]), _joined(tokens[end:]))


def _joined(tokens: Sequence[Token]) -> str:
    return "".join(texts(tokens, parameters=False))


def _indent(stack: Sequence[_Open], first: Token | None) -> int:
    if not stack:
        return 0
    return stack[-1].outside if first is not None and first.kind in _CLOSES else stack[-1].inside


def _open_and_close(
    stack: list[_Open], tokens: Sequence[Token], below: Sequence[Line], row: Row
) -> None:
    """Follow a line's brackets. Lines after a bracket with words on its own line are indented under
    those words; else they are one step in."""
    written = texts(tokens, parameters=bool(stack) and stack[-1].parameters)
    column = indent = row.indent
    for place, token in enumerate(tokens):
        column += len(written[place])
        if token.kind in _OPENS:
            last = place == len(tokens) - 1
            inside = indent + _STEP if last else column + (token.kind == "LBRACE")
            behind = [*tokens[place + 1 :], *(t for line in below[:3] for t in line.tokens)]
            heads = token.kind == "LPAR" and tokens[0].kind in ("CLASS", "TEMPLATE")
            entries = token.kind == "LBRACE" and holds_entries(behind)
            stack.append(_Open(token.kind, indent, inside, entries, heads, table=token.start))
        elif token.kind in _CLOSES and stack:
            stack.pop()


def _row(line: Line, indent: int, within: _Open | None) -> Row:
    tokens = line.tokens
    parameters = within is not None and within.parameters
    written = texts(tokens, parameters=parameters)
    kind, cuts = _shape(tokens, within, parameters=parameters)
    cited = len(tokens)
    if kind == "fact" and len(tokens) > 3 and tokens[-2].kind == "SOURCE":
        cited = len(tokens) - 2
    bounds = [0, *cuts, cited]
    cells = ["".join(written[start:end]).strip() for start, end in pairwise(bounds)]
    return Row(
        indent,
        kind,
        cells,
        cited="".join(written[cited:]).strip(),
        comment=line.comment,
        spaced=line.spaced,
    )


def _shape(
    tokens: Sequence[Token], within: _Open | None, *, parameters: bool
) -> tuple[str, list[int]]:
    """What runs a line may be in, and before which of its tokens a column may be."""
    kinds = [token.kind for token in tokens]
    if within is not None and within.entries:
        return "", []
    if parameters:
        return ("parameter", [2]) if kinds[1:2] == ["COLON"] and len(kinds) > 2 else ("", [])
    if _stands_alone(kinds) or len(tokens) < 2:
        return "", []
    arrow = kinds.index("ARROW") if "ARROW" in kinds and "LBRACE" not in kinds else 0
    if arrow:
        return "route", [arrow]
    return _first_cells(kinds)


def _first_cells(kinds: Sequence[str]) -> tuple[str, list[int]]:
    match kinds[0]:
        case "NAME":
            end = 1
            while kinds[end : end + 2] == ["DOT", "NAME"]:
                end += 2
            if end < len(kinds) and kinds[end] not in ("COLON", "DOT", "LPAR"):
                return "fact", [end]
        case "DECK":
            plain = len(kinds) == 3 or kinds[3] in ("NAME", "LBRACE")  # no formula
            return "deck", [2, 3] if plain else [2]
        case "DIRECTION":
            return "port", [1, 2] if len(kinds) > 2 else [1]
        case "KIND":
            return "declaration", [1]
        case "PRODUCT" if "LBRACE" in kinds:
            return "product", [kinds.index("LBRACE")]
    return "", []


def _stands_alone(kinds: Sequence[str]) -> bool:
    """Whether a line holds several statements, leaves a bracket open, or closes one that an
    earlier line opened."""
    depth = 0
    for kind in kinds:
        depth += (kind in _OPENS) - (kind in _CLOSES)
        if depth < 0 or (depth == 0 and kind == "SEMICOLON"):
            return True
    return depth > 0
