"""The page docs/regression.md: its files are read and its commands run as they stand there.

Both YAML files were also checked against the published schemas of GitHub's workflows and of the
pre-commit framework, as the package check-jsonschema ships or names them (looked up once).
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.revise.regress.settings import read_settings
from hoggin.revise.regress.tolerances import DEFAULTS

from .conftest import ACCEPT

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[3]
PAGE = (ROOT / "docs" / "regression.md").read_text(encoding="utf-8")


def _blocks(language: str) -> list[str]:
    """The blocks of a language; every block is paired, so that no end is taken for a beginning."""
    found = re.findall(r"^```(\w*)\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
    return [text for named, text in found if named == language]


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A real git repository with the example's templates, all recorded and committed."""
    folder = tmp_path / "repo"
    shutil.copytree(ROOT / "examples" / "standard", folder / "standard")
    (tmp_path / "bin").mkdir()
    command = tmp_path / "bin" / "hoggin"
    command.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m hoggin "$@"\n')
    command.chmod(0o755)
    monkeypatch.setenv("PATH", f"{command.parent}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.chdir(folder)
    for name, value in (("NAME", "t"), ("EMAIL", "t@example.org")):
        monkeypatch.setenv(f"GIT_AUTHOR_{name}", value)
        monkeypatch.setenv(f"GIT_COMMITTER_{name}", value)
    _git("init", "-q")
    who = ["--by", "A. Planner", "--date", "2026-03-02"]
    assert main(["regress", "standard", "--accept", "--reason", "as built", *who]) == 0
    assert _commit() == 0
    return folder


def _git(*arguments: str) -> int:
    return subprocess.run(["git", *arguments], capture_output=True, check=False).returncode


def _commit() -> int:
    _git("add", "-A")
    return _git("commit", "-q", "-m", "a change")


def test_the_tolerances_shown_are_the_defaults(tmp_path: Path) -> None:
    (shown,) = (block for block in _blocks("toml") if block.startswith("[tolerances]"))
    (tmp_path / "regression.toml").write_text(shown, encoding="utf-8")
    assert read_settings(tmp_path / "regression.toml", "x").tolerances == DEFAULTS


def test_the_grid_shown_runs_on_the_example(
    repository: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (shown,) = (block for block in _blocks("toml") if block.startswith("[[grid]]"))
    (repository / "standard" / "regression.toml").write_text(shown, encoding="utf-8")
    assert main(["regress", "standard", *ACCEPT]) == 0
    assert "14 cases: 14 hold" in capsys.readouterr().out


def test_the_record_shown_has_the_lines_of_a_record(repository: Path) -> None:
    (shown,) = (block for block in _blocks("toml") if block.startswith("[results"))
    record = (repository / "standard" / "recorded" / "south.toml").read_text(encoding="utf-8")
    keys = [line.partition(" = ")[0] for line in record.splitlines()]
    assert all(line.partition(" = ")[0] in keys for line in shown.splitlines())


def test_the_outcome_shown_is_that_of_the_change_it_names(
    repository: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its words, that is: the figures are the models' and tested elsewhere."""
    shown = next(block for block in _blocks("") if block.startswith("standard/south: drifted"))
    circuit = repository / "standard" / "closed_circuit.hog"
    text = circuit.read_text(encoding="utf-8")
    assert "out one 50 %" in text
    circuit.write_text(text.replace("out one 50 %", "out one 52 %"), encoding="utf-8")
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 100)
    capsys.readouterr()
    assert main(["regress", "standard"]) == 5
    assert _words(shown) == _words(capsys.readouterr().out)


def test_the_fleet_shown_is_the_example_and_so_is_its_outcome(
    repository: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(ROOT / "examples" / "fleet", repository / "fleet")
    blocks = _blocks("")
    table = next(block for block in blocks if block.startswith("site,"))
    assert (repository / "fleet" / "sites.csv").read_text(encoding="utf-8").startswith(table)
    settings = next(block for block in _blocks("toml") if block.startswith("[[sites]]"))
    assert (repository / "fleet" / "regression.toml").read_text(encoding="utf-8") == settings
    assert main(["regress", "fleet", *ACCEPT]) == 0
    circuit = repository / "standard" / "closed_circuit.hog"
    text = circuit.read_text(encoding="utf-8")
    circuit.write_text(text.replace("fine_cut: mm = 5 mm", "fine_cut: mm = 4.9 mm"))
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 100)
    capsys.readouterr()
    assert main(["regress", "fleet"]) == 5
    shown = next(block for block in blocks if block.startswith("over all cases:"))
    out = capsys.readouterr().out
    assert _words(shown) == _words(out[out.index("over all cases:") :])


def _words(text: str) -> set[str]:
    return {word for word in text.split() if not re.search(r"\d|^-+$", word)}


def test_the_hook_lets_what_holds_pass_and_stops_what_drifted(repository: Path) -> None:
    (hook,) = _blocks("sh")
    path = repository / ".git" / "hooks" / "pre-commit"
    path.write_text(hook, encoding="utf-8")
    path.chmod(0o755)
    circuit = repository / "standard" / "closed_circuit.hog"
    text = circuit.read_text(encoding="utf-8")
    circuit.write_text(text + "\n# a word more\n", encoding="utf-8")
    assert _commit() == 0
    circuit.write_text(
        text.replace("fine_cut: mm = 5 mm", "fine_cut: mm = 5.5 mm"), encoding="utf-8"
    )
    assert _commit() == 1
    main(["regress", "standard", *ACCEPT])
    assert _commit() == 0
    (repository / "notes.txt").write_text("no plant is touched", encoding="utf-8")
    path.write_text(hook.replace("exec hoggin", "exec false"), encoding="utf-8")
    assert _commit() == 0  # the hook does not even run it


def test_the_workflows_command_writes_both_reports(repository: Path) -> None:
    workflow = next(block for block in _blocks("yaml") if "runs-on" in block)
    (command,) = re.findall(r"- run: (hoggin .*)", workflow)
    assert subprocess.run(command, shell=True, check=False, capture_output=True).returncode == 0
    named = re.findall(r"out/\w+\.\w+", workflow)
    assert named and all((repository / name).stat().st_size for name in named)


def test_every_exit_code_of_the_page_is_one_of_the_command() -> None:
    from hoggin.errors import Exit

    table = re.findall(r"^\| (\d) \| (.*) \|$", PAGE, re.MULTILINE)
    codes = {int(code): words for code, words in table}
    assert set(codes) == set(Exit) - {Exit.INTERRUPTED}
    assert "errors" in codes[Exit.SOURCE] and "requirement" in codes[Exit.UNMET]
    assert "drifted" in codes[Exit.DIFFERENT] and "balanced" in codes[Exit.UNBALANCED]
