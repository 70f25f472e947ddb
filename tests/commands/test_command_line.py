"""The command line as it is declared."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Iterator
from importlib import import_module

import pytest

from hoggin.commands.command_line import command_parser
from hoggin.commands.main import main


def error_of(arguments: str, capsys: pytest.CaptureFixture[str]) -> str:
    with pytest.raises(SystemExit) as end:
        main(shlex.split(arguments))
    assert end.value.code == 2
    return capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ("balanc plant.hog", "unknown command `balanc`; did you mean `balance`?"),
        ("zzz", "unknown command `zzz`; `hoggin --help` lists the commands"),
        ("import grading a.csv", "unknown command `grading`; did you mean `gradings`?"),
        ("--versoin", "unknown option `--versoin`; did you mean `--version`?"),
        ("balance a.hog --shw all", "unknown option `--shw`; did you mean `--show`?"),
        ("fit a.csv --clas b --into c", "unknown option `--clas`; did you mean `--class`?"),
        ("uncertainty a.hog --sample=9", "unknown option `--sample`; did you mean `--samples`?"),
        (
            "import gradings a.csv --valus mass",
            "unknown option `--valus`; did you mean `--values`?",
        ),
        ("check a.hog -x", "unknown option `-x`; `hoggin check --help` lists the options"),
        ("balance a.hog --show al", "--show: unknown value `al`; did you mean `all`?"),
        ("explain E0404 E0405", "unexpected argument `E0405`"),
    ],
)
def test_a_misspelt_word_is_reported_with_the_one_that_was_meant(
    arguments: str, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert error_of(arguments, capsys).endswith(f"error: {message}\n")


def test_an_option_is_written_in_full(capsys: pytest.CaptureFixture[str]) -> None:
    assert "did you mean `--overwrite`?" in error_of("design a.hog --over", capsys)


def test_a_text_behind_an_option_may_begin_with_a_hyphen(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert (
        main(["regress", "missing.hog", "--accept", "--reason", "-- why --", "--by", "N. N."]) == 2
    )
    assert "missing.hog" in capsys.readouterr().err


def test_every_command_names_a_function_that_is_there() -> None:
    named = list(_named(command_parser()))
    assert len(named) > 20
    for name in named:
        module, _, function = name.partition(".")
        assert callable(getattr(import_module(f"hoggin.commands.{module}"), function)), name


def _named(parser: argparse.ArgumentParser) -> Iterator[str]:
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                yield from _named(command)
    if "run" in parser._defaults:
        yield parser._defaults["run"]
