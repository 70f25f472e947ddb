"""Formulas are typed as in a letter, `(d/d50)^5.8` and `sqrt(T)`: what is raised, for a page."""

from __future__ import annotations

import re
from collections.abc import Iterator

_NESTED = r"\((?:[^()]|\([^()]*\))*\)"
_POWER = re.compile(rf"(?<=[\w)\]])\^({_NESTED}|-?[A-Za-z]\w*|-?\d+(?:\.\d+)?(?:/\d+)?)")


def typeset(text: str) -> Iterator[tuple[bool, str]]:
    """The text in parts, each with whether it is an exponent."""
    end = 0
    for power in _POWER.finditer(text):
        yield False, _rooted(text[end : power.start()])
        exponent = power[1]
        yield True, _rooted(exponent[1:-1] if exponent.startswith("(") else exponent)
        end = power.end()
    yield False, _rooted(text[end:])


def _rooted(text: str) -> str:
    return re.sub(r"\bsqrt(?=\()", "√", text)
