"""How commands declare their arguments; those that several commands take are declared once."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

MOST = 1_000_000  # of anything counted on the command line, where no other limit is declared
LEAST_WEIGHT = 1.0  # per cent, of a result that a comparison lists
_DIGITS = 20  # a longer number is not worth reading, nor repeating


class CommandParser(argparse.ArgumentParser):
    """A command's parser, with a method for each sort of argument."""

    def text(self, name: str, metavar: str, help: str | None = None, **more: Any) -> None:
        self.add_argument(name, metavar=metavar, help=help, **more)

    def path(self, name: str, metavar: str, help: str | None = None, **more: Any) -> None:
        self.text(name, metavar, help, type=Path, **more)

    def flag(self, name: str, help: str) -> None:
        self.add_argument(name, action="store_true", help=help)

    def choice(self, name: str, help: str, *choices: str, **more: Any) -> None:
        self.add_argument(name, choices=choices, help=help, **more)

    def count(
        self, name: str, least: int, help: str, default: int | None = None, most: int = MOST
    ) -> None:
        self.text(name, "N", help, type=at_least(least, most), default=default)

    def seed(self, drawn: str) -> None:
        """`drawn` says what is drawn by it, as `to draw failures by`."""
        self.count("--seed", 0, f"{drawn} (default: 0)", 0, 2**63 - 1)

    def form(self, does: str, *forms: str) -> None:
        """The form of a document; the first of them is the default."""
        help = f"how to {does} it (default: {forms[0]})"
        self.choice("--as", help, *forms, dest="form", default=forms[0])

    def case(self) -> None:
        """Where a plant is taken in one of its cases."""
        self.text("--case", "NAME", "in this case (default: as it is written)", default="")

    def least(self, listed: str) -> None:
        """The least weight of a result that is `listed`."""
        help = f"least weight of a result that is {listed} (default: {LEAST_WEIGHT:g})"
        self.text("--least", "PERCENT", help, type=float, default=LEAST_WEIGHT)

    def workers(self, processes: str) -> None:
        """Where many cases are balanced; `processes` says what --jobs counts."""
        self.count("--jobs", 1, f"{processes} (default: one for each processor)")
        self.text("--cluster", "ADDRESS", "a dask scheduler to work on: tcp://HOST:8786")

    def study(self, folder: str) -> None:
        """A plant, and where a study's files go; `folder` is the last part of that by default."""
        self.path("file", "FILE.hog")
        self.case()
        self.path("--into", "FOLDER", f"where its files go (default: out/NAME/{folder})")

    def many_cases(self, folder: str) -> None:
        """A study of many cases."""
        self.study(folder)
        self.workers("processes at once")
        self.flag("--resume", "go on with a study that was interrupted")


def at_least(least: int, most: int = MOST) -> Callable[[str], int]:
    """An argument that is a whole number of `least` or more, to `most`."""

    def whole_number(text: str) -> int:
        if text.isdecimal() and (len(text) > _DIGITS or int(text) > most):
            raise argparse.ArgumentTypeError(f"a number of {most:,} or less is wanted")
        if not text.isdecimal() or int(text) < least:
            raise argparse.ArgumentTypeError(f"`{text}` is not a whole number of {least} or more")
        return int(text)

    return whole_number


def port(text: str) -> int:
    if not text.isdecimal() or int(text) > 65535:
        raise argparse.ArgumentTypeError(f"`{text}` is no port")
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
        raise argparse.ArgumentTypeError(f"`{text}`: a size with its unit, as 125mm")
    return sieve.mm
