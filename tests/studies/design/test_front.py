"""Trade-off fronts against brute force, and against linear programming."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from scipy.optimize import linprog
from tests.studies.design.plants import balanced, crushing, design_of, divided, results_of
from tests.studies.design.test_linear import _BOUNDS, _RATES, _WHOLE

from hoggin.schema.results import Results

pytestmark = pytest.mark.slow

_AIMS = "  maximize sand.rate\n  minimize plant.power\n"


def _both(results: Results) -> tuple[float, float]:
    sand = next(p.rate_t_h for p in results.products if p.tag == "sand")
    return sand, results.power_kw  # aims stand in the order of their words


def test_a_front_of_choices_is_all_that_nothing_dominates() -> None:
    sizes, tops = (22, 25, 28, 32, 36, 40), (40, 45, 50)
    required = "  require cone.load <= 90 %\n"
    plants = [balanced(crushing(f"{c} mm", f"{t} mm", required)) for c, t in product(sizes, tops)]
    met = [_both(r) for r in plants if r is not None and all(one.met for one in r.requirements)]
    front = {
        (sand, power)
        for sand, power in met
        if not any(s >= sand and p <= power and (s, p) != (sand, power) for s, p in met)
    }
    assert 1 < len(front) < len(met)
    css, top = (f"any({', '.join(f'{n} mm' for n in numbers)})" for numbers in (sizes, tops))
    design = design_of(crushing(css, top, required + _AIMS)).design
    found = [point.values for point in design.frontier]
    # The search balances all on one grid of sizes, with the edges of every aperture.
    assert np.array(found) == pytest.approx(np.array(sorted(front, reverse=True)), rel=1e-3)
    assert sum(point.picked for point in design.frontier) == 1


def test_points_of_a_linear_front_are_as_good_as_linear_programming() -> None:
    design = design_of(
        divided(
            "  maximize first.rate\n  maximize second.rate + 0.5 * third.rate\n"
            "  require third.rate >= 40 t/h\n"
        )
    ).design
    other = np.array([0.0, 1.0, 0.5])
    rows = [-other @ _RATES, -np.array([0.0, 0.0, 1.0]) @ _RATES, np.array([1.0, 1.0, 0.0])]
    assert len(design.frontier) >= 5
    for first, second in (point.values for point in design.frontier):
        limits = [other @ _WHOLE - second + 1e-6, _WHOLE[2] - 40.0, 1.0]
        best = linprog(-_RATES[0], A_ub=np.array(rows), b_ub=limits, bounds=_BOUNDS)
        assert best.fun is not None
        assert first == pytest.approx(-best.fun, rel=1e-4)


def test_weights_move_the_point_and_a_point_can_be_asked_for() -> None:
    text = crushing("any(22 mm, 25 mm, 28 mm, 32 mm, 36 mm)", "any(40 mm, 45 mm, 50 mm)", _AIMS)
    heavy = text.replace("minimize plant.power", "minimize plant.power weight 20")
    light = text.replace("minimize plant.power", "minimize plant.power weight 0.05")
    by_power, by_sand = design_of(heavy).design, design_of(light).design
    # The heavier aim stands first, and a front begins with what is best in it.
    assert by_power.aims[0].text.startswith("minimize") and by_power.frontier[0].picked
    assert by_sand.aims[0].text.startswith("maximize") and by_sand.frontier[0].picked
    asked = design_of(text, point=2)
    assert asked.design.frontier[1].picked
    assert asked.text is not None
    assert _both(results_of(asked.text)) == pytest.approx(asked.design.frontier[1].values, rel=1e-3)
