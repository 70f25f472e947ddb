"""What `pip install` brings along is all that the commands import."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

TOP = Path(__file__).parents[1]
OPTIONAL = {"distributed", "pandas", "polars"}  # for users of Python and of clusters
PARTS = {"attrs", "cattrs", "lsprotocol", "markupsafe", "pydantic_core"}  # of pygls and others


def test_every_imported_package_is_installed_with_hoggin() -> None:
    project = tomllib.loads((TOP / "pyproject.toml").read_text())["project"]
    installed = {re.split(r"[<>=;\s]", line)[0].lower() for line in project["dependencies"]}
    distributions = packages_distributions()
    missing = {
        name
        for file in (TOP / "compiler/hoggin").rglob("*.py")
        for name in imported(ast.parse(file.read_text(encoding="utf-8")))
        if name not in sys.stdlib_module_names | OPTIONAL | PARTS | {"hoggin"}
        if not installed & {one.lower() for one in distributions.get(name, [name])}
    }
    assert missing == set()


def imported(tree: ast.Module) -> set[str]:
    """The top packages that a module imports, those imported when they are needed included."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {one.name.split(".")[0] for one in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            found.add(node.module.split(".")[0])
    return found
