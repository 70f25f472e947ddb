"""The build's hash: the same for the same sources wherever they lie, another for any other."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import hoggin.build
from hoggin.world import standard_library

ROOT = Path(__file__).parents[1]


@pytest.fixture
def clone(tmp_path: Path) -> Path:
    """Another clone of the compiler, with its library."""
    ignored = shutil.ignore_patterns("__pycache__")
    package = Path(hoggin.build.__file__).parent
    shutil.copytree(package, tmp_path / "compiler" / "hoggin", ignore=ignored)
    shutil.copytree(standard_library(), tmp_path / "stdlib")
    return tmp_path


def _build(clone: Path) -> str:
    """As a process of the clone finds it."""
    code = "import hoggin.build; print(hoggin.build.build())"
    command = [sys.executable, "-B", "-c", code]
    environment = {"PYTHONPATH": str(clone / "compiler")}
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    return done.stdout.strip()


def test_another_clone_of_the_same_sources_is_the_same_build(clone: Path) -> None:
    assert _build(clone) == hoggin.build.build()


@pytest.mark.slow
def test_a_wheel_is_the_same_build_as_the_clone_that_it_is_made_from(clone: Path) -> None:
    """It has in the package what a clone has beside it."""
    package = clone / "compiler" / "hoggin"
    shutil.move(clone / "stdlib", package / "stdlib")
    for name in ("docs", "editor_support", "examples"):
        shutil.copytree(ROOT / name, package / name, ignore=shutil.ignore_patterns("node_modules"))
    assert _build(clone) == hoggin.build.build()


def test_line_ends_of_another_system_are_the_same_build(clone: Path) -> None:
    for path in (clone / "stdlib").rglob("*.hog"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert _build(clone) == hoggin.build.build()


@pytest.mark.parametrize(
    "name",
    [
        "compiler/hoggin/models/power.py",
        "compiler/hoggin/syntax/grammar.lark",
        "compiler/hoggin/rating/rate.py",
        "stdlib/cones.hog",
    ],
)
def test_any_other_text_of_the_compiler_or_its_library_is_another_build(
    clone: Path, name: str
) -> None:
    with (clone / name).open("a", encoding="utf-8") as file:
        file.write("\n# a word more\n")
    assert _build(clone) != hoggin.build.build()


def test_a_module_under_another_name_is_another_build(clone: Path) -> None:
    package = clone / "compiler" / "hoggin"
    (package / "mix.py").write_text("", encoding="utf-8")
    assert _build(clone) != hoggin.build.build()
