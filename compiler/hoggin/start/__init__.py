"""Makes a sensible first plant from a few answers: chooses it, sizes it by balancing and writes
it."""

from hoggin.start.answers import ROCKS, AnswerError, Answers, read_answers
from hoggin.start.choose import Proposal, propose

__all__ = ["ROCKS", "AnswerError", "Answers", "Proposal", "propose", "read_answers"]
