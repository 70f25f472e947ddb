"""What is asked before a first plant is written: on the command line and in a form, by the same
words and with the same checks."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from hoggin.start import answers
from hoggin.start.answers import ROCKS, AnswerError, Answers


@dataclass(frozen=True, slots=True)
class Question:
    """`name` is that of the field in `Answers`, `option` that of the command line. `hint` shows how
    an answer is written. `read` raises AnswerError for one that can't be used."""

    name: str
    option: str
    asks: str
    hint: str
    read: Callable[[str], object]
    choices: tuple[str, ...] = ()

    @property
    def prompt(self) -> str:
        return f"{self.asks}, {self.hint}: "


QUESTIONS = (
    Question("rate_t_h", "--feed-rate", "Feed rate, dry", "as `450 t/h`", answers.rate),
    Question("top_mm", "--top-size", "Largest piece of the feed", "as `800 mm`", answers.top_size),
    Question("rock", "--rock", "Rock", f"one of {', '.join(ROCKS)}", answers.rock, tuple(ROCKS)),
    Question(
        "products", "--products", "Products in mm", "as `0/4, 4/8, 8/16, 16/32`", answers.products
    ),
)


class AnswersError(AnswerError):
    """Several answers can't be used. `faults` says why, by the names of the questions."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        super().__init__("; ".join(faults.values()))
        self.faults = faults


def answered(given: Mapping[str, str]) -> Answers:
    """The answers from their texts, by the names of the questions. Raises AnswersError, and
    AnswerError where each can be used, but not all together."""
    found: dict[str, object] = {}
    faults: dict[str, str] = {}
    for question in QUESTIONS:
        try:
            found[question.name] = question.read(given.get(question.name, ""))
        except AnswerError as fault:
            faults[question.name] = str(fault)
    if faults:
        raise AnswersError(faults)
    return Answers(**found)  # type: ignore[arg-type]
