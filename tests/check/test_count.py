"""`count`: how many equal machines stand in parallel, as the language reads it."""

from __future__ import annotations

import pytest

from hoggin.schema.plant import Plant
from tests.check.reading import check_text, codes, plant_of, small_plant

CONE = "  crusher cone: cones.high_speed(head: 1300 mm) { duty tertiary; css 14 mm; LINE }\n"
ROUTES = "  rock -> cone -> product fine\n"


def counts(plant: Plant) -> dict[str, float]:
    return {machine.tag: machine.count for machine in plant.machines}


def errors(text: str) -> list[str]:
    return [code for code in codes(text) if code.startswith("E")]


def with_line(line: str, above: str = "") -> str:
    return small_plant(CONE.replace("LINE", line) + ROUTES, above)


@pytest.mark.parametrize(
    ("line", "count"),
    [('note "one"', 1), ("count 2", 2), ("count 1 + 2", 3), ("count cones_wanted", 4)],
)
def test_a_count_is_any_whole_number_that_can_be_worked_out(line: str, count: int) -> None:
    assert counts(plant_of(with_line(line, "let cones_wanted = 4\n"))) == {"cone": count}


def test_a_count_may_be_a_parameter_of_a_template_beside_a_class() -> None:
    template = (
        "template line(cone: class crusher, many: number = 1) {\n  in stone\n  out fine\n"
        "  crusher crush: cone(head: 1300 mm) { duty tertiary; css 14 mm; count many }\n"
        "  stone -> crush -> fine\n}\n"
    )
    body = (
        "  splitter halves { out a 50 %; out b rest }\n"
        "  section one: line(cone: cones.high_speed, many: 3)\n"
        "  section two: line(cone: cones.medium_speed)\n"
        "  rock -> halves\n  halves.a -> one\n  halves.b -> two\n"
        "  one.fine -> product fine\n  two.fine -> fine\n"
    )
    found = counts(plant_of(small_plant(body, template)))
    assert found == {"halves": 1, "one.crush": 3, "two.crush": 1}


def test_a_case_may_state_another_count() -> None:
    checked = check_text(
        with_line("count 2").rstrip().removesuffix("}") + "case wet { cone.count 3 }\n}\n"
    )
    assert checked.plant is not None
    assert counts(checked.plant) == {"cone": 2}
    wet = checked.in_case("wet").plant
    assert wet is not None and counts(wet) == {"cone": 3}
    (case,) = checked.plant.cases
    assert case.lines == {"cone.count": "3"}


def test_a_list_leaves_a_count_open_and_starts_at_its_first() -> None:
    checked = check_text(with_line("count any(2, 1, 3)"))
    assert checked.plant is not None
    assert counts(checked.plant) == {"cone": 2}
    (name,) = checked.freedom.variables
    assert name == "cone.count"
    assert checked.freedom.variables[name].numbers == (2, 1, 3)


@pytest.mark.parametrize(
    "value",
    ["0", "-1", "1.5", "101", "free(1 to 3, 2)", "normal(2, 1)", "2 * any(1, 2)", "any(1, 1.5, 2)"],
)
def test_what_is_no_whole_number_of_machines_is_refused(value: str) -> None:
    assert errors(with_line(f"count {value}")) == ["E0306"]


def test_a_count_has_no_unit() -> None:
    assert errors(with_line("count 2 t/h")) == ["E0302"]


@pytest.mark.parametrize("kind", ["blend", "bin", "stockpile"])
def test_what_is_of_no_class_has_no_count(kind: str) -> None:
    text = small_plant(f"  {kind} point {{ count 2 }}\n  rock -> point -> product fine\n")
    assert "E0403" in errors(text)
