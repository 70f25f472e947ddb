"""The wheel, built once, and a folder in which it is installed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def build_wheel(folder: Path) -> Path:
    """Without isolation, which would download the builder; as of one moment."""
    build = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    epoch = {**os.environ, "SOURCE_DATE_EPOCH": "1700000000"}
    subprocess.run([*build, "-w", str(folder), str(ROOT)], check=True, env=epoch)
    (made,) = folder.glob("hoggin-*.whl")
    return made


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_wheel(tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="session")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the package, on its own."""
    target = tmp_path_factory.mktemp("installed")
    install = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target"]
    subprocess.run([*install, str(target), str(wheel)], check=True, capture_output=True)
    return target


def run_installed(
    installed: Path, script: str, within: Path | None = None
) -> subprocess.CompletedProcess[str]:
    """A script with the package of a folder, in a process of its own."""
    alone = f"import sys; sys.path.insert(0, {str(installed)!r}); {script}"
    command = [sys.executable, "-c", alone]
    run = subprocess.run(command, cwd=within, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    return run
