"""What `--help` prints: of the whole command line, and of one command."""

from __future__ import annotations

import argparse
import shutil
from collections.abc import Iterable, Iterator
from textwrap import wrap
from typing import TYPE_CHECKING

from hoggin.commands.manual import MANUAL, Entry
from hoggin.errors import Exit
from hoggin.folding import beside, wrapped

if TYPE_CHECKING:
    from hoggin.commands.arguments import CommandParser

_NARROWEST = 40  # columns that a text is wrapped in
_NAME = max(len(name) for entries in MANUAL.values() for name in entries if " " not in name) + 2


def show(_options: argparse.Namespace) -> int:
    """Run `hoggin` without a command."""
    from hoggin.commands.command_line import command_parser

    print(command_parser().format_help(), end="")
    return Exit.DONE


def overview(parser: argparse.ArgumentParser) -> str:
    """The commands by task, a line each, and the exit codes."""
    tasks = [
        f"{task}:\n" + "".join(_line(f"  {name:{_NAME}}", entry.does) for name, entry in listed)
        for task, entries in MANUAL.items()
        if (listed := [(name, entry) for name, entry in entries.items() if " " not in name])
    ]
    codes = [_line(f"  {code:<3d}  ", code.meaning) for code in Exit]
    return "\n".join(
        [
            usage(parser),
            f"{_wrapped(parser.description or '')}\n",
            *tasks,
            _section(parser, "options", [a for a in parser._actions if a.option_strings]),
            f"exit codes:\n{''.join(codes)}",
            _wrapped(f"`{parser.prog} COMMAND --help` explains a command and shows examples."),
            f"`{parser.prog}` alone prints this list.",
            "",
        ]
    )


def command_help(parser: argparse.ArgumentParser, entry: Entry) -> str:
    """What a command does, its arguments, and examples."""
    sections = [
        _section(parser, title, actions)
        for group in parser._action_groups
        if (actions := group._group_actions) and (title := group.title)
    ]
    examples = "".join(
        f"  {example.command}\n{_line(' ' * 6, example.does)}" for example in entry.examples
    )
    return "\n".join(
        [
            usage(parser),
            f"{_wrapped(entry.about)}\n",
            *sections,
            f"examples:\n{examples}",
            "Exit codes: `hoggin --help` lists them.",
            "",
        ]
    )


def usage(parser: argparse.ArgumentParser) -> str:
    """The command and what it needs. Options that may be left out are one word."""
    options = any(one.option_strings and not one.required for one in parser._actions)
    formatter = _formatter(f"{parser.prog} [options]" if options else parser.prog)
    needed = [one for one in parser._actions if one.required or not one.option_strings]
    formatter.add_usage(None, needed, ())
    return formatter.format_help()


def _section(
    parser: argparse.ArgumentParser, title: str, actions: Iterable[argparse.Action]
) -> str:
    formatter = _formatter(parser.prog)
    formatter.start_section(title)
    for action in actions:
        if isinstance(action, argparse._SubParsersAction):
            formatter.add_arguments(_kinds(action))
        else:
            formatter.add_argument(action)
    formatter.end_section()
    return formatter.format_help()


def _kinds(of: argparse._SubParsersAction[CommandParser]) -> Iterator[argparse.Action]:
    """The commands of a command, as arguments."""
    for name, parser in of.choices.items():
        assert parser.entry is not None
        yield argparse.Action([], name, help=parser.entry.does)


class _Formatter(argparse.HelpFormatter):
    """Breaks no word at its hyphens: an option's value is one word."""

    def _split_lines(self, text: str, width: int) -> list[str]:
        return wrap(text, width, break_on_hyphens=False)


def _formatter(name: str) -> argparse.HelpFormatter:
    formatter = _Formatter(prog=name, max_help_position=26, width=_width())
    if hasattr(formatter, "_set_color"):  # from Python 3.14 on: colours of its own
        formatter._set_color(False)
    return formatter


def _width() -> int:
    return max(shutil.get_terminal_size().columns, _NARROWEST)


def _line(name: str, text: str) -> str:
    return beside(name, text, _width()) + "\n"


def _wrapped(text: str) -> str:
    return "\n".join(wrapped(text, _width()))
