"""The editors' own engines, asked what they make of a text: that of VS Code, and Vim itself."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SUPPORT = ROOT / "editor_support"
VSCODE = SUPPORT / "vscode"
VIM = SUPPORT / "vim"

# Each line of a text as pieces: from column, to column, what the engine calls it.
Lines = list[list[tuple[int, int, str]]]

needs_node = pytest.mark.skipif(
    shutil.which("node") is None or not (VSCODE / "node_modules").is_dir(),
    reason="needs node, and the packages that `bash .ci/editor` installs",
)
needs_vim = pytest.mark.skipif(
    shutil.which("vim") is None
    or "+syntax" not in subprocess.run(["vim", "--version"], capture_output=True, text=True).stdout,
    reason="needs vim with its syntax files",
)


def hog_files(*folders: str) -> list[Path]:
    """Every Hoggin file in these folders of the project."""
    return sorted(path for folder in folders for path in (ROOT / folder).rglob("*.hog"))


def textmate_lines(texts: Sequence[str]) -> list[Lines]:
    """The scopes the TextMate grammar gives, outermost first, by VS Code's engine."""
    done = subprocess.run(
        ["node", "test/tokenise.mjs"],
        cwd=VSCODE,
        input=json.dumps(texts),
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    return [
        [[(start, end, scopes) for start, end, scopes in line] for line in lines]
        for lines in json.loads(done.stdout)
    ]


_ASK_VIM = """
let s:found = []
for s:file in argv()
  execute 'edit' s:file
  let s:lines = []
  for s:number in range(1, line('$'))
    let s:groups = []
    for s:column in range(1, col([s:number, '$']) - 1)
      call add(s:groups, synIDattr(synID(s:number, s:column, 0), 'name'))
    endfor
    call add(s:lines, s:groups)
  endfor
  call add(s:found, s:lines)
endfor
call writefile([json_encode(s:found)], $ANSWER)
"""


def vim_groups(texts: Sequence[str], folder: Path) -> list[list[list[str]]]:
    """The syntax group of every byte of every line of every text, by Vim."""
    files = [folder / f"{number}.hog" for number in range(len(texts))]
    for file, text in zip(files, texts, strict=True):
        file.write_text(text)
    found: list[list[list[str]]] = json.loads(ask_vim(_ASK_VIM, files))
    return found


def ask_vim(script: str, files: Sequence[Path]) -> str:
    """Open files as a user would who has the folder vim/ on the runtime path, run a script and
    return what it writes to $ANSWER."""
    folder = files[0].parent
    settings, asked, answer = folder / "vimrc", folder / "ask.vim", folder / "answer"
    settings.write_text(
        f"set nocompatible encoding=utf-8 runtimepath^={VIM}\n"
        "filetype plugin indent on\nsyntax on\n"
    )
    asked.write_text(f"{script}\nquitall!\n")
    subprocess.run(
        ["vim", "-es", "-u", str(settings), "-i", "NONE", "-n", "-S", str(asked)]
        + [str(file) for file in files],
        env={"PATH": os.defpath, "HOME": str(folder), "TERM": "dumb", "ANSWER": str(answer)},
        check=True,
        timeout=300,
        stdin=subprocess.DEVNULL,
    )
    return answer.read_text()
