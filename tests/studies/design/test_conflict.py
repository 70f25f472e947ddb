"""Requirements in conflict, against every subset of them: by brute force over all settings, and by
linear programming (scipy.optimize.linprog) where the plant is linear."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from scipy.optimize import linprog
from tests.studies.design.plants import balanced, crushing, design_of, divided
from tests.studies.design.test_linear import _BOUNDS, _RATES, _WHOLE

pytestmark = pytest.mark.slow

_LINES = (
    "sand.share >= 21 %",
    "cone.load <= 41.5 %",
    "plant.power <= 168 kW",
    "stone.rate >= 150 t/h",
)


def test_the_smallest_set_is_that_of_every_subset_tried() -> None:
    sizes, tops = (22, 24, 26, 28, 32, 36), (40, 45, 50)
    required = "".join(f"  require {line}\n" for line in _LINES)
    plants = [balanced(crushing(f"{c} mm", f"{t} mm", required)) for c, t in product(sizes, tops)]
    met = [
        tuple(next(one.met for one in p.requirements if one.text == line) for line in _LINES)
        for p in plants
        if p is not None
    ]
    subsets = [s for n in range(1, 5) for s in combinations(range(4), n)]
    impossible = [s for s in subsets if not any(all(case[k] for k in s) for case in met)]
    assert impossible, "the example is to have a conflict"
    css, top = (f"any({', '.join(f'{n} mm' for n in numbers)})" for numbers in (sizes, tops))
    found = design_of(crushing(css, top, f"{required}  maximize stone.rate\n"))
    assert found.text is None
    assert found.design.conflict is not None
    named = tuple(
        sorted(_LINES.index(p.text.removeprefix("require ")) for p in found.design.conflict.parts)
    )
    assert named in impossible
    assert len(named) == min(map(len, impossible))
    assert found.design.conflict.smallest
    assert found.design.conflict.proven


def _least_shortfall(rows: list[np.ndarray], limits: list[float], eased: int) -> float:
    """The least that one limit has to be relaxed by for all to be met."""
    columns = np.array([[*row, -float(n == eased)] for n, row in enumerate(rows)])
    found = linprog([0, 0, 0, 1], A_ub=columns, b_ub=limits, bounds=[*_BOUNDS, (0, None)])
    assert found.fun is not None
    return float(found.fun)


def test_what_each_would_have_to_give_is_that_of_linear_programming() -> None:
    kinds = [(-1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0), (0.0, 0.0, 1.0)]
    most = [-150.0, -60.0, -120.0, 250.0]
    lines = (
        "first.rate >= 150 t/h",
        "second.rate >= 60 t/h",
        "third.rate >= 120 t/h",
        "third.rate <= 250 t/h",
    )
    required = "".join(f"  require {line}\n" for line in lines)
    found = design_of(divided(f"{required}  maximize first.rate\n")).design.conflict
    assert found is not None
    assert {part.text for part in found.parts} == set(lines[:3])
    assert not found.proven
    rows = [np.array(kind) @ _RATES for kind in kinds]
    limits = [m - np.array(kind) @ _WHOLE for m, kind in zip(most, kinds, strict=True)]
    rows.append(np.array([1.0, 1.0, 0.0]))  # what the north splitter's third outlet is left
    limits.append(1.0)
    for part in found.parts:
        place = lines.index(part.text)
        assert part.needed == pytest.approx(_least_shortfall(rows, limits, place), rel=1e-4)
