"""Every example balances, meets what it requires, and says that it is invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.rating.rate import rate

EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = sorted(EXAMPLES.rglob("*.hog"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_an_example_has_no_faults_and_says_it_is_invented(path: Path) -> None:
    assert not check_file(path).diagnostics
    assert "nvented" in path.read_text(encoding="utf-8").partition("\nuse ")[0]


@pytest.mark.parametrize(
    "name",
    ["quarry", "gravel", "sand", "cones", "twins", "tabulated", "standard/north", "standard/south"],
)
def test_an_example_balances_and_meets_its_requirements(name: str) -> None:
    checked = check_file(EXAMPLES / f"{name}.hog")
    assert checked.plant is not None
    results = rate(checked.plant, balance(checked.plant), checked.source.name)
    assert results.closure.worst < 1e-9
    assert results.requirements and all(r.met for r in results.requirements)
    assert sum(p.rate_t_h for p in results.products) == pytest.approx(results.feed_t_h)


@pytest.mark.slow
def test_the_example_of_cases_meets_its_requirements_in_every_case() -> None:
    checked = check_file(EXAMPLES / "seasons.hog")
    assert len(checked.cases) == 4
    for case in ("", *checked.cases):
        plant = checked.in_case(case).plant
        assert plant is not None
        results = rate(plant, balance(plant), checked.source.name)
        assert results.closure.worst < 1e-9
        assert results.requirements and all(r.met for r in results.requirements)


@pytest.mark.slow
def test_the_main_example_is_the_plant_it_claims_to_be() -> None:
    checked = check_file(EXAMPLES / "quarry.hog")
    assert checked.plant is not None
    results = rate(checked.plant, balance(checked.plant), "quarry.hog")
    assert results.feed_t_h == 450
    assert len(results.loops) == 2
    assert len(results.products) == 5
