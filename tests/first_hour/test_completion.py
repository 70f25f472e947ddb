"""What the Tab key offers: the words for a line, and real shells in a terminal."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.commands.shells import SHELLS
from hoggin.diagnostics.codes import CODES
from tests.first_hour.terminal import Terminal

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
GRAVEL, SEASONS = "examples/gravel.hog", "examples/seasons.hog"
BARE = {  # how to start a shell that reads nothing of the user's
    "bash": ["--norc", "-i"],
    "zsh": ["-f", "-i"],  # and so has not run compinit
    "fish": ["--no-config", "-i"],
}
HERE = [shell for shell in BARE if shutil.which(shell)]
PROMPT = "ready> "
TO_LINE_START = "\x01"


def offered(line: str, tmp_path: Path, shell: str = "bash") -> list[str]:
    """The words that are offered at the end of a line."""
    answer = tmp_path / "answer"
    asked = {
        "COMP_LINE": line,
        "COMP_POINT": str(len(line.encode())),
        "_ARGCOMPLETE": "1",
        "_ARGCOMPLETE_IFS": "\n",
        "_ARGCOMPLETE_SHELL": shell,
        "_ARGCOMPLETE_STDOUT_FILENAME": str(answer),
        "_ARGCOMPLETE_SUPPRESS_SPACE": "1",
    }
    command = [sys.executable, "-m", "hoggin"]
    subprocess.run(command, cwd=ROOT, env={**os.environ, **asked}, capture_output=True, check=True)
    return answer.read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("hoggin sta", {"start"}),
        ("hoggin import ", {"gradings", "products", "table"}),
        ("hoggin start --ro", {"--rock"}),
        ("hoggin start --rock ", {"granite", "limestone", "basalt", "gravel"}),
        ("hoggin completion ", set(SHELLS)),
        ("hoggin balance examples/qu", {"examples/quarry.hog"}),
        ("hoggin balance examples/coo", {"examples/cookbook/"}),
        ("hoggin sweep examples/quarry.hog --rows examples/tab", {"examples/tabulated_jaw.csv"}),
        ("hoggin issue examples/quarry.hog --into examples/tu", {"examples/tutorial/"}),
        ("hoggin explain E040", {code for code in CODES if code.startswith("E040")}),
        ("hoggin mix x.hog astm.c33_5", {"astm.c33_5", "astm.c33_56", "astm.c33_57"}),
        ("hoggin fit --class std.jaws.s", {"std.jaws.single_toggle"}),
        ("hoggin fit --breakage matrix", {"matrix", "matrix_t10"}),
        (f"hoggin balance {SEASONS} --case ", {"wet", "second_pit", "second_pit_wet", "campaign"}),
        (f"hoggin sweep {GRAVEL} --over pit_run.r", {"pit_run.rate", "pit_run.rock"}),
        (f"hoggin sweep {GRAVEL} --over first.t", {"first.top"}),
        (f"hoggin sweep {GRAVEL} --over cone.sp", {"cone.speed"}),  # at its default
        (f"hoggin sweep {GRAVEL} --over river_gravel.w", {"river_gravel.work_index"}),
        (f'hoggin sweep {GRAVEL} --over "cone.c', {"cone.css", "cone.chamber"}),
        (f'hoggin sweep {GRAVEL} --over "cone.cs', {"cone.css 13 mm to ", "cone.css 13 mm, "}),
        (f'hoggin sweep {GRAVEL} --over "cone.ch', {"cone.chamber"}),
        (f"hoggin mix {GRAVEL} astm.c33_57 ", {"coarse", "fine", "sand"}),
        (f"hoggin why old.hog {GRAVEL} co", {"coarse.", "cone."}),
        (f"hoggin why old.hog {GRAVEL} cone.lo", {"cone.load"}),
        (f"hoggin sweep {GRAVEL} --result second.bottom.area_u", {"second.bottom.area_use"}),
        (f"hoggin sweep {GRAVEL} --result plant.energy_", {"plant.energy_cost_per_hour"}),
        (f"hoggin simulate {GRAVEL} --runs ", set()),
        ("hoggin balance missing.hog --case ", set()),
    ],
)
def test_what_fits_is_offered(line: str, words: set[str], tmp_path: Path) -> None:
    assert set(offered(line, tmp_path)) == words


def test_a_plant_with_errors_still_has_the_names_that_it_states(tmp_path: Path) -> None:
    text = (ROOT / GRAVEL).read_text(encoding="utf-8")
    assert "rate 120 t/h" in text
    faulty = tmp_path / "faulty.hog"
    faulty.write_text(text.replace("rate 120 t/h", "rate 120 kW"), encoding="utf-8")
    names = offered(f"hoggin sweep {faulty} --over cone.c", tmp_path)
    assert set(names) == {"cone.css", "cone.chamber"}


# Real shells: what a user types, the key, and the words of the command that is then on the line.

TYPED = [
    ("hoggin unc\t", "hoggin|uncertainty|"),
    ("hoggin start --rock li\t", "hoggin|start|--rock|limestone|"),
    ("hoggin balance examples/qu\t", "hoggin|balance|examples/quarry.hog|"),
    (f"hoggin view {SEASONS} --case cam\t", f"hoggin|view|{SEASONS}|--case|campaign|"),
    (f"hoggin sweep {GRAVEL} --over cone.cs\t", f"hoggin|sweep|{GRAVEL}|--over|cone.css|"),
    (f"hoggin mix {GRAVEL} astm.c33_57 coa\t", f"hoggin|mix|{GRAVEL}|astm.c33_57|coarse|"),
    (f"hoggin why a.hog {GRAVEL} jaw.capac\t", f"hoggin|why|a.hog|{GRAVEL}|jaw.capacity|"),
]


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, str]:
    """The environment of a new user with a `hoggin` command of this interpreter."""
    folder = tmp_path_factory.mktemp("home")
    command = folder / "hoggin"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m hoggin "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    return {
        "PATH": f"{folder}{os.pathsep}{os.environ['PATH']}",
        "HOME": str(folder),
        "XDG_CONFIG_HOME": str(folder),
        "XDG_DATA_HOME": str(folder),
        "TERM": "xterm",
        "PS1": PROMPT,
    }


@pytest.fixture(scope="module", params=list(BARE))
def shell(request: pytest.FixtureRequest, home: Mapping[str, str]) -> Iterator[Terminal]:
    """A new shell that has loaded its script by the line that the script gives."""
    name: str = request.param
    if name not in HERE:
        pytest.skip(f"{name} is not on this machine")
    terminal = Terminal([name, *BARE[name]], ROOT, home)
    try:
        if name == "fish":
            terminal.type(f"function fish_prompt; echo -n '{PROMPT}'; end\r")
        terminal.type(f"{SHELLS[name].line}; printf '%s|' it is loaded\r")
        terminal.until("it|is|loaded|")
        yield terminal
    finally:
        terminal.close()


@pytest.mark.parametrize(("typed", "words"), TYPED, ids=lambda text: repr(text))
def test_a_shell_completes_what_is_typed(shell: Terminal, typed: str, words: str) -> None:
    shell.until(PROMPT)
    shell.type(f"{typed}{TO_LINE_START}printf '%s|' \r")
    shell.until(words)


def test_a_setting_in_quotation_marks_goes_on_with_its_value(shell: Terminal) -> None:
    """zsh tells a program nothing of open quotation marks: there the name is completed."""
    shell.until(PROMPT)
    typed, value = ("\b\b 13 mm", "") if shell.name == "zsh" else ("", " to 15 mm")
    begun = f'hoggin sweep {GRAVEL} --over "cone.cs\t'
    shell.type(f"{begun}{typed}{value}\"{TO_LINE_START}printf '%s|' \r")
    shell.until(f"hoggin|sweep|{GRAVEL}|--over|cone.css 13 mm{value}|")


@pytest.mark.skipif("zsh" not in HERE, reason="no zsh on this machine")
def test_zsh_keeps_the_completion_when_compinit_runs_later(home: Mapping[str, str]) -> None:
    script = f"{SHELLS['zsh'].line}; autoload -Uz compinit; compinit -D; print $_comps[hoggin]"
    done = subprocess.run(
        ["zsh", "-f", "-c", script],
        env={**os.environ, **home},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "_python_argcomplete\n"


@pytest.mark.parametrize("name", SHELLS)
def test_a_script_says_how_to_load_it(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", name]) == 0
    printed = capsys.readouterr().out.splitlines()
    assert printed[1].endswith(SHELLS[name].line)
    assert printed[2].endswith(SHELLS[name].every)


def test_names_are_escaped_as_powershell_reads_them(tmp_path: Path) -> None:
    """PowerShell was not on a machine of the project: its script was only read."""
    line = f"hoggin sweep {GRAVEL} --result sand.passing"
    assert offered(line, tmp_path, "powershell") == ["sand.passing`(4` mm`)"]


def test_another_shell_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["completion", "tcsh"])
    assert end.value.code == 2
    assert "choose from" in capsys.readouterr().err
