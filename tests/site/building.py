"""The site built by Sphinx, and checked before it takes its place."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.site.checks import faults
from tests.site.staging import ROOT, stage

_OF_THE_BUILD = (".buildinfo", "_sources", "*.map")  # no reader asks for them


def build(folder: Path) -> None:
    """Build the site into a folder, which is replaced. Any fault ends it, and every warning of
    Sphinx is one."""
    with tempfile.TemporaryDirectory() as workshop:
        pages, built = stage(Path(workshop, "sources")), Path(workshop, "built")
        command = [sys.executable, "-m", "sphinx", "--quiet", "--fail-on-warning", "--keep-going"]
        command += ["--nitpicky", "--conf-dir", str(Path(__file__).parent)]
        command += ["--doctree-dir", str(Path(workshop, "trees")), str(pages), str(built)]
        paths = os.pathsep.join((str(ROOT), str(ROOT / "compiler")))
        if subprocess.run(command, cwd=ROOT, env={**os.environ, "PYTHONPATH": paths}).returncode:
            raise SystemExit("the site has faults and is not built")
        finished = Path(workshop, "finished")
        shutil.copytree(built, finished, ignore=shutil.ignore_patterns(*_OF_THE_BUILD))
        if found := faults(contents(finished)):
            raise SystemExit("\n".join([*found, "the site has faults and is not built"]))
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(finished, folder)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, by its path below it."""
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}
