"""Materials that extend others, and rocks of the library: what is inherited, what is one's own."""

from __future__ import annotations

import pytest

from hoggin.schema.plant import Material
from tests.check.reading import check_text, codes, plant_of

FEED = "rate 100 t/h; passing { 100 mm: 100 %, 4 mm: 20 % }"


def text(above: str, rock: str = "ours") -> str:
    return f"""\
use std.rocks
use std.sieves
{above}
plant "rock" {{
  sieves sieves.quarry
  feed pit {{ rock {rock}; {FEED} }}
  pit -> product all
}}
"""


def material(above: str, rock: str = "ours") -> Material:
    (found,) = plant_of(text(above, rock)).materials.values()
    return found


def test_a_material_has_its_own_facts_and_inherits_the_others() -> None:
    base, own = (
        material("", "rocks.granite"),
        material(
            'material ours: rocks.granite { work_index 17.2 kWh/t source "our lab"; moisture 4 % }'
        ),
    )
    assert own.work_index_kwh_t == 17.2
    assert own.moisture == 0.04
    assert own.solid_density_t_m3 == base.solid_density_t_m3
    assert own.abrasion_index == base.abrasion_index
    assert own.name == "ours"


def test_library_figures_are_typical_and_own_ones_are_not() -> None:
    own = material('material ours: rocks.granite { work_index 17.2 kWh/t source "our lab" }')
    assert "work_index" not in own.typical
    assert set(own.typical) == {
        *("solid_density", "bulk_density", "abrasion_index"),
        *("absorption", "compressive_strength"),
    }
    assert own.sources["work_index"] == "our lab"
    assert "measure it before purchase" in own.sources["solid_density"]
    assert "work_index" not in own.ranges
    low, high = own.ranges["solid_density"]
    assert low < own.solid_density_t_m3 < high


def test_a_material_may_extend_one_that_extends_another() -> None:
    found = material(
        "material pit: rocks.basalt { work_index 19 kWh/t }\n"
        "material ours: pit { abrasion_index 0.25 }"
    )
    assert (found.work_index_kwh_t, found.abrasion_index) == (19.0, 0.25)


def test_an_inherited_line_means_what_it_means_in_its_file() -> None:
    found = material(
        "let index = 14 kWh/t\n"
        "material pit: rocks.basalt { work_index index }\n"
        "material ours: pit { abrasion_index 0.25 }"
    )
    assert found.work_index_kwh_t == 14.0


def test_a_case_changes_a_figure_that_is_inherited() -> None:
    body = text("material ours: rocks.granite {}").replace(
        "  pit -> product all", "  pit -> product all\n  case wet { ours.moisture 6 % }"
    )
    wet = check_text(body).in_case("wet").plant
    assert wet is not None and wet.materials["ours"].moisture == 0.06


@pytest.mark.parametrize(
    ("above", "expected"),
    [
        ("material ours: ours { moisture 1 % }", ["E0410"]),
        ("material ours: other {}\nmaterial other: ours {}", ["E0410"]),
        ("use std.jaws\nmaterial ours: jaws.single_toggle {}", ["E0410"]),
        ("material ours: rocks.granit {}", ["E0201"]),
        ("grading ours: rocks.granite { passing { 63 mm: 100 %, 4 mm: 8 % } }", ["E0410"]),
    ],
)
def test_what_can_not_be_extended_is_refused(above: str, expected: list[str]) -> None:
    found = codes(text(above, "rocks.gneiss"))
    assert [code for code in found if code.startswith("E")] == expected


def test_a_whole_material_that_lacks_a_fact_is_told_so() -> None:
    lacking = (
        "material base { solid_density 2.7 t/m3 }\nmaterial ours: base { work_index 12 kWh/t }"
    )
    assert codes(text(lacking)) == ["W0101", "E0402"]
