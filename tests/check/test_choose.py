"""`choose` blocks: one option stands, and every other is checked as if it stood."""

from __future__ import annotations

from hoggin.diagnostics.source import Source
from hoggin.syntax.layout.layout import laid_out
from tests.check.reading import check_text, codes, plant_of, small_plant

_TEXT = small_plant(
    """
  choose crushing {
    option one {
      crusher cone: cones.high_speed(head: head_of_one) {
        duty secondary; chamber coarse; css 36 mm
      }
      rock -> cone
    }
    option two {
      splitter shared { out a 50 %; out b rest }
      crusher cone: cones.high_speed(head: 1300 mm) { duty secondary; chamber coarse; css setting }
      crusher other: cones.high_speed(head: 1300 mm) { duty secondary; chamber coarse; css setting }
      rock -> shared
      shared.a -> cone
      shared.b -> other -> all
    }
  }
  cone -> product all
""",
    "let setting = 34 mm\nlet head_of_one = 1500 mm\nlet idle = 3\n",
)


def test_the_first_option_stands() -> None:
    assert [machine.tag for machine in plant_of(_TEXT).machines] == ["cone"]


def test_a_name_that_any_option_uses_is_used() -> None:
    found = check_text(_TEXT).diagnostics
    assert {d.code for d in found} == {"W0101"}
    unused = {d.message for d in found if "`let`" in d.message}
    assert unused == {"`let` `idle` is never used"}


def test_an_error_of_another_option_is_told_with_its_name() -> None:
    checked = check_text(_TEXT.replace("shared.b -> other", "shared.b -> othr"))
    assert checked.plant is None
    told = [d.message for d in checked.diagnostics if d.is_error]
    assert told
    assert all(message.startswith("with option `two` of `crushing`: ") for message in told)


def test_an_option_without_a_way_is_no_whole_plant() -> None:
    assert "E0503" in codes(_TEXT.replace("-> other -> all", "-> other"))


def test_the_layout_keeps_the_plant_and_rests_there() -> None:
    laid = laid_out(Source("plant.hog", _TEXT))
    assert isinstance(laid, str)
    assert laid_out(Source("plant.hog", laid)) == laid
    one, other = plant_of(laid), plant_of(_TEXT)
    assert [m.tag for m in one.machines] == [m.tag for m in other.machines]
    assert one.streams == other.streams


def test_a_settled_choose_has_its_option_and_is_not_open() -> None:
    checked = check_text(_TEXT.replace("choose crushing {", "choose crushing: two {"))
    assert checked.plant is not None and checked.plant.open == ()
    assert [machine.tag for machine in checked.plant.machines] == ["shared", "cone", "other"]
    assert checked.freedom.alternatives == {}


def test_the_other_options_of_a_settled_choose_are_checked_too() -> None:
    text = _TEXT.replace("choose crushing {", "choose crushing: two {")
    assert "E0503" in codes(text.replace("rock -> cone\n", "\n"))
    found = {d.message for d in check_text(text).diagnostics if "`let`" in d.message}
    assert found == {"`let` `idle` is never used"}  # `head_of_one` is, in the option `one`


def test_a_choose_settled_on_no_option_of_its_own_is_reported() -> None:
    assert "E0309" in codes(_TEXT.replace("choose crushing {", "choose crushing: tow {"))


def test_a_case_picks_another_option_of_a_settled_choose() -> None:
    settled = _TEXT.replace("choose crushing {", "choose crushing: two {")
    body, brace, _ = settled.rstrip().rpartition("}")
    case = check_text(f"{body}  case old {{ crushing one }}\n{brace}\n").in_case("old").plant
    assert case is not None
    assert [machine.tag for machine in case.machines] == ["cone"]
