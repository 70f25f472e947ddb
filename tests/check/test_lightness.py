"""Checking is for the editor and the commit: it must not drag in what only later phases need."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.check.reading import FIXTURES

pytestmark = pytest.mark.slow

_PROGRAM = """
import sys
from pathlib import Path
from hoggin.check.checker import check_file
assert check_file(Path(sys.argv[1])).plant is not None
print(*sorted({name.partition(".")[0] for name in sys.modules}))
"""


@pytest.mark.parametrize("library", ["numpy", "scipy", "jinja2", "graphviz", "xlsxwriter"])
def test_checking_a_plant_loads_no_heavy_library(library: str) -> None:
    file = FIXTURES / "good" / "closed_circuit.hog"
    command = [sys.executable, "-c", _PROGRAM, str(file)]
    loaded = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    assert "pydantic" in loaded
    assert library not in loaded
