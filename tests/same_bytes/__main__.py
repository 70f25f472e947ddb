"""Whether other Pythons make the documents of these examples with the same bytes as this one.

`python -m tests.same_bytes PYTHON...`; each has the packages that Hoggin depends on.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
PLANTS = ("cones", "seasons")  # of all kinds of documents; both differed between Pythons once
_HOGGIN = """import sys, hoggin
hoggin.__version__ = "0"  # each Python has it installed, perhaps from another commit
from hoggin.__main__ import main
sys.exit(main())"""
_MADE_WITH = "import numpy, platform; print(platform.python_version(), 'numpy', numpy.__version__)"


def main(others: list[str]) -> int:
    with tempfile.TemporaryDirectory() as folder:
        here = documents(sys.executable, Path(folder, "here"))
        print(f"{len(here)} documents, made with Python {made_with(sys.executable)}")
        differ = False
        for number, other in enumerate(others):
            there = documents(other, Path(folder, str(number)))
            changed = sorted(
                name for name in here.keys() | there.keys() if here.get(name) != there.get(name)
            )
            print(f"Python {made_with(other)}: {len(changed)} differ", *changed, sep="\n  ")
            differ |= bool(changed)
    return int(differ)


def documents(python: str, folder: Path) -> dict[str, bytes]:
    """Of both commands that write documents, by path. The cache is new: it holds layouts."""
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT / "compiler"),
        "XDG_CACHE_HOME": str(folder / "cache"),
    }
    for plant in PLANTS:
        for command in ("issue", "report"):
            made = folder / "made" / plant / command
            subprocess.run(
                [python, "-c", _HOGGIN, command, f"{plant}.hog", "--into", str(made)],
                cwd=ROOT / "examples",
                env=environment,
                stdout=subprocess.DEVNULL,
                check=True,
            )
    files = (path for path in (folder / "made").rglob("*") if path.is_file())
    return {path.relative_to(folder / "made").as_posix(): path.read_bytes() for path in files}


def made_with(python: str) -> str:
    return subprocess.run(
        [python, "-c", _MADE_WITH], capture_output=True, text=True, check=True
    ).stdout.strip()


if __name__ == "__main__":
    sys.exit(main([str(Path(python).absolute()) for python in sys.argv[1:]]))
