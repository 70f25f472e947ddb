"""`docs/commands.md`: every command with its options, as the command line declares them."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from hoggin.commands.arguments import CommandParser
from hoggin.commands.command_line import command_parser
from hoggin.commands.manual import MANUAL, Entry
from hoggin.errors import Exit

_OPENING = """\
`hoggin` alone, or `hoggin --help`, lists the commands and ends with exit code 0. `hoggin COMMAND
--help` explains a command. [Completion](completion.md) offers commands, options and names of the
plant at the Tab key.
"""


def commands_page(note: str) -> str:
    """The whole page; `note` says how it is generated."""
    parsers = dict(command_parser().commands())
    lines = [f"{note}# Commands\n", _OPENING, *_exit_codes()]
    for task, entries in MANUAL.items():
        lines.append(f"## {task[0].upper()}{task[1:]}\n")
        for name, entry in entries.items():
            parent, _, kind = name.rpartition(" ")
            parser = dict(parsers[parent].commands())[kind] if parent else parsers[name]
            lines.extend(_command(name, entry, parser))
    return "\n".join(lines)


def _exit_codes() -> Iterator[str]:
    rows = [f"| {code:d} | {code.meaning} |" for code in Exit]
    yield "\n".join(["| exit code | meaning |", "|---|---|", *rows, ""])


def _command(name: str, entry: Entry, command: CommandParser) -> Iterator[str]:
    yield f"{'####' if ' ' in name else '###'} {name}\n"
    yield f"{entry.about}\n"
    rows = [f"| `{example.command}` | {example.does} |" for example in entry.examples]
    yield "\n".join(["| example | |", "|---|---|", *rows, ""])
    rows = [row for action in command._actions if (row := _row(action))]
    if rows:
        yield "\n".join(["| argument | meaning |", "|---|---|", *rows, ""])


def _row(action: argparse.Action) -> str:
    """The row of an argument; empty for `--help` and for a choice of commands."""
    if isinstance(action, argparse._SubParsersAction | argparse._HelpAction):
        return ""
    option = action.option_strings[0] if action.option_strings else ""
    value = str(action.metavar) if action.nargs != 0 else ""
    needed = "; required" if action.required and option else ""
    meaning = f"{action.help}{needed}".replace("|", "\\|")
    return f"| `{' '.join(filter(None, (option, value)))}` | {meaning} |"
