"""What a docstring lists as arguments are the function's own: the site shows them as such."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator
from importlib import import_module
from typing import Any

import pytest

import hoggin
from tests.site.staging import ROOT

_ARGUMENTS = re.compile(r"^Args:\n((?: {4}.*\n?)+)", re.MULTILINE)
_LISTED = re.compile(r"^ {4}(\S[^:\n]*):", re.MULTILINE)


def _functions() -> Iterator[tuple[str, Callable[..., Any]]]:
    names = (path.stem for path in sorted((ROOT / "compiler/hoggin/models").glob("[a-z]*.py")))
    holders: list[Any] = [import_module(f"hoggin.models.{name}") for name in names]
    holders += [getattr(hoggin, name) for name in hoggin.__all__]
    for holder in holders:
        home = getattr(holder, "__module__", holder.__name__)
        for name, found in [("", holder), *vars(holder).items()]:
            if inspect.isfunction(found) and found.__module__ == home and "Args:" in _text(found):
                yield f"{holder.__name__}.{name}", found


def _text(function: Callable[..., Any]) -> str:
    return inspect.getdoc(function) or ""


@pytest.mark.parametrize(("name", "function"), list(_functions()))
def test_the_arguments_that_a_docstring_lists_are_the_function_s(
    name: str, function: Callable[..., Any]
) -> None:
    section = _ARGUMENTS.search(_text(function))
    assert section is not None, name
    listed = [one.strip() for names in _LISTED.findall(section[1]) for one in names.split(",")]
    assert listed
    assert set(listed) <= set(inspect.signature(function).parameters)
