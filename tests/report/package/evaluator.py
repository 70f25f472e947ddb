"""Formulas of a workbook worked out anew, apart from the code that wrote them.

The few functions are those of ECMA-376 part 1, 18.17.7 (from memory): SUM, MAX and MIN pass over
text and blanks of a range, SUMIF adds where its keys equal the wanted number, ROUND rounds halves
away from zero. Cutting the text into tokens is openpyxl's.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Iterable
from typing import Any

from openpyxl.formula import Tokenizer
from openpyxl.utils import range_boundaries


def _numbers(values: Iterable[Any]) -> list[float]:
    flat = [v for value in values for v in (value if isinstance(value, list) else [value])]
    return [v for v in flat if isinstance(v, int | float)]


def _sumif(keys: list[Any], wanted: float, values: list[Any]) -> float:
    return math.fsum(v for k, v in zip(keys, values, strict=True) if k == wanted)


def _round(value: float, digits: float) -> float:
    scale = math.pow(10.0, digits)
    return math.copysign(math.floor(abs(value) * scale + 0.5), value) / scale


FUNCTIONS: dict[str, Callable[..., Any]] = {
    "SUM": lambda *values: math.fsum(_numbers(values)),
    "SUMIF": _sumif,
    "ROUND": _round,
    "MAX": lambda *values: max(_numbers(values), default=0.0),
    "MIN": lambda *values: min(_numbers(values), default=0.0),
    "IF": lambda test, yes, no: yes if test else no,
}
OPERATORS: dict[str, tuple[int, Callable[[Any, Any], Any]]] = {
    "=": (1, operator.eq),
    "+": (2, operator.add),
    "-": (2, operator.sub),
    "*": (3, operator.mul),
    "/": (3, lambda a, b: a / b if b else math.nan),  # an IF asks before it takes it
}


class Evaluator:
    """Values of a workbook's cells, each worked out once from what is typed."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._known: dict[tuple[str, str], Any] = {}

    def value(self, sheet: str, cell: str) -> Any:
        key = sheet, cell
        if key not in self._known:
            found = self._book[sheet][cell]
            formula = found.data_type == "f"
            worked = _Formula(found.value, self, sheet).value() if formula else found.value
            self._known[key] = worked
        return self._known[key]

    def read(self, where: str, sheet: str) -> Any:
        """A cell, or a list of the cells of a range; a blank counts as 0."""
        if "!" in where:
            named, where = where.rsplit("!", 1)
            sheet = named.strip("'")
        where = where.replace("$", "")
        if ":" not in where:
            value = self.value(sheet, where)
            return 0.0 if value is None else value
        left, top, right, bottom = range_boundaries(where)
        rows = self._book[sheet].iter_rows(top, bottom, left, right)
        return [self.value(sheet, cell.coordinate) for row in rows for cell in row]


class _Formula:
    """One formula, read from left to right with the usual precedence."""

    def __init__(self, text: str, cells: Evaluator, sheet: str) -> None:
        items = Tokenizer(text).items
        self._tokens = [token for token in items if token.type != "WHITE-SPACE"]
        self._cells, self._sheet = cells, sheet

    def value(self) -> Any:
        worked = self._sum(0)
        assert not self._tokens, "something is left over"
        return worked

    def _sum(self, least: int) -> Any:
        left = self._operand()
        while self._tokens and self._tokens[0].type == "OPERATOR-INFIX":
            rank, work = OPERATORS[self._tokens[0].value]
            if rank <= least:
                break
            self._tokens.pop(0)
            left = work(left, self._sum(rank))
        return left

    def _operand(self) -> Any:
        token = self._tokens.pop(0)
        match token.type, token.subtype:
            case "OPERATOR-PREFIX", _:
                return -self._operand()
            case "OPERAND", "NUMBER":
                return float(token.value)
            case "OPERAND", "RANGE":
                return self._cells.read(token.value, self._sheet)
            case "FUNC", "OPEN":
                return FUNCTIONS[token.value.rstrip("(")](*self._arguments())
            case "PAREN", "OPEN":
                inner = self._sum(0)
                assert self._tokens.pop(0).subtype == "CLOSE"
                return inner
        raise AssertionError(f"a formula holds {token.value!r}")

    def _arguments(self) -> list[Any]:
        found = [self._sum(0)]
        while self._tokens.pop(0).type == "SEP":
            found.append(self._sum(0))
        return found
