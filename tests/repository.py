"""A git repository for tests, made and asked by real git."""

from __future__ import annotations

import subprocess
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
