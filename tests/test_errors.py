"""Exit codes are declared once: README, `hoggin --help` and the command line agree with them."""

from __future__ import annotations

import argparse
import pickle
import re
from pathlib import Path

import pytest

from hoggin.commands import main as command_line
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.source import Source, Span
from hoggin.errors import Exit, HogginError, SourceError

README = Path(__file__).parents[1] / "README.md"


def test_the_readme_lists_every_exit_code_with_its_meaning() -> None:
    table = README.read_text(encoding="utf-8").partition("| exit code |")[2].partition("\n\n")[0]
    rows = re.findall(r"^\| (\d+) \| (.*) \|$", table, re.MULTILINE)
    assert rows == [(str(int(code)), code.meaning) for code in Exit]


def test_help_lists_every_exit_code_with_its_meaning(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        command_line.main(["--help"])
    told = " ".join(capsys.readouterr().out.split())
    assert all(f"{code:d} {code.meaning}" in told for code in Exit)


def span() -> Span:
    return Span(Source("a.hog", "plant"), 0, 5)


@pytest.mark.parametrize(
    ("fault", "code", "said"),
    [
        (HogginError("no such thing"), 2, "hoggin: no such thing\n"),
        (HogginError("one\ntwo", Exit.UNBALANCED), 3, "hoggin: one\nhoggin: two\n"),
        (SourceError([Diagnostic("E0101", span(), "it is wrong", "")]), 1, "at a.hog:1:1"),
    ],
)
def test_what_ends_a_command_early_is_told_once_with_its_code(
    fault: HogginError,
    code: int,
    said: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def run(_options: argparse.Namespace) -> int:
        raise fault

    monkeypatch.setattr("hoggin.commands.checking.check", run)
    assert command_line.main(["check", "a.hog"]) == code
    told = capsys.readouterr()
    assert not told.out and told.err.count(said) == 1 and "Traceback" not in told.err


def test_an_error_comes_whole_from_another_process() -> None:
    there = pickle.loads(pickle.dumps(HogginError("why", Exit.UNBALANCED)))
    assert (str(there), there.exit_code, there.diagnostics) == ("why", Exit.UNBALANCED, ())
