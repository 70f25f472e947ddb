"""Two revisions of a plant: what was changed, and the effect."""

from hoggin.revise.compare.compare import Side, compare
from hoggin.revise.compare.comparison import Change, Comparison, Consequence, Turn

__all__ = ["Change", "Comparison", "Consequence", "Side", "Turn", "compare"]
