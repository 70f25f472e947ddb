"""One figure of many hybrids against the whole results of each one balanced by itself."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.revise.why.sides import EDITS, EXAMPLES, QUARRY, changed, sides

from hoggin.balance.circuit import lower
from hoggin.balance.grid import common_edges
from hoggin.balance.solver import solve
from hoggin.rating.rate import rate
from hoggin.revise.why.attribute import _hybrids
from hoggin.revise.why.hybrids import Refusal
from hoggin.revise.why.values import values

pytestmark = pytest.mark.slow

SAND = (EXAMPLES / "sand.hog").read_text(encoding="utf-8")


WASHED = changed(
    SAND,
    [
        ("140 t/h\n", "126 t/h\n"),
        ("spray 80 m3/h", "spray 95 m3/h"),
        ("added_water 10 m3/h", "added_water 25 m3/h"),
        ("cut 0.12 mm", "cut 0.13 mm"),
        ("width: 1.8 m, length: 3.6 m", "width: 1.5 m, length: 3.6 m"),
    ],
)


@pytest.mark.parametrize(
    ("before", "after", "result"),
    [
        (QUARRY, changed(QUARRY, EDITS[1:6]), "plant.power"),
        (QUARRY, changed(QUARRY, EDITS[1:6]), "sorting.top.area_use"),
        (QUARRY, changed(QUARRY, EDITS[:4]), "sand.moisture"),
        (SAND, WASHED, "sand.moisture"),
        (SAND, WASHED, "slimes.moisture - stone.moisture"),
        (SAND, WASHED, "plant.rate"),
    ],
)
def test_each_value_is_that_of_the_hybrid_balanced_by_itself(
    tmp_path: Path, before: str, after: str, result: str
) -> None:
    old, new = sides(tmp_path, before, after)
    hybrids, _ = _hybrids(old, new, result, {})
    choices = range(hybrids.all + 1)
    plants = {c: p for c in choices if not isinstance(p := hybrids.plant(c), Refusal)}
    wholes = [side.checked.plant for side in (old, new) if side.checked.plant is not None]
    found = values(plants, wholes)
    edges = common_edges((*wholes, *plants.values()))
    assert len(found) == len(choices)
    for choice in choices:
        # The result is required to be something: its value is told though it may not be judged.
        plant = plants[choice]
        limit = plant.requirements[0]
        asked = limit.model_copy(update={"expression": limit.expression.left, "low": 0.0})  # type: ignore[union-attr]
        whole = plant.model_copy(update={"requirements": (asked,)})
        results = rate(whole, solve(lower(whole, edges)), "x.hog")
        assert found[choice] == pytest.approx(results.requirements[0].value, rel=1e-6)
