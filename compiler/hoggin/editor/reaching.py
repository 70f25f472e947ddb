"""Proposals of other things in the plant: ends of routes, and results by name."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from hoggin.check.meanings import KEYWORDS
from hoggin.editor.asking import Asking, Item, keywords
from hoggin.editor.case_lines import cases_named
from hoggin.editor.cursor import Words
from hoggin.editor.names import Symbol
from hoggin.editor.values_at import asked_result, expected, lets
from hoggin.schema.asked import asked, sized_names
from hoggin.schema.kinds import KINDS
from hoggin.schema.units import LENGTH, in_currency, number_text

_BEFORE_THING = ("REQUIRE", "AND", "SIGN", "STAR", "SLASH")


def sources(asking: Asking) -> Iterator[Item]:
    """The possible starts of a route."""
    return _ends(asking, asking.outlets)


def _ends(asking: Asking, of: Callable[[Symbol], list[str]]) -> Iterator[Item]:
    for symbol in asking.scope.things.values():
        for end in of(symbol):
            name = f"{symbol.name}.{end}" if end else symbol.name
            yield Item(name, "variable", symbol.kind)


def targets(asking: Asking) -> Iterator[Item]:
    line = asking.cursor.line
    if line[-1].kind == "ARROW":
        yield from _ends(asking, asking.inlets)
        yield from keywords(("product",))
    elif line[-1].kind == "DOT":
        path = asking.cursor.path or ()
        section = asking.scope.things.get(path[0]) if path else None
        if section is not None and section.kind == "section":
            yield from (Item(inlet, "property", "in port") for inlet in asking.inlets(section))


def outlets_after_dot(asking: Asking) -> Iterator[Item]:
    path = asking.cursor.path or ()
    symbol = asking.scope.things.get(path[0]) if path else None
    inner = "".join(f"{part}." for part in path[1:])
    for outlet in asking.outlets(symbol) if symbol is not None else ():
        if outlet and outlet.startswith(inner):
            yield Item(outlet.removeprefix(inner), "property", "outlet")


def results(asking: Asking) -> Iterator[Item]:
    """What follows in a `require`, `maximize` or `minimize`."""
    line, path, before = asking.cursor.line, asking.cursor.path, asking.cursor.words_before_path
    if any(token.kind == "MEETS" for token in before):
        if before[-1].kind == "MEETS":
            yield from asking.of_kind("band")
    elif _among_cases(line):
        yield from cases_named(asking)
    elif path is not None:
        yield from _results_of(asking, path)
    elif _wants_number(line):
        yield from lets(asking, expected(asking))
    elif line[-1].kind in _BEFORE_THING or (line[0].kind == "AIM" and len(line) == 1):
        yield from _things(asking)
    elif line[0].kind == "REQUIRE" and line[-1].kind == "MEASURE":
        yield from _joined(asking)
    elif line[0].kind == "REQUIRE" and line[-1].kind in ("NAME", "RPAR"):
        yield from _limits(asking)


def _among_cases(line: Words) -> bool:
    """Whether the line continues with a case: `in `, `in wet, `."""
    words = [token.text for token in line]
    return line[0].kind == "REQUIRE" and "in" in words and words[-1] in ("in", ",")


def _wants_number(line: Words) -> bool:
    """Whether a limit belongs here: after a comparison, or as an end of a range."""
    last = line[-1].kind
    return last in ("COMPARISON", "WITHIN", "TO")


def _things(asking: Asking) -> Iterator[Item]:
    """What has results."""
    for symbol in asking.scope.things.values():
        if not symbol.kind.endswith(" port"):
            yield Item(symbol.name, "variable", symbol.kind)
    yield Item("plant", "keyword", "the whole plant")


def _results_of(asking: Asking, path: tuple[str, ...]) -> Iterator[Item]:
    kind, symbol = asking.subject(path)
    if symbol is not None and (symbol.kind == "section" or _is_decked(symbol.kind)):
        for inner in asking.snapshot.names.members(symbol).values():
            if not inner.kind.endswith(" port"):
                yield Item(inner.name, "property", inner.kind)
    if symbol is not None and symbol.kind in KINDS:
        for outlet in filter(None, asking.outlets(symbol)):
            yield Item(outlet, "property", "outlet")
    for name, one in asked(kind).items():
        text = f"{name}(5 mm)" if one.sized else name
        unit = in_currency(one.unit, asking.currency)
        yield Item(name, "property", "; ".join(filter(None, (one.meaning, unit))), insert=text)


def _is_decked(kind: str) -> bool:
    return kind in KINDS and KINDS[kind].decked


def _limits(asking: Asking) -> Iterator[Item]:
    line = asking.cursor.line
    if len(line) == 2 and (symbol := asking.scope.things.get(line[1].text)) is not None:
        if symbol.kind == "product":
            yield from keywords(("meets",))
        return
    result = asked_result(asking)
    unit = "" if result is None else in_currency(result.unit, asking.currency)
    low, high = ("50 %", "100 %") if unit == "%" else (f"1 {unit}".rstrip(), f"2 {unit}".rstrip())
    for sign, words, sample in (("<=", "at most", high), (">=", "at least", low)):
        yield Item(sign, "operator", words, insert=f"{sign} {sample}", hole=sample)
    sample = f"{low} to {high}"
    yield Item("within", "operator", KEYWORDS["within"], f"within {sample}", hole=sample)


def _joined(asking: Asking) -> Iterator[Item]:
    """What may follow a limit: the upper one of two, or another condition."""
    signs = [token.kind for token in asking.cursor.line]
    limits = [place for place, kind in enumerate(signs) if kind in ("WITHIN", "COMPARISON")]
    if not limits:
        return
    if signs[limits[-1]] == "WITHIN" and "TO" not in signs[limits[-1] :]:
        yield Item("to", "keyword", "the upper limit")
    else:
        yield Item("and", "keyword", "another limit")
        if any(cases_named(asking)):
            yield Item("in", "keyword", "the cases in which it applies")


def sizes(asking: Asking) -> Iterator[Item]:
    """The plant's own sieves, if a result needs a size: `chips.passing(4 mm)`."""
    line = asking.cursor.line
    plant = asking.snapshot.plant
    of_size = line[-1].kind == "LPAR" and len(line) > 1 and line[-2].text in sized_names()
    for size in plant.sieves_mm if plant is not None and of_size else ():
        yield Item(f"{number_text(size)} mm", "number", "sieve of the plant")
    yield from lets(asking, LENGTH)
