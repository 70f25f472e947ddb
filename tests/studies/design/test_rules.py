"""What binds at an optimum besides requirements: rules of classes, against differences of plants
that are balanced by themselves, and against scipy.optimize.linprog."""

from __future__ import annotations

import pytest
from scipy.optimize import linprog
from tests.studies.design.plants import crushing, design_of, divided, results_of

pytestmark = pytest.mark.slow

_LET = "let gap = free(1 mm to 56 mm)\nlet wear = 3 mm\nplant "


def _worn(css: str, lines: str) -> str:
    """The css follows from a number that may go beyond what the cone's class allows."""
    return crushing(css, "45 mm", lines)


def _with_gap(text: str) -> str:
    return text.replace("plant ", _LET, 1)


def test_the_range_of_a_class_that_binds_is_named_with_its_worth() -> None:
    """The finest css makes the most sand. What a millimetre of it is worth is the difference of two
    plants of plain numbers, balanced by themselves inside the range."""
    lines = "  maximize sand.rate\n"
    design = design_of(_with_gap(_worn("gap + wear", lines))).design
    (rule,) = design.rules
    assert rule.place == "cone.css"
    assert rule.text.startswith("must be from ") and rule.text.endswith(", its class's range")
    least = float(rule.worth.limit.removeprefix("at least ").removesuffix(" mm"))
    rates = {}
    for css in (least, least + 0.5):
        results = results_of(_worn(f"{css} mm", lines))
        rates[css] = next(one.rate_t_h for one in results.products if one.tag == "sand")
    each_mm = (rates[least] - rates[least + 0.5]) / 0.5
    assert each_mm > 0
    assert rule.worth.by_search == pytest.approx(each_mm, rel=0.1)
    assert rule.worth.by_multiplier == pytest.approx(each_mm, rel=0.1)
    assert rule.worth.unit == "mm"


def test_an_end_of_a_setting_that_its_class_sets_is_said_to_be() -> None:
    (rule,) = design_of(_with_gap(_worn("gap + wear", "  maximize sand.rate\n"))).design.rules
    least = rule.worth.limit.removeprefix("at least ")
    for low, by in ((least, "its class's range"), ("20 mm", "")):
        text = _worn(f"free({low} to 40 mm)", "  maximize sand.rate\n")
        (setting,) = design_of(text).design.settings
        assert (setting.end, setting.end_by) == ("lower", by)


def test_a_share_that_can_t_be_below_nothing_has_the_marginal_of_linear_programming() -> None:
    """As much as possible to first and second leaves no rest in the north."""
    design = design_of(divided("  maximize 12 * first.rate + 9 * second.rate\n")).design
    (rule,) = design.rules
    assert rule.place == "n.c" and rule.worth.limit == "at least 0 %"
    exact = linprog(
        [-12 * 200.0, -9 * 200.0, -12 * 100.0],
        A_ub=[[1.0, 1.0, 0.0]],
        b_ub=[1.0],
        bounds=[(0.05, 0.7), (0.05, 0.7), (0.05, 0.9)],
    )
    each = -exact.ineqlin.marginals[0] / 100  # of a per cent
    assert rule.worth.by_multiplier == pytest.approx(each, rel=1e-3)
    assert rule.worth.by_search == pytest.approx(each, rel=1e-3)


def test_limits_that_the_search_does_not_hold_are_reported() -> None:
    """The same that rating warns of the written plant."""
    found = design_of(_worn("free(13 mm to 32 mm)", "  maximize sand.rate\n"))
    assert found.text is not None
    warned = {one.code for one in results_of(found.text).warnings}
    told = {one.code for one in found.design.limits}
    assert told == warned - {"W0510", "W0511"} and told
