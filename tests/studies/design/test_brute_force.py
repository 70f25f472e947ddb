"""Designs against brute force: every plant of a grid of settings written out in full, checked,
balanced and rated by itself, as any plant is."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from tests.studies.design.plants import balanced, crushing, design_of, results_of

from hoggin.schema.results import RequirementResult, Results

pytestmark = pytest.mark.slow

_REQUIRED = "  require sand.share <= 21 %\n  require cone.load <= 90 %\n"


def _tried(
    sizes: list[float], tops: list[float], lines: str = _REQUIRED
) -> dict[tuple[float, float], Results]:
    tried = {
        (css, top): balanced(crushing(f"{css} mm", f"{top} mm", lines))
        for css, top in product(sizes, tops)
    }
    return {key: results for key, results in tried.items() if results is not None}


def _met(results: Results) -> bool:
    return all(requirement.met for requirement in results.requirements)


def _power(results: Results) -> float:
    return results.power_kw


def _rate(results: Results, tag: str) -> float:
    return next(product.rate_t_h for product in results.products if product.tag == tag)


def test_all_choices_are_balanced_and_the_best_that_meets_all_is_taken() -> None:
    sizes, tops = [24.0, 28.0, 32.0, 36.0, 40.0], [31.5, 40.0, 45.0]
    tried = _tried(sizes, tops)
    good = {key: _power(results) for key, results in tried.items() if _met(results)}
    best = min(good, key=lambda key: good[key])
    assert 0 < len(good) < len(tried)
    css, top = (f"any({', '.join(f'{n:g} mm' for n in numbers)})" for numbers in (sizes, tops))
    found = design_of(crushing(css, top, f"{_REQUIRED}  minimize plant.power\n"))
    settings = {one.name: one.written for one in found.design.settings}
    assert settings == {"cone.css": f"{best[0]:g} mm", "sizing.top": f"{best[1]:g} mm"}
    assert found.design.aims[0].value == pytest.approx(good[best], rel=1e-8)
    assert found.design.every
    assert found.design.balances == len(sizes) * len(tops)


def _margin(one: RequirementResult) -> float:
    assert one.margin is not None
    return one.margin


def _asked(results: Results, what: str) -> RequirementResult:
    return next(one for one in results.requirements if one.text.startswith(what))


def test_of_choices_the_least_relief_that_brings_anything_is_told() -> None:
    sizes, tops = [24.0, 28.0, 32.0, 36.0, 40.0], [40.0, 45.0]
    lines = "  require sand.share >= 20 %\n  require cone.load <= 90 %\n"
    tried = _tried(sizes, tops, lines)
    good = {key: _power(results) for key, results in tried.items() if _met(results)}
    best = min(good.values())
    # Of all plants with less power, the one that lacks least of the share; all meet the load.
    lacks, power = min(
        (-_margin(_asked(results, "sand.share")), _power(results))
        for results in tried.values()
        if _power(results) < best and _asked(results, "cone.load").met
    )
    css, top = (f"any({', '.join(f'{n:g} mm' for n in numbers)})" for numbers in (sizes, tops))
    design = design_of(crushing(css, top, f"{lines}  minimize plant.power\n")).design
    share, load = (
        next(one for one in design.requirements if one.text.startswith(what))
        for what in ("sand.share", "cone.load")
    )
    (worth,) = share.worths
    # The study's grid of sizes has more edges than each plant's own: some hundredths of a point.
    assert worth.relaxed == pytest.approx(lacks, abs=0.05)
    assert worth.by_search == pytest.approx(best - power, abs=0.3)
    assert load.worths == ()


def test_a_range_and_a_choice_reach_the_best_of_all_that_can_be_set() -> None:
    sizes, tops = [float(s) for s in np.arange(30.0, 42.1, 0.5)], [31.5, 40.0]
    # The share rules out narrow settings, and the load wide ones, which need the least power.
    lines = "  require sand.share <= 21 %\n  require cone.load <= 50.5 %\n"
    tried = _tried(sizes, tops, lines)
    good = {key: _power(results) for key, results in tried.items() if _met(results)}
    best = min(good, key=lambda key: good[key])
    text = crushing(
        "free(30 mm to 42 mm)", "any(31.5 mm, 40 mm)", f"{lines}  minimize plant.power\n"
    )
    found = design_of(text)
    settings = {one.name: one.written for one in found.design.settings}
    assert settings == {"cone.css": f"{best[0]:g} mm", "sizing.top": f"{best[1]:g} mm"}
    assert found.design.aims[0].value == pytest.approx(good[best], rel=1e-8)
    assert found.design.aims[0].exact <= good[best]


def test_the_written_revision_is_a_plant_that_meets_all_it_requires() -> None:
    text = crushing(
        "free(20 mm to 50 mm)", "free(25 mm to 45 mm)", f"{_REQUIRED}  maximize stone.rate\n"
    )
    found = design_of(text)
    assert found.text is not None
    results = results_of(found.text)
    assert _met(results)
    assert _rate(results, "stone") == pytest.approx(found.design.aims[0].value, rel=1e-8)
    assert "free(" not in found.text


def test_without_an_aim_the_requirements_are_met_with_room() -> None:
    sizes = [24.0, 28.0, 32.0, 36.0, 40.0]
    lines = "  require sand.share <= 25 %\n  require cone.load <= 90 %\n"
    css = f"any({', '.join(f'{n:g} mm' for n in sizes)})"
    found = design_of(crushing(css, "any(40 mm, 45 mm)", lines))
    tried = _tried(sizes, [40.0, 45.0], lines)

    def room(results: Results) -> float:  # over each limit, as the margins of two upper limits
        return min(
            _margin(r) / limit for r, limit in zip(results.requirements, (25, 90), strict=True)
        )

    best = max(tried, key=lambda key: room(tried[key]))
    settings = {one.name: one.written for one in found.design.settings}
    assert settings == {"cone.css": f"{best[0]:g} mm", "sizing.top": f"{best[1]:g} mm"}


def test_the_same_seed_gives_the_same_bytes() -> None:
    text = crushing(
        "free(30 mm to 42 mm)", "any(40 mm, 45 mm)", f"{_REQUIRED}  minimize plant.power\n"
    )
    first, second = design_of(text, seed=3), design_of(text, seed=3)
    assert first.text == second.text
    assert first.design.model_dump_json() == second.design.model_dump_json()
