"""Plug-in packages for tests: the sample one, built and installed, and others as an installer
leaves them."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

HERE = Path(__file__).parent
PLANT = HERE / "plant.hog"


def install_sample(target: Path) -> None:
    """Build the sample package and install it into a folder, without a network."""
    pip = [sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    offline = ["--no-index", "--no-deps", "--no-build-isolation"]
    done = subprocess.run(
        [*pip, *offline, "--target", str(target), str(HERE / "sample")],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


def lay_out(
    target: Path, package: str, entries: Mapping[str, str], modules: Mapping[str, str]
) -> None:
    """A package as an installer leaves it: entry points as `group:name` -> object, and modules."""
    described = target / f"{package}-0.1.dist-info"
    described.mkdir(parents=True)
    (described / "METADATA").write_text(
        f"Metadata-Version: 2.1\nName: {package}\nVersion: 0.1\n", encoding="utf-8"
    )
    lines = []
    for name, leads_to in entries.items():
        group, _, called = name.partition(":")
        lines.append(f"[hoggin.{group}]\n{called} = {leads_to}\n")
    (described / "entry_points.txt").write_text("\n".join(lines), encoding="utf-8")
    for name, text in modules.items():
        (target / f"{name}.py").write_text(text, encoding="utf-8")


def hoggin(
    *arguments: str | Path, installed: Path | None = None
) -> subprocess.CompletedProcess[str]:
    """The command line in a process of its own, with the packages of a folder."""
    paths = [os.environ.get("PYTHONPATH", ""), str(installed or "")]
    return subprocess.run(
        [sys.executable, "-m", "hoggin", *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, paths))},
    )
