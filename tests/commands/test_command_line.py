"""The command line as it is declared."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from importlib import import_module

from hoggin.commands.command_line import command_parser


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
