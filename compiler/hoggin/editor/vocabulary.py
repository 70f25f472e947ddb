"""What may be stated where, as the editor proposes it: the declared facts, and keywords."""

from __future__ import annotations

from hoggin.schema.facts import Fact
from hoggin.schema.kinds import KINDS

TOP = ("use", "let", "material", "grading", "series", "band", "class", "template", "plant")
BODY = ("let", "feed", *KINDS, "product", "section", "require")
PLANT_ONLY = ("aim", "choose")
CLASS = ("setting", "let", "rule", "model")


def meaning(fact: Fact) -> str:
    """What a fact says, and within which bounds: `Bond's, for crushing; 2 to 60 kWh/t`."""
    return "; ".join(part for part in (fact.meaning, fact.bounds or fact.range) if part)
