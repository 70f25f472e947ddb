"""Results are declared in `schema/` and nowhere else: no other module lists them by name."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

import hoggin
from hoggin.schema import results
from hoggin.schema.asked import meanings
from hoggin.schema.declared import results_of

PACKAGE = Path(hoggin.__file__).parent
_MOST = 2  # names of results in one literal, that are no list of them

ALLOWED = {
    "balance/circuit.py": "arguments of partition models: what a deck's feed is beside its sizes",
    "fit/parameters.py": "coefficients of a breakage model",
    "intake/products.py": "columns of a spreadsheet that state what a plant is to make",
    "report/mass_balance.py": "the columns of its tables, in their order; words and units derive",
    "report/package/book.py": "how each kind of cell is written",
    "report/package/sheet.py": "kinds of cells",
    "report/revised/tables.py": "what a drawing has room for",
}


def names() -> frozenset[str]:
    """Every result by the name it is asked for by, and by its field."""
    models = [
        model
        for model in vars(results).values()
        if isinstance(model, type) and issubclass(model, BaseModel)
    ]
    fields = {one.field for model in models for one in results_of(model)}
    return frozenset(meanings()) | fields


def literals(text: str) -> Iterator[tuple[int, set[str]]]:
    """The strings of every tuple, list, set and key of a dict, with the line it begins on."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Tuple | ast.List | ast.Set):
            parts: list[ast.expr] = node.elts
        elif isinstance(node, ast.Dict):
            parts = [key for key in node.keys if key is not None]
        else:
            continue
        constants = [part.value for part in parts if isinstance(part, ast.Constant)]
        yield node.lineno, {value for value in constants if isinstance(value, str)}


def lists_of_results(text: str) -> list[tuple[int, list[str]]]:
    known = names()
    return [
        (line, sorted(found & known))
        for line, found in literals(text)
        if len(found & known) > _MOST
    ]


def listing() -> dict[str, list[tuple[int, list[str]]]]:
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        name = path.relative_to(PACKAGE).as_posix()
        if not name.startswith("schema/") and (
            listed := lists_of_results(path.read_text(encoding="utf-8"))
        ):
            found[name] = listed
    return found


@pytest.mark.parametrize(
    "text",
    [
        'x = ("rate", "p80", "moisture")',
        'x = {"load": 1, "rate": 2, "power": 3}',
        'x = ["rate_t_h", "share_of_feed", "p80_mm"]',
    ],
)
def test_a_list_of_results_is_found(text: str) -> None:
    assert lists_of_results(text)


@pytest.mark.slow
def test_no_other_module_lists_results() -> None:
    assert {name: found for name, found in listing().items() if name not in ALLOWED} == {}


@pytest.mark.slow
def test_what_is_allowed_is_needed() -> None:
    """An entry that nothing needs any more would hide the next list."""
    assert ALLOWED.keys() - listing().keys() == set()
