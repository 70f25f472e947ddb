"""How commands declare their arguments; those that several commands take are declared once."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from hoggin.commands.manual import Entry

MOST = 1_000_000  # of anything counted on the command line, unless another limit is declared
LEAST_WEIGHT = 1.0  # per cent, of a result that a comparison lists
_DIGITS = 20  # a longer number is neither parsed nor repeated in a message


class CommandParser(argparse.ArgumentParser):
    """A command's parser, with a method for each kind of argument. `entry` is its own in the
    manual; the whole command line has none."""

    def __init__(self, *, entry: Entry | None = None, add_help: bool = True, **how: Any) -> None:
        super().__init__(allow_abbrev=False, add_help=False, **how)
        self.entry = entry
        self.color = False  # of Python's own for help, from 3.14 on
        self._positionals.title = "arguments"
        if add_help:
            self.add_argument("-h", "--help", action="help", help="show this help and exit")

    def commands(self) -> Iterator[tuple[str, CommandParser]]:
        """Each command of this one: its name and its parser."""
        for action in self._actions:
            if isinstance(action, argparse._SubParsersAction):
                yield from action.choices.items()

    def format_help(self) -> str:
        from hoggin.commands import helping  # which no other run needs

        if self.entry is None:
            return helping.overview(self)
        return helping.command_help(self, self.entry)

    def format_usage(self) -> str:
        from hoggin.commands import helping

        return helping.usage(self)

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As argparse, but an unexpected argument is an error of the command it was given to."""
        given = sys.argv[1:] if args is None else list(args)
        if given == ["--help"] and "-" not in self.prefix_chars:  # no call of git is this
            self.print_help()
            self.exit()
        self._check_options(given)
        found, left = super().parse_known_args(given, namespace)
        if left:
            self.error(f"unexpected argument `{left[0]}`")
        return found, left

    def _check_options(self, given: Sequence[str]) -> None:
        """Report an unknown option before a missing one: it may be the missing one, misspelt."""
        if "-" not in self.prefix_chars:
            return
        known = self._option_string_actions
        has_commands = any(True for _ in self.commands())
        for text in given:
            name = text.partition("=")[0]
            if text == "--" or (has_commands and not text.startswith("-")):
                return
            if text.startswith("-") and len(text) > 1 and " " not in text and name not in known:
                if self._negative_number_matcher.match(text):
                    continue
                long = [option for option in known if option.startswith("--")]
                self.refuse(f"unknown option `{name}`", name, long, "options")

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        if action.choices is None or value in action.choices:
            return
        if isinstance(action, argparse._SubParsersAction):
            if str(value).endswith(".hog"):
                self.error(f"a command goes before the file, as `hoggin balance {value}`")
            self.refuse(f"unknown command `{value}`", value, action.choices, "commands")
        option = "/".join(action.option_strings) or action.metavar or action.dest
        self.refuse(f"{option}: unknown value `{value}`", value, action.choices, "")

    def refuse(self, message: str, wrong: str, known: Any, listed: str) -> NoReturn:
        """Report an unknown word and the known one that was probably meant."""
        from hoggin.diagnostics.nearest import nearest  # only an error needs it

        names = [str(name) for name in known]
        near = nearest(str(wrong), frozenset(names))
        if near is not None:
            self.error(f"{message}; did you mean `{near}`?")
        if listed:
            self.error(f"{message}; `{self.prog} --help` lists the {listed}")
        self.error(f"{message}; choose from {', '.join(f'`{name}`' for name in names)}")

    def text(
        self,
        name: str,
        metavar: str,
        help: str,
        default: Any = None,
        otherwise: str = "",
        **more: Any,
    ) -> None:
        """An argument or option with a value. Its help ends with the default, or with `otherwise`:
        what holds where no value is given."""
        if not otherwise and default not in (None, "", []):
            otherwise = f"{default:,g}" if isinstance(default, int | float) else str(default)
        help = f"{help} (default: {otherwise})" if otherwise else help
        self.add_argument(name, metavar=metavar, help=help, default=default, **more)

    def path(self, name: str, metavar: str, help: str, **more: Any) -> None:
        self.text(name, metavar, help, type=Path, **more)

    def flag(self, name: str, help: str) -> None:
        self.add_argument(name, action="store_true", help=help)

    def choice(self, name: str, help: str, *choices: str, **more: Any) -> None:
        """An argument or option whose value is one of a few words."""
        metavar = more.get("dest", name).lstrip("-").upper()
        self.text(name, metavar, f"{help}: {any_of(choices)}", choices=choices, **more)

    def count(
        self, name: str, least: int, help: str, default: int | None = None, **more: Any
    ) -> None:
        """A whole number from `least` to `most`."""
        type = at_least(least, more.pop("most", MOST))
        self.text(name, "N", help, default, type=type, **more)

    def seed(self, drawn: str, same: str) -> None:
        """`drawn` says what the seed is of, as `of the failures`; `same` what it decides."""
        help = f"seed {drawn}; the same seed gives the same {same}"
        self.count("--seed", 0, help, 0, most=2**63 - 1)

    def form(self, does: str, *forms: str) -> None:
        """The form of a document; the first of them is the default."""
        self.choice("--as", f"how to {does} it", *forms, dest="form", default=forms[0])

    def colour(self) -> None:
        """For every command: when to print in colour."""
        self.choice("--color", "when to print in colour", "auto", "always", "never", default="auto")

    def case(self) -> None:
        """For a command that reads one plant, as written or in one of its cases."""
        self.text("--case", "CASE", "use this case of the plant", "", "as written")

    def least(self, listed: str) -> None:
        """The smallest weight of a result that is `listed`."""
        help = f"smallest weight of a result that is {listed}"
        self.text("--min-weight", "PERCENT", help, type=float, default=LEAST_WEIGHT)

    def workers(self, processes: str) -> None:
        """Where many cases are balanced; `processes` says what --jobs counts."""
        self.count("--jobs", 1, processes, otherwise="one for each processor")
        scheduler = "a dask scheduler to use instead: tcp://HOST:8786"
        self.text("--cluster", "ADDRESS", scheduler, type=address, otherwise="this computer")

    def study(self, folder: str) -> None:
        """A plant, and the folder for a study's files, by default `folder` in the plant's own."""
        self.path("file", "FILE.hog", "plant")
        self.case()
        self.path("--into", "FOLDER", "folder for its files", otherwise=f"out/NAME/{folder}")

    def many_cases(self, folder: str) -> None:
        """A study of many cases."""
        self.study(folder)
        self.workers("number of processes")
        self.resume()
        self.flag("--expect-met", "exit with 4 unless every case meets all requirements")

    def resume(self) -> None:
        self.flag("--resume", "continue an interrupted study")


