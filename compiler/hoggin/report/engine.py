"""The drawing engine: the Graphviz executable that comes with the `graphviz-pure` package."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from hoggin.errors import HogginError

NAME = "graphviz-pure"
PATIENCE_S = 120


def find() -> str:
    """The engine beside this Python, or on the path.

    Raises: HogginError if there is none.
    """
    suffix = ".exe" if os.name == "nt" else ""
    beside = Path(sys.executable).parent / f"{NAME}{suffix}"
    found = str(beside) if beside.is_file() else shutil.which(NAME)
    if found is None:
        raise HogginError(
            f"the drawing engine `{NAME}` is not beside {sys.executable} nor on the path: "
            f"install the Python package {NAME}"
        )
    return found


def draw(dot: str, form: str, *options: str, engine: str | None = None) -> bytes:
    """Lay out a DOT text and give it in the engine's output form: svg, png, plain, json.

    `engine` is another Graphviz executable to use, such as a system `dot`.
    Raises: HogginError if the engine is missing, refuses the text or takes too long.
    """
    command = [engine or find(), f"-T{form}", *options]
    try:
        done = subprocess.run(
            command, input=dot.encode(), capture_output=True, check=False, timeout=PATIENCE_S
        )
    except subprocess.TimeoutExpired as error:
        raise HogginError(
            f"the plant is too large for one flowsheet: the drawing engine had not laid it out "
            f"after {PATIENCE_S} s"
        ) from error
    except OSError as error:
        raise HogginError(f"the drawing engine {command[0]} did not run: {error}") from error
    if done.returncode != 0:
        said = done.stderr.decode(errors="replace").strip().splitlines()
        reason = said[0] if said else f"it stopped with code {done.returncode}"
        raise HogginError(f"the drawing engine could not draw the flowsheet: {reason}")
    return done.stdout
