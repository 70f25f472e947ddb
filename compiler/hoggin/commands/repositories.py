"""`hoggin repository`: the files of a git repository for plants."""

from __future__ import annotations

import argparse
import os
import re
import sys
from pathlib import Path

from hoggin import __version__
from hoggin.commands.output import say
from hoggin.commands.running import complain, write_files
from hoggin.errors import Exit
from hoggin.world import read_text

_TEMPLATES = Path(__file__).parents[1] / "start" / "repository"
_FILES = {
    ".gitattributes": "gitattributes",
    ".gitignore": "gitignore",
    ".pre-commit-config.yaml": "pre-commit-config.yaml",
    ".github/workflows/plants.yml": "plants.yml",
    "requirements.txt": "requirements.txt",
}
"""The files by their place in the repository, each with its template."""
_RELEASE = re.compile(r"\d+(\.\d+)*")
_NEXT = """next, once in each clone:
  pip install pre-commit && pre-commit install
  git config diff.hoggin.command "hoggin git-compare"
  git config merge.hoggin.driver "hoggin git-merge %O %A %B %L %P\""""


def repository(options: argparse.Namespace) -> Exit:
    """Write the files that are not there yet. An existing file is never changed."""
    folder: Path = options.folder
    asked = options.requirement or f"hoggin=={__version__}"
    texts = {name: read_text(_TEMPLATES / template) for name, template in _FILES.items()}
    texts["requirements.txt"] = texts["requirements.txt"].format(requirement=asked)
    there = [name for name in texts if os.path.lexists(folder / name)]
    write_files({name: text for name, text in texts.items() if name not in there}, folder)
    for name in there:
        complain(f"`{folder / name}` already exists and is not changed")
    if asked == f"hoggin=={__version__}" and not _RELEASE.fullmatch(__version__):
        complain(
            f"`{__version__}` is not a release, so CI can't install it by its version: keep its "
            f"wheel in the repository and write its path into `{folder / 'requirements.txt'}`"
        )
    say(_NEXT, sys.stderr)
    return Exit.DONE
