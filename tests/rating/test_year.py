"""What is required of a year is judged over all cases: the sum of rate times hours, which is
arithmetic and needs no source. The plant is the example with four cases."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.balancing import balanced, balanced_in_all
from hoggin.check.checker import Checked, check
from hoggin.diagnostics.source import Source
from hoggin.schema.results import RequirementResult, Results
from hoggin.world import World

pytestmark = pytest.mark.slow

_FILE = Path(__file__).parents[2] / "examples" / "seasons.hog"
_WRITTEN_H = 2400 - 600 - 400 - 100 - 300
HOURS = {"": _WRITTEN_H, "wet": 600, "second_pit": 400, "second_pit_wet": 100, "campaign": 300}


def checked(lines: str, change: tuple[str, str] = ("", "")) -> Checked:
    text = _FILE.read_text(encoding="utf-8").replace(*change)
    text = text.replace("  case wet {", f"{lines}\n  case wet {{")
    found = check(World(_FILE), Source(_FILE.name, text))
    assert not found.has_errors, [d.message for d in found.diagnostics]
    return found


def rates(found: list[Results], tag: str) -> dict[str, float]:
    """A product's rate by the case, "" as it is written."""
    return {
        one.plant.case: next(p.rate_t_h for p in one.products if p.tag == tag)
        for one in found
        if one.plant is not None
    }


def of_text(results: Results, text: str) -> RequirementResult:
    (found,) = (one for one in results.requirements if one.text.startswith(text))
    return found


def test_a_year_is_the_sum_of_rate_times_hours_of_every_state() -> None:
    found = balanced_in_all(checked("  require ballast.per_year >= 1 kt/y"))
    year = sum(rate * HOURS[case] for case, rate in rates(found, "ballast").items())
    for one in found:
        verdict = of_text(one, "ballast.per_year")
        assert verdict.value == pytest.approx(year / 1000)
        assert verdict.met and "over its cases" in verdict.value_text


@pytest.mark.parametrize(("factor", "met"), [(0.999, True), (1.001, False)])
def test_every_state_has_the_verdict_of_the_year(factor: float, met: bool) -> None:
    """No state alone gives so much: its own hours are a part of the year."""
    plain = balanced_in_all(checked(""))
    year = sum(rate * HOURS[case] for case, rate in rates(plain, "ballast").items())
    whole = checked(f"  require ballast.per_year >= {factor * year:.6f} t/y")
    for name in ("", "wet", "campaign"):
        assert of_text(balanced(whole.in_case(name)), "ballast.per_year").met is met


def test_a_requirement_that_names_cases_is_of_these_together() -> None:
    whole = checked("  require ballast.per_year >= 1 kt/y in wet, campaign")
    by_case = rates(balanced_in_all(whole), "ballast")
    expected = (by_case["wet"] * 600 + by_case["campaign"] * 300) / 1000
    for name in ("wet", "campaign"):
        verdict = of_text(balanced(whole.in_case(name)), "ballast.per_year")
        assert verdict.value == pytest.approx(expected)


def test_sums_of_products_are_of_the_year_too() -> None:
    found = balanced_in_all(checked("  require ballast.per_year + base.per_year >= 1 kt/y"))
    year = sum(
        rate * HOURS[case]
        for tag in ("ballast", "base")
        for case, rate in rates(found, tag).items()
    )
    assert of_text(found[0], "ballast.per_year").value == pytest.approx(year / 1000)


def test_without_hours_of_the_cases_each_is_a_whole_year() -> None:
    """No case says how long it is run: each is judged as if it were all the year."""
    text = _FILE.read_text(encoding="utf-8")
    for hours in ("600 h", "400 h", "100 h", "300 h"):
        text = "\n".join(
            line for line in text.split("\n") if line.split() != ["hours", *hours.split()]
        )
    text = text.replace("  case wet {", "  require ballast.per_year >= 1 kt/y\n  case wet {")
    found = balanced_in_all(check(World(_FILE), Source(_FILE.name, text)))
    for one in found:
        assert one.plant is not None
        rate = rates([one], "ballast")[one.plant.case]
        assert of_text(one, "ballast.per_year").value == pytest.approx(rate * 2400 / 1000)
