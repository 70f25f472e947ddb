"""Small plants with free settings, and a design of a text. All are invented for the tests."""

from __future__ import annotations

from pathlib import Path

from tests.check.reading import FEED, LIBRARIES, MATERIAL

from hoggin.balance import CannotSettle, balance
from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.rating.rate import rate
from hoggin.schema.results import Results
from hoggin.studies.design.design import DesignQuestion, Found, designed
from hoggin.studies.design.search import Effort
from hoggin.world import World

_NOWHERE = Path("/nowhere/plant.hog")


def design_of(text: str, *, starts: int = 32, seed: int = 0, point: int | None = None) -> Found:
    question = DesignQuestion(Effort(starts=starts, seed=seed), point)
    return designed(World(_NOWHERE), Source("plant.hog", text), question)


def results_of(text: str) -> Results:
    """A plant of plain numbers, balanced and rated by itself."""
    checked = check(World(_NOWHERE), Source("plant.hog", text))
    assert checked.plant is not None, [(d.code, d.message) for d in checked.diagnostics]
    return rate(checked.plant, balance(checked.plant), "plant.hog")


def balanced(text: str) -> Results | None:
    """The same; None where it has no steady balance, and so is no plant to choose."""
    try:
        return results_of(text)
    except CannotSettle:
        return None


def divided(lines: str) -> str:
    """Two feeds, each divided by free shares into the same three products: everything is linear in
    the shares."""
    return f"""{LIBRARIES}{MATERIAL}
plant "Two pits" {{
  sieves {{ 63 mm, 20 mm, 5 mm }}
  feed north {{ rock granite; rate 200 t/h; passing {{ 200 mm: 100 %, 50 mm: 40 % }} }}
  feed south {{ rock granite; rate 100 t/h; passing {{ 80 mm: 100 %, 20 mm: 40 % }} }}
  splitter n {{ out a free(5 % to 70 %); out b free(5 % to 70 %); out c rest }}
  splitter s {{ out a free(5 % to 90 %); out b rest }}
  north -> n
  south -> s
  n.a -> product first
  n.b -> product second
  n.c -> product third
  s.a -> first
  s.b -> third
{lines}
}}
"""


def crushing(css: str, top: str, lines: str, duty: str = "secondary") -> str:
    """A cone in closed circuit with a screen of two decks."""
    return f"""{LIBRARIES}{MATERIAL}
plant "Hill" {{
{FEED}
  crusher cone: cones.high_speed(head: 1300 mm) {{ duty {duty}; chamber coarse; css {css} }}
  screen sizing: screens.inclined(width: 2.4 m, length: 6.0 m) {{
    deck top    {top} square
    deck bottom 5 mm square
  }}
  rock -> sizing
  sizing.top.over    -> cone -> sizing
  sizing.bottom.over -> product stone
  sizing.under       -> product sand
{lines}
}}
"""