def any_of(words: Sequence[str]) -> str:
    """`a, b or c`"""
    return " or ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def at_least(least: int, most: int = MOST) -> Callable[[str], int]:
    """An argument that is a whole number from `least` to `most`."""

    def whole_number(text: str) -> int:
        if text.isdecimal() and (len(text) > _DIGITS or int(text) > most):
            raise argparse.ArgumentTypeError(f"the number must be {most:,} or less")
        if not text.isdecimal() or int(text) < least:
            raise argparse.ArgumentTypeError(f"`{text}` is not a whole number of {least} or more")
        return int(text)

    return whole_number


def address(text: str) -> str:
    if not text.strip():
        raise argparse.ArgumentTypeError("the address is empty; it is one as tcp://HOST:8786")
    return text


def port(text: str) -> int:
    if not text.isdecimal() or int(text) > 65535:
        raise argparse.ArgumentTypeError(f"`{text}` is not a port")
    return int(text)


def size_mm(text: str) -> float:
    """A size in mm: `125mm`, `125 mm`, `5 in`."""
    from hoggin.intake.sheet import SheetError
    from hoggin.intake.sieves import read_sieve

    try:
        sieve = read_sieve(text, "", ".")
    except SheetError as fault:
        raise argparse.ArgumentTypeError(f"`{text}`: {fault}") from fault
    if not sieve.has_unit or sieve.mm <= 0:
        raise argparse.ArgumentTypeError(f"`{text}` is not a size with its unit, as 125mm")
    return sieve.mm


def density(text: str) -> float:
    """A density in t/m3: `1.6t/m3`, `1600 kg/m3`."""
    found = re.fullmatch(r"([0-9]+(?:\.[0-9]+)?)\s*(t|kg)/m3", text.strip())
    if found is None:
        raise argparse.ArgumentTypeError(f"`{text}` is not a density with its unit, as 1.6t/m3")
    return float(found[1]) / (1.0 if found[2] == "t" else 1000.0)
