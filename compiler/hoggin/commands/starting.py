"""`hoggin start`: ask for feed and products, write a first plant."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from hoggin.commands.showing import verdicts
from hoggin.errors import Exit, HogginError
from hoggin.start import AnswerError, Answers, propose
from hoggin.start.questions import QUESTIONS, Question
from hoggin.writing import create


def start(options: argparse.Namespace) -> Exit:
    """Ask for what was not given, write the plant and describe it."""
    path: Path = options.file
    if path.suffix != ".hog":
        raise HogginError(f"`{path}`: a plant's file name ends in `.hog`")
    if path.exists():
        raise _is_there(path)
    answers = _answers(options)
    print("Balancing several candidates; this takes some seconds.", file=sys.stderr)
    proposal = propose(answers, path.name)
    try:
        create(path, proposal.text.encode())
    except FileExistsError:
        raise _is_there(path) from None
    except OSError as fault:
        raise HogginError(f"`{path}` can't be written: {fault.strerror}") from fault
    print(verdicts(proposal.results), end="")
    print(path)
    print(f"next: enter your own values, then `hoggin balance {path}`", file=sys.stderr)
    return Exit.DONE


def _is_there(path: Path) -> HogginError:
    return HogginError(f"`{path}` already exists and is not changed; give another name")


def _answers(options: argparse.Namespace) -> Answers:
    found = {one.name: _answer(vars(options)[_dest(one)], one) for one in QUESTIONS}
    return Answers(**found)  # type: ignore[arg-type]


def _dest(question: Question) -> str:
    """Where its option is kept."""
    return question.option.lstrip("-").replace("-", "_")


def _answer(given: str | None, question: Question) -> object:
    """An option's value, or the answer to its question, asked again until it can be used."""
    if given is not None:
        try:
            return question.read(given)
        except AnswerError as fault:
            raise AnswerError(f"{question.option}: {fault}") from fault
    while True:
        try:
            return question.read(input(question.prompt))
        except AnswerError as fault:
            print(f"  {fault}", file=sys.stderr)
        except EOFError as end:
            why = "the input ended before every question was answered; nothing was written"
            raise HogginError(why) from end
