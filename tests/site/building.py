"""The site built by Sphinx, and checked before it takes its place."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.site.staging import ROOT, stage

_OF_THE_BUILD = (".buildinfo", ".doctrees", "objects.inv")


def build(folder: Path) -> None:
    """Build the site into a folder, which is replaced. A warning of Sphinx ends it: a link or an
    anchor that leads nowhere, for one."""
    with tempfile.TemporaryDirectory() as workshop:
        sources, built = stage(Path(workshop, "sources")), Path(workshop, "built")
        command = [sys.executable, "-m", "sphinx", "--quiet", "--fail-on-warning", "--keep-going"]
        command += ["--nitpicky", "--conf-dir", str(Path(__file__).parent)]
        command += ["--doctree-dir", str(Path(workshop, "trees")), str(sources), str(built)]
        paths = os.pathsep.join((str(ROOT), str(ROOT / "compiler")))
        if subprocess.run(command, cwd=ROOT, env={**os.environ, "PYTHONPATH": paths}).returncode:
            raise SystemExit("the site has faults and is not built")
        shutil.rmtree(folder, ignore_errors=True)
        folder.parent.mkdir(parents=True, exist_ok=True)
        shutil.copytree(built, folder)
