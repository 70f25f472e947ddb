"""What the page, the docstrings and the tutorial notebook show is run here."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
NOTEBOOK = ROOT / "docs" / "tutorial.ipynb"


@pytest.fixture(autouse=True)
def _in_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def test_the_page_shows_what_is_so() -> None:
    found = doctest.testfile(str(ROOT / "docs" / "python.md"), module_relative=False)
    assert found.attempted > 10
    assert not found.failed


@pytest.mark.parametrize("name", ["plant", "result", "comparison"])
def test_the_examples_of_docstrings_are_so(name: str) -> None:
    found = doctest.testmod(importlib.import_module(f"hoggin.api.{name}"))
    assert found.attempted
    assert not found.failed


def test_the_notebook_runs_and_is_kept_without_outputs() -> None:
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    assert not any(cell.outputs for cell in code)
    NotebookClient(notebook, timeout=120, resources={"metadata": {"path": ROOT}}).execute()
    shown = {kind for cell in code for out in cell.outputs for kind in out.get("data", {})}
    assert {"text/html", "text/markdown", "image/svg+xml"} <= shown
