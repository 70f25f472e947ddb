"""Arguments that several commands take, said the same way in each."""

from __future__ import annotations

import argparse
from collections.abc import Callable

MOST = 1_000_000  # of anything counted on the command line, where nothing else is said
_DIGITS = 20  # a longer number is not worth reading, nor repeating


def at_least(least: int, most: int = MOST) -> Callable[[str], int]:
    """An argument that is a whole number of `least` or more, to `most`."""

    def whole_number(text: str) -> int:
        if text.isdecimal() and (len(text) > _DIGITS or int(text) > most):
            raise argparse.ArgumentTypeError(f"a number of {most:,} or less is wanted")
        if not text.isdecimal() or int(text) < least:
            raise argparse.ArgumentTypeError(f"`{text}` is not a whole number of {least} or more")
        return int(text)

    return whole_number


def add_seed(parser: argparse.ArgumentParser, drawn: str) -> None:
    """`drawn` says what is drawn by it, as `to draw failures by`."""
    parser.add_argument(
        "--seed", type=at_least(0, 2**63 - 1), default=0, metavar="N", help=f"{drawn} (default: 0)"
    )


def add_form(parser: argparse.ArgumentParser) -> None:
    """The form of a printed document."""
    parser.add_argument(
        "--as",
        dest="form",
        choices=("terminal", "markdown", "json"),
        default="terminal",
        help="how to print it (default: terminal)",
    )


def add_workers(parser: argparse.ArgumentParser, processes: str) -> None:
    """Where many cases are balanced; `processes` says what --jobs counts."""
    parser.add_argument(
        "--jobs",
        type=at_least(1),
        metavar="N",
        help=f"{processes} (default: one for each processor)",
    )
    parser.add_argument(
        "--cluster", metavar="ADDRESS", help="a dask scheduler to work on: tcp://HOST:8786"
    )
