"""A sensible first plant from a few answers: chosen, sized by balancing it, written as a person
would."""

from hoggin.start.answers import ROCKS, AnswerError, Answers, read_answers
from hoggin.start.choose import Proposal, propose

__all__ = ["ROCKS", "AnswerError", "Answers", "Proposal", "propose", "read_answers"]
