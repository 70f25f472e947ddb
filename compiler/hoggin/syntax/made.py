"""Trees that were written by no one: what the compiler itself says in the language."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.source import Source, Span
from hoggin.syntax import tree

NOWHERE = Span(Source("", ""), 0, 0)


def ident(name: str) -> tree.Ident:
    return tree.Ident(NOWHERE, name)


def path(dotted: str) -> tree.Path:
    return tree.Path(NOWHERE, tuple(map(ident, dotted.split("."))))


def text(words: str) -> tree.Text:
    return tree.Text(NOWHERE, words)


def measure(number: float, unit: str) -> tree.Measure | tree.Number:
    """A number with its unit; a plain one where it has none."""
    return tree.Measure(NOWHERE, number, unit) if unit else tree.Number(NOWHERE, number)


def entry(
    key: tree.Expression, value: tree.Expression, upper: tree.Expression | None = None
) -> tree.Entry:
    return tree.Entry(NOWHERE, key, value, upper)


def row(entries: Iterable[tree.Entry]) -> tree.Row:
    return tree.Row(NOWHERE, tuple(entries))


def fact(name: str, value: tree.Expression) -> tree.Fact:
    return tree.Fact(NOWHERE, ident(name), value, None, None)


def listed(name: str, entries: Iterable[tree.Entry]) -> tree.Fact:
    return tree.Fact(NOWHERE, ident(name), None, tuple(entries), None)


def definition(keyword: str, name: str, body: Iterable[tree.Statement]) -> tree.Definition:
    return tree.Definition(NOWHERE, ident(keyword), ident(name), None, tuple(body))


def declaration(kind: str, name: str, body: Iterable[tree.Statement]) -> tree.Declaration:
    return tree.Declaration(NOWHERE, ident(kind), ident(name), None, (), tuple(body))


def use(file: str, alias: str) -> tree.Use:
    return tree.Use(NOWHERE, text(file), ident(alias), ())


def meets(product: str, band: str) -> tree.Requirement:
    return tree.Requirement(NOWHERE, tree.MeetsBand(NOWHERE, path(product), path(band)), ())


def limited(
    result: str, low: tree.Expression | None, high: tree.Expression | None
) -> tree.Requirement:
    """A result held to one limit or between two."""
    value = path(result)
    if low is not None and high is not None:
        limits = tree.Range(NOWHERE, low, high)
        return tree.Requirement(NOWHERE, tree.Within(NOWHERE, value, limits), ())
    limit = high if low is None else low
    if limit is None:
        raise ValueError(f"no limit of {result}")
    sign = "<=" if low is None else ">="
    return tree.Requirement(NOWHERE, tree.Comparison(NOWHERE, sign, value, limit), ())
