"""The language's own words: where keywords may be, and what keywords, facts and results mean."""

from __future__ import annotations

from bisect import bisect_right

from hoggin.check.meanings import KEYWORDS, OPEN
from hoggin.editor.snapshot import Snapshot
from hoggin.schema.asked import meanings
from hoggin.schema.facts import Fact
from hoggin.schema.kinds import KINDS

TOP = ("use", "let", "material", "grading", "series", "band", "class", "template", "plant")
BODY = ("let", "feed", *KINDS, "product", "section", "require")
PLANT_ONLY = ("maximize", "minimize", "choose", "case", "operation", "project")
IN_MACHINES = ("operation", "note")
CLASS = ("setting", "let", "rule", "model")


def word_lines(snapshot: Snapshot, offset: int) -> tuple[str, ...]:
    """A line about the word at or just before an offset; none for a name or a sign."""
    tokens = snapshot.tokens
    place = bisect_right(tokens, offset, key=lambda token: token.start) - 1
    if place < 0 or offset > tokens[place].end:
        return ()
    token = tokens[place]
    is_result = place > 0 and tokens[place - 1].kind == "DOT" and token.text in meanings()
    if token.kind == "NAME":
        told = meanings()[token.text] if is_result else OPEN.get(token.text, "")
    else:
        told = KEYWORDS.get(token.text, "")
    return (f"`{token.text}`: {told}",) if told else ()


def meaning(fact: Fact) -> str:
    """What a fact says, and within which bounds: `Bond's, for crushing; 2 to 60 kWh/t`."""
    return "; ".join(part for part in (fact.meaning, fact.bounds or fact.range) if part)
