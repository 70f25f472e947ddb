"""The examples in the models' docstrings are true. Their values are worked out by hand there, or
are those of the source that the docstring names."""

from __future__ import annotations

import doctest
import importlib
from pkgutil import iter_modules

import pytest

from hoggin import models

MODULES = [found.name for found in iter_modules(models.__path__)]
HELPERS = {"arrays", "catalog", "chamber", "entries", "model", "points", "two_term"}
"""They hold no process model of their own."""


@pytest.mark.parametrize("name", MODULES)
def test_every_module_of_process_models_has_examples_and_they_are_true(name: str) -> None:
    found = doctest.testmod(importlib.import_module(f"hoggin.models.{name}"))
    assert found.failed == 0
    assert found.attempted or name in HELPERS
