"""Proposals that reach other things of the plant: ends of routes, and results by name."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.check.quantities import QUANTITIES
from hoggin.check.units import Dimension, trade_unit
from hoggin.editor.asking import Asking, Item, keywords
from hoggin.editor.expecting import expected
from hoggin.editor.values_at import lets
from hoggin.editor.walk import SIZED


def sources(asking: Asking) -> Iterator[Item]:
    """What a route may start from."""
    for symbol in asking.scope.things.values():
        for outlet in asking.outlets(symbol):
            name = f"{symbol.name}.{outlet}" if outlet else symbol.name
            yield Item(name, "variable", symbol.kind)


def targets(asking: Asking) -> Iterator[Item]:
    line = asking.cursor.line
    if line[-1].kind == "ARROW":
        for symbol in asking.scope.things.values():
            for inlet in asking.inlets(symbol):
                yield Item(
                    f"{symbol.name}.{inlet}" if inlet else symbol.name, "variable", symbol.kind
                )
        yield from keywords(("product",))
    elif line[-1].kind == "DOT":
        path = asking.cursor.path or ()
        section = asking.scope.things.get(path[0]) if path else None
        if section is not None and section.kind == "section":
            ports = (
                p for p in asking.snapshot.names.members(section).values() if p.kind == "in port"
            )
            yield from (Item(port.name, "property", port.kind) for port in ports)


def outlets_after_dot(asking: Asking) -> Iterator[Item]:
    path = asking.cursor.path or ()
    symbol = asking.scope.things.get(path[0]) if path else None
    inner = "".join(f"{part}." for part in path[1:])
    for outlet in asking.outlets(symbol) if symbol is not None else ():
        if outlet and outlet.startswith(inner):
            yield Item(outlet.removeprefix(inner), "property", "outlet")


def results(asking: Asking) -> Iterator[Item]:
    cursor = asking.cursor
    kind = cursor.line[0].kind
    line, path = cursor.line, cursor.path
    before = cursor.words_before_path
    if before and before[-1].kind == "MEETS":
        yield from asking.of_kind("band")
        return
    if path is not None:
        yield from _results_of(asking, path)
        return
    if kind == "AIM" and len(line) == 1:
        yield from keywords(("most", "least"))
        return
    if line[-1].kind in ("REQUIRE", "AND", "SIGN", "STAR", "SLASH", "BETWEEN") or (
        kind == "AIM" and len(line) == 2
    ):
        for symbol in asking.scope.things.values():
            if not symbol.kind.endswith(" port"):
                yield Item(symbol.name, "variable", symbol.kind)
        yield Item("plant", "keyword", "the whole plant")
        return
    if line[-1].kind == "COMPARISON" or line[-1].kind == "AND":
        yield from lets(asking, expected(asking))
    elif kind == "REQUIRE" and line[-1].kind in ("NAME", "RPAR"):
        yield from _limits(asking)


def _results_of(asking: Asking, path: tuple[str, ...]) -> Iterator[Item]:
    kind, symbol = asking.subject(path)
    if symbol is not None and symbol.kind in ("section", "screen"):
        for inner in asking.snapshot.names.members(symbol).values():
            if not inner.kind.endswith(" port"):
                yield Item(inner.name, "property", inner.kind)
    for name, dimension in QUANTITIES.get(kind, {}).items():
        text = f"{name}(5 mm)" if name in SIZED else name
        yield Item(name, "property", _unit(dimension), insert=text)


def _limits(asking: Asking) -> Iterator[Item]:
    line = asking.cursor.line
    if len(line) == 2 and (symbol := asking.scope.things.get(line[1].text)) is not None:
        if symbol.kind == "product":
            yield from keywords(("meets",))
        return
    dimension = expected(asking)
    unit = _unit(dimension) if dimension is not None else ""
    sample = f"1 {unit}".rstrip()
    for words in (f"<= {sample}", f">= {sample}"):
        yield Item(words[:2], "operator", "", insert=words)
    yield Item("between", "operator", "", insert=f"between {sample} and {sample}")


def _unit(dimension: Dimension) -> str:
    found = trade_unit(dimension)
    return "" if found is None or found[0].name == "number" else found[0].name
