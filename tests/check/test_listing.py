"""What a plant says for documents alone: its project, titles, tags, sheets, notes. Faults of these
lines stand in tests/fixtures/errors."""

from __future__ import annotations

import pytest

from hoggin.schema.plant import Listed, Plant, Project
from tests.check.reading import check_text, codes, plant_of, small_plant

_LINE = """template line(number: text) {
  in  stone
  out fine
  bin     hopper { live 10 t; tag number; sheet "bins" }
  crusher cone: cones.high_speed(head: 1300 mm) {
    duty tertiary; css 14 mm; tag "30-CR-300"; title "Cone"
  }
  stone -> hopper -> cone -> fine
}
"""
_TWO = """
  splitter halves { out a 50 %; out b rest }
  section one: line(number: "30-BN-301") { cone.tag "30-CR-301"; cone.existing; sheet "left" }
  section two: line(number: "30-BN-302") { SECOND }
  rock -> halves
  halves.a -> one
  halves.b -> two
  one.fine -> product fine
  two.fine -> fine
"""


def _two(second: str) -> str:
    return small_plant(_TWO.replace("SECOND", second), _LINE)


def _things(plant: Plant) -> dict[str, Listed]:
    return {one.tag: one for one in (*plant.feeds, *plant.machines, *plant.products)}


def test_a_machine_feed_and_product_say_what_documents_call_them() -> None:
    body = (
        '  stockpile pile { live 10 t; tag "10-ST-1"; title "Pile"; sheet "a"\n'
        '    note "b"; existing }\n'
        "  rock -> pile -> product fine\n"
        '  product fine { tag "P1"; title "0/4"; sheet "c"; note "sold" }\n'
    )
    plant = plant_of(small_plant(body))
    (pile,), (fine,) = plant.machines, plant.products
    assert (pile.item_tag, pile.title, pile.sheet, pile.notes) == ("10-ST-1", "Pile", "a", ("b",))
    assert pile.existing
    assert (fine.item_tag, fine.title, fine.sheet, fine.notes) == ("P1", "0/4", "c", ("sold",))


def test_a_product_without_a_title_is_called_by_its_name() -> None:
    (product,) = plant_of(small_plant("  rock -> product fine\n")).products
    assert (product.title, product.item_tag) == ("fine", "")


def test_a_section_states_tags_in_place_of_its_template() -> None:
    things = _things(plant_of(_two('cone.tag "30-CR-302"')))
    assert things["one.cone"].item_tag == "30-CR-301"
    assert things["two.cone"].item_tag == "30-CR-302"
    assert things["one.cone"].title == things["two.cone"].title == "Cone"
    assert things["two.hopper"].item_tag == "30-BN-302"  # by a parameter


def test_a_section_states_the_sheet_of_what_states_none() -> None:
    things = _things(plant_of(_two('cone.tag "30-CR-302"')))
    assert things["one.cone"].sheet == "left"
    assert things["one.hopper"].sheet == "bins"
    assert things["two.cone"].sheet == ""


def test_an_outer_section_goes_before_an_inner_one() -> None:
    outer = (
        _LINE + "template both() {\n  in stone\n  out fine\n"
        '  section inner: line(number: "1") { cone.tag "30-CR-301"; cone.title "Inner" }\n'
        "  stone -> inner -> fine\n}\n"
    )
    body = '  section all: both() { inner.cone.tag "40-CR-1" }\n  rock -> all\n'
    things = _things(plant_of(small_plant(f"{body}  all.fine -> product fine\n", outer)))
    assert things["all.inner.cone"].item_tag == "40-CR-1"
    assert things["all.inner.cone"].title == "Inner"


@pytest.mark.parametrize("second", ["", 'cone.tag "30-CR-301"', 'cone.tag "30-BN-301"'])
def test_no_two_things_have_one_tag(second: str) -> None:
    text = _two(second) if second else _two("").replace('cone.tag "30-CR-301"; ', "")
    assert [code for code in codes(text) if code.startswith("E")] == ["E0202"]


def test_a_class_has_no_setting_of_these_names() -> None:
    own = "class crusher ours: cones.high_speed { setting title: 1 mm to 2 mm = 1 mm }\n"
    assert "E0403" in codes(small_plant("  rock -> product fine\n", own))


def test_a_case_may_change_a_tag() -> None:
    body = '  bin silo { live 10 t; tag "A" }\n  rock -> silo -> product fine\n'
    checked = check_text(small_plant(f'{body}  case wet {{ silo.tag "B" }}\n'))
    wet = checked.in_case("wet").plant
    assert wet is not None
    assert _things(wet)["silo"].item_tag == "B"


def test_a_plant_says_which_project_it_is_of() -> None:
    lines = 'project { name "N"; client "C"; document_number "4711"; approved "E. F." }'
    plant = plant_of(small_plant(f"  {lines}\n  rock -> product fine\n"))
    assert plant.project == Project(name="N", client="C", document_number="4711", approved="E. F.")


def test_a_revision_has_the_date_of_its_issue() -> None:
    lines = (
        '  revision "B"\n  history { "A": "first", "B": { date: "2026-03-31", drawn: "A. B.", '
        'description: "second" } }\n'
    )
    first, second = plant_of(small_plant(f"{lines}  rock -> product fine\n")).revisions
    assert (first.text, first.date) == ("first", "")
    assert (second.text, second.date, second.drawn) == ("second", "2026-03-31", "A. B.")


@pytest.mark.parametrize("written", ["2026-02-30", "31.03.2026", "20260331", "2026-W14-2"])
def test_a_date_is_one_of_the_calendar(written: str) -> None:
    """ISO 8601, calendar dates in the extended format: year, month and day."""
    lines = f'  revision "A"\n  history {{ "A": {{ date: "{written}", description: "one" }} }}\n'
    assert "E0401" in codes(small_plant(f"{lines}  rock -> product fine\n"))


def test_project_is_a_name_wherever_it_begins_no_line() -> None:
    plant = plant_of(small_plant("  bin project { live 9 t }\n  rock -> project -> product fine\n"))
    assert [machine.tag for machine in plant.machines] == ["project"]
