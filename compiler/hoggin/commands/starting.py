"""`hoggin start`: ask for feed and products, write a first plant."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from hoggin.commands.output import say
from hoggin.commands.showing import verdicts
from hoggin.errors import Exit, HogginError
from hoggin.progress import working
from hoggin.start import ROCKS, AnswerError, Answers, propose
from hoggin.start import answers as read

T = TypeVar("T")


def start(options: argparse.Namespace) -> Exit:
    """Ask for what was not given, write the plant and describe it."""
    path: Path = options.file
    if path.suffix != ".hog":
        raise HogginError(f"`{path}`: a plant's file name ends in `.hog`")
    if path.exists():
        raise _is_there(path)
    answers = _answers(options)
    with working("balancing several candidates"):
        proposal = propose(answers, path.name)
    try:
        _write_new(path, proposal.text)
    except FileExistsError:
        raise _is_there(path) from None
    except OSError as fault:
        raise HogginError(f"`{path}` can't be written: {fault.strerror}") from fault
    print(verdicts(proposal.results), end="")
    print(path)
    say(f"next: enter your own values, then `hoggin balance {path}`", sys.stderr)
    return Exit.DONE


def _is_there(path: Path) -> HogginError:
    return HogginError(f"`{path}` already exists and is not changed; give another name")


def _write_new(path: Path, text: str) -> None:
    """Write a new file, whole or not at all. Raises OSError."""
    with path.open("x", encoding="utf-8") as file:
        try:
            file.write(text)
            file.flush()
        except BaseException:
            path.unlink()
            raise


def _answers(options: argparse.Namespace) -> Answers:
    rate, top = "Feed rate, dry, as `450 t/h`: ", "Largest piece of the feed, as `800 mm`: "
    rock = f"Rock, one of {', '.join(ROCKS)}: "
    products = "Products in mm, as `0/4, 4/8, 8/16, 16/32`: "
    return Answers(
        rate_t_h=_answer(options.feed_rate, "--feed-rate", rate, read.rate),
        top_mm=_answer(options.top_size, "--top-size", top, read.top_size),
        rock=_answer(options.rock, "--rock", rock, read.rock),
        products=_answer(options.products, "--products", products, read.products),
    )


def _answer(given: str | None, option: str, question: str, read: Callable[[str], T]) -> T:
    """An option's value, or the answer to its question, asked again until it can be used."""
    if given is not None:
        try:
            return read(given)
        except AnswerError as fault:
            raise AnswerError(f"{option}: {fault}") from fault
    while True:
        try:
            return read(input(question))
        except AnswerError as fault:
            print(f"  {fault}", file=sys.stderr)
        except EOFError as end:
            why = "the input ended before every question was answered; nothing was written"
            raise HogginError(why) from end
