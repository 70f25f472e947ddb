"""Completion in a real shell: what the Tab key offers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.diagnostics.codes import CODES

ROOT = Path(__file__).parents[2]
BASH = shutil.which("bash")
ASK = """
source "$1"
COMP_LINE="$2"; COMP_POINT=${#2}; COMP_TYPE=9; COMPREPLY=()
_python_argcomplete hoggin
printf '%s\\n' "${COMPREPLY[@]}"
"""


@pytest.fixture(scope="module")
def script(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bash script, beside a `hoggin` command of this interpreter."""
    folder = tmp_path_factory.mktemp("shell")
    command = folder / "hoggin"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m hoggin "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    printed = subprocess.run(
        [str(command), "completion", "bash"], capture_output=True, text=True, check=True
    )
    file = folder / "completion.bash"
    file.write_text(printed.stdout, encoding="utf-8")
    return file


@pytest.mark.skipif(BASH is None, reason="no bash on this machine")
@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("hoggin sta", {"start"}),
        ("hoggin start --ro", {"--rock"}),
        ("hoggin start --rock ", {"granite", "limestone", "basalt", "gravel"}),
        ("hoggin balance examples/qu", {"examples/quarry.hog"}),
        ("hoggin explain E040", {code for code in CODES if code.startswith("E040")}),
        ("hoggin mix x.hog astm.c33_5", {"astm.c33_5", "astm.c33_56", "astm.c33_57"}),
        ("hoggin fit --class std.jaws.s", {"std.jaws.single_toggle"}),
        ("hoggin classes std.jaws.s", {"std.jaws.single_toggle"}),
        ("hoggin completion z", {"zsh"}),
    ],
)
def test_bash_is_offered_what_fits(script: Path, line: str, offered: set[str]) -> None:
    assert BASH is not None
    found = subprocess.run(
        [BASH, "--norc", "-c", ASK, "bash", str(script), line],
        cwd=ROOT,
        env={**os.environ, "PATH": f"{script.parent}:{os.environ['PATH']}"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert {word.strip() for word in found.stdout.splitlines()} == offered


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_has_a_script_that_names_the_command(
    shell: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["completion", shell]) == 0
    assert "hoggin" in capsys.readouterr().out


def test_another_shell_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["completion", "tcsh"])
    assert end.value.code == 2
    assert "choose from" in capsys.readouterr().err
