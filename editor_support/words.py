"""The language's words, asked of the compiler itself, so that no editor keeps a list of its own."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import get_args

from hoggin.check.free import FREE
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.schema.plant import Deck
from hoggin.schema.units import BASE_UNITS, NO_CURRENCIES, SYNONYMS
from hoggin.syntax.tables import tables
from hoggin.syntax.tokens import Token, tokens_of

# What the checker, not the grammar, gives a meaning. The tests ask the checker about each.
ARITHMETIC = ("max", "min")
WEIGHT = "weight"
IN_CASES = "in"  # behind a requirement, the cases that it holds in
REST = "rest"
PLAIN_TYPES = ("number", "text")

# Words that declare a thing; a new word of the grammar counts as a statement of another kind.
_DECLARING = frozenset(
    {"CLASS", "TEMPLATE", "SETTING", "PLANT", "SERIES", "MODEL", "DECK", "LET", "CHOOSE", "OPTION"}
    | {"CASE", "KIND", "DEFINITION", "PRODUCT", "DIRECTION"}
)
_TOKEN_PATTERN = r"\(\?P<{}>(.*?)\)(?:\|\(\?P<|$)"


@dataclass(frozen=True, slots=True)
class Words:
    """declaring: open a line and declare a thing (`crusher`, `let`). stating: open a line of
    another kind (`require`). joining: stand within a line (`between`). kinds: the words a class
    may be of. in_arrow: may follow `->`. never_blocks: openers that are names right before `{`.
    Each sorted.
    """

    declaring: tuple[str, ...]
    stating: tuple[str, ...]
    joining: tuple[str, ...]
    kinds: tuple[str, ...]
    in_arrow: tuple[str, ...]
    never_blocks: tuple[str, ...]

    @property
    def all(self) -> tuple[str, ...]:
        return tuple(sorted({*self.declaring, *self.stating, *self.joining}))


def words() -> Words:
    """Every word the grammar reserves, by the place where it is one."""
    kinds = {word: kind for word, kind in keywords().items() if word != WEIGHT}
    joining = {word for word in kinds if _is_word(f"x {word}")}
    openers = set(kinds) - joining
    declaring = {word for word in openers if kinds[word] in _DECLARING}
    return Words(
        declaring=tuple(sorted(declaring)),
        stating=tuple(sorted(openers - declaring)),
        joining=tuple(sorted(joining)),
        kinds=tuple(sorted(word for word in openers if _is_word(f"class {word}"))),
        in_arrow=tuple(sorted(word for word in openers if _is_word(f"x -> {word}"))),
        never_blocks=tuple(
            sorted(word for word in openers if _tokens(f"{word} {{")[0].kind == "NAME")
        ),
    )


def keywords() -> dict[str, str]:
    """Each word of the grammar and its kind of token."""
    found = dict(tables().words)
    for kind in tables().token.groupindex:
        pattern = pattern_of(kind)
        if pattern.endswith(r"\b"):  # words, as `(?:feed|bin)\b`
            listed = re.findall("[a-z_]{2,}", pattern)
            found.update({word: kind for word in listed if _tokens(word)[-1].kind == kind})
    return found


def pattern_of(kind: str) -> str:
    """The regular expression of a kind of token, as the compiler has it."""
    pattern = tables().token.pattern
    found = re.search(_TOKEN_PATTERN.format(kind), pattern, re.DOTALL)
    if found is None:
        raise ValueError(f"no token of kind {kind} in {pattern}")
    return found[1].replace("\n", r"\n").replace("\t", r"\t")


def no_units() -> tuple[str, ...]:
    """Words that behind a number are no unit: the line goes on with them."""
    listed = sorted({*words().joining, WEIGHT})
    return tuple(word for word in listed if _tokens(f"1 {word}")[-1].kind != "MEASURE")


def units() -> tuple[str, ...]:
    """Base units, longest first, so that `mm2` goes before `mm`."""
    names = (*BASE_UNITS, *SYNONYMS)
    return tuple(sorted(names, key=lambda unit: (-len(unit), unit)))


def no_currencies() -> tuple[str, ...]:
    """Words of three capital letters that are no currency, but another unit in capitals."""
    return tuple(sorted(w.upper() for w in NO_CURRENCIES if len(w) == 3 and w.isalpha()))


def functions() -> tuple[str, ...]:
    return tuple(sorted({*ARITHMETIC, *FREE}))


def openings() -> tuple[str, ...]:
    """The shapes of a deck's openings."""
    return tuple(sorted(get_args(Deck.model_fields["shape"].annotation)))


def _is_word(line: str) -> bool:
    """Whether the compiler reads the last word of a line as the language's own."""
    return _tokens(line)[-1].kind != "NAME"


def _tokens(line: str) -> list[Token]:
    return tokens_of(Source("", line), Diagnostics())
