"""A git repository for tests, made and asked by real git."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path


class Repository:
    def __init__(self, root: Path) -> None:
        self.root = root
        self.git("init", "--quiet", "--initial-branch=main")

    def git(self, *arguments: str, check: bool = True) -> str:
        own = ["-c", "user.name=Tester", "-c", "user.email=tester@example.org"]
        done = subprocess.run(
            ["git", "-C", str(self.root), *own, *arguments],
            capture_output=True,
            text=True,
            check=check,
        )
        return done.stdout.strip()

    def commit(self, files: dict[str, str]) -> str:
        for name, text in files.items():
            path = self.root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        self.git("add", "--all")
        self.git("commit", "--quiet", "--message=a revision")
        return self.git("rev-parse", "HEAD")


class Driven(Repository):
    """A repository in which git calls `hoggin`, which runs from these sources."""

    def __init__(self, root: Path, attribute: str) -> None:
        super().__init__(root)
        self.shim = root.parent / "bin" / "hoggin"
        self.shim.parent.mkdir()
        self.shim.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m hoggin "$@"\n')
        self.shim.chmod(0o755)
        (root / ".gitattributes").write_text(f"*.hog {attribute}=hoggin\n")

    def driven(self, *arguments: str, within: str = ".") -> subprocess.CompletedProcess[str]:
        """What git does, with `hoggin` on the path."""
        git = shutil.which("git")
        assert git is not None
        path = f"{self.shim.parent}{os.pathsep}{os.environ['PATH']}"
        return subprocess.run(
            [git, *arguments],
            cwd=self.root / within,
            env={**os.environ, "PATH": path, "GIT_EDITOR": "true"},
            capture_output=True,
            text=True,
            check=False,
        )
