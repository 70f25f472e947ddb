"""`docs/commands.md`: every command with its options, as the command line declares them."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from hoggin.commands.arguments import CommandParser
from hoggin.commands.command_line import command_parser

_COLOUR = """\
Every command takes `--color auto`, `always` or `never`. `auto`, the default, prints in colour on a
terminal, unless `NO_COLOR` is set or `TERM` is `dumb`; `FORCE_COLOR` has colour without a terminal
too. Colour only stresses what the words say. Tables are as wide as the terminal, and 80 columns
wide on a narrower one and in a file or pipe.
"""
_SET_UP = "set-up and other programs"


def commands_page(note: str) -> str:
    """The whole page; `note` says how it is generated."""
    lines = [f"{note}# Commands\n", "`hoggin --help` lists the commands of each task.\n", _COLOUR]
    task = ""
    for name, help, command in command_parser().commands():
        heading = command.task or _SET_UP
        if heading != task:
            task = heading
            lines.append(f"## For {task}\n" if task == _SET_UP else f"## {task.capitalize()}\n")
        lines.extend(_command(name, help, command))
    return "\n".join(lines)


def _command(name: str, help: str, command: CommandParser) -> Iterator[str]:
    example = f" Example: `{command.example}`" if command.example else ""
    yield f"### {name}\n"
    yield f"{help[0].upper()}{help[1:]}.{example}\n"
    for kind, kind_help, parser in command.commands():
        yield f"`{name} {kind}`: {kind_help}.\n"
        yield from _arguments(parser)
    yield from _arguments(command)


def _arguments(command: CommandParser) -> Iterator[str]:
    rows = [row for action in command._actions if (row := _row(action))]
    if rows:
        yield "\n".join(["| argument | meaning |", "|---|---|", *rows, ""])


def _row(action: argparse.Action) -> str:
    """The row of an argument; empty for `--help` and for a choice of commands."""
    if isinstance(action, argparse._SubParsersAction | argparse._HelpAction):
        return ""
    if action.option_strings == ["--color"]:  # the page's head has it
        return ""
    name = action.option_strings[0] if action.option_strings else ""
    value = str(action.metavar or ("" if name else action.dest)) if action.nargs != 0 else ""
    choices = ", ".join(map(str, action.choices or ()))
    meaning = "; ".join(part for part in (action.help, choices and f"one of {choices}") if part)
    if action.required and name:
        meaning += "; required"
    return f"| `{' '.join(filter(None, (name, value)))}` | {meaning.replace('|', chr(92) + '|')} |"
