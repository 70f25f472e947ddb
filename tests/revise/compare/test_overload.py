"""A comparison shows that a machine became overloaded, and what is no longer judged."""

from __future__ import annotations

import pytest
from tests.check.reading import FEED, LIBRARIES, MATERIAL, plant_of
from tests.revise.compare.test_consequences import side

from hoggin.revise.compare import compare

PLANT = f"""{LIBRARIES}{MATERIAL}
plant "p" {{
{FEED}
  crusher cone: cones.medium_speed(head: HEAD mm) {{ duty secondary; chamber coarse; css 22 mm }}
  rock -> cone -> product chips
  require chips.rate >= 1 t/h
}}
"""


@pytest.mark.parametrize(
    ("heads", "overloaded", "judged"),
    [
        (("2000", "650"), ("", "cone", True), ("met", "not judged")),
        (("650", "2000"), ("cone", "", False), ("not judged", "met")),
    ],
)
def test_an_overload_is_a_turn_for_the_worse_and_its_end_is_not(
    heads: tuple[str, str], overloaded: tuple[str, str, bool], judged: tuple[str, str]
) -> None:
    before, after = (side(head, plant_of(PLANT.replace("HEAD", head))) for head in heads)
    found = compare(before, after, 0.0)
    turn = next(turn for turn in found.turns if turn.what == "overloaded")
    assert (turn.before, turn.after, turn.worse) == overloaded
    (change,) = found.requirements
    assert change.before is not None and change.after is not None
    assert (change.before.verdict, change.after.verdict) == judged
