"""A machine's settings, its operation, its notes and its picks of models share no names."""

from __future__ import annotations

import pytest

from hoggin.balance import balance
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.rating.rate import rate
from hoggin.revise.compare import Side, compare
from hoggin.revise.merge.facts import read
from hoggin.revise.why.lines import lines_of
from hoggin.schema.plant import Machine
from hoggin.syntax.layout import laid_out
from hoggin.syntax.parser import parse
from hoggin.syntax.printer import printed
from tests.check.reading import codes, plant_of, small_plant
from tests.report.shown import schedule_text

# Every word of an operation, and every role, is a setting's name here.
FEEDER = """
class feeder ours(width: mm) {
  setting pace:         m/s = 0.1 m/s
  setting repair:       h = 2 h
  setting availability: 1 % to 100 % = 50 %
  setting capacity:     t/h = 100 t/h
  setting liner_price:  number = 1
  setting depth:        mm = 300 mm
  rule repair > 1 h else "too short"
  model capacity: layer { travel_speed pace; width width; depth depth }
  model capacity: rated { rated capacity }
}
"""


def feeder(lines: str) -> Machine:
    body = f"feeder f: ours(width: 1000 mm) {{ {lines} }}\nrock -> f -> product p"
    return plant_of(small_plant(body, FEEDER)).machines[0]


def test_a_setting_may_have_any_name() -> None:
    run = "operation { pace 120 %; availability 90 %; repair 2 h }"
    found = feeder(f"pace 0.3 m/s; repair 4 h; {run}")
    stated = {setting.name: setting.text for setting in found.settings}
    assert stated["pace"] == "0.3 m/s"
    assert stated["repair"] == "4 h"
    assert stated["availability"] == "50 %"
    assert found.operation is not None
    assert found.operation.pace == pytest.approx(1.2)
    assert found.operation.repair_h == 2.0


def test_a_model_is_picked_by_its_role_beside_a_setting_of_that_name() -> None:
    assert feeder("").models["capacity"].model == "layer"
    found = feeder("capacity 150 t/h; model capacity: rated")
    assert found.models["capacity"].model == "rated"
    assert found.models["capacity"].coefficients["rated"] == pytest.approx(150.0)


def test_a_model_is_picked_once() -> None:
    body = (
        "feeder f: ours(width: 1 m) { model capacity: rated; model capacity: layer }\n"
        "rock -> f -> product p"
    )
    assert "E0202" in codes(small_plant(body, FEEDER))


@pytest.mark.parametrize(
    "machine", ["blend m", "bin m", "stockpile m", "feeder m: ours(width: 1 m)"]
)
def test_any_machine_takes_notes_and_an_operation(machine: str) -> None:
    lines = 'note "second"; note "first"; operation { pace 110 % }'
    found = plant_of(small_plant(f"{machine} {{ {lines} }}\nrock -> m -> product p", FEEDER))
    assert found.machines[0].notes == ("first", "second")
    assert found.machines[0].operation is not None


def test_words_of_the_language_stay_names_elsewhere() -> None:
    body = "blend note\nblend operation\nrock -> note -> operation -> product model"
    assert [one.tag for one in plant_of(small_plant(body)).machines] == ["note", "operation"]


# -- what follows a note and an operation --------------------------------------------------------

BODY = """blend m {
  note "belt scale before the bin"
  operation { pace 110 %; availability 92 %; repair 2 h }
}
rock -> m -> product p
"""


def side(text: str) -> Side:
    plant = plant_of(small_plant(text))
    return Side("x", plant, rate(plant, balance(plant), "x.hog"))


@pytest.mark.slow
def test_notes_stand_in_the_equipment_schedule() -> None:
    results = side(BODY).results
    assert results is not None
    assert "m: belt scale before the bin" in schedule_text(results)


@pytest.mark.parametrize(
    ("old", "new", "change"),
    [
        (
            "before the bin",
            "after it",
            ("note", "belt scale before the bin", "belt scale after it"),
        ),
        ("110 %", "120 %", ("pace", "110 %", "120 %")),
        ('note "belt scale before the bin"\n', "", ("note", "belt scale before the bin", "-")),
        ("repair 2 h", "repair 3 h", ("repair", "2 h", "3 h")),
    ],
)
def test_a_comparison_shows_notes_and_operation(
    old: str, new: str, change: tuple[str, str, str]
) -> None:
    found = compare(side(BODY), side(BODY.replace(old, new)), 0.0)
    assert [(c.what, c.before, c.after) for c in found.changes] == [change]
    assert not found.same


def _lines(text: str) -> set[tuple[str, ...]]:
    file = parse(Source("a.hog", small_plant(text)), Diagnostics())
    return {path for path, line in lines_of(file, "a").items() if "declared m" in path}


def test_each_line_of_an_operation_is_an_edit_of_its_own() -> None:
    inside = {path[3:] for path in _lines(BODY)}
    assert inside == {
        (),
        ("note belt scale before the bin",),
        ("operation",),
        ("operation", "fact pace"),
        ("operation", "fact availability"),
        ("operation", "fact repair"),
    }


def test_a_picked_model_is_one_line_whatever_is_picked() -> None:
    one, other = ("blend m { model capacity: rated }", "blend m { model capacity: layer }")
    assert _lines(one) == _lines(other)


def test_what_is_printed_and_laid_out_says_the_same() -> None:
    text = small_plant(BODY)
    file = read(Source("a.hog", text))
    assert file is not None
    again = printed(file.statements)
    assert plant_of(again).machines[0].notes == plant_of(text).machines[0].notes
    laid = laid_out(Source("a.hog", text))
    assert isinstance(laid, str)
    found = (plant_of(one).machines[0] for one in (laid, again))
    one, other = (machine.model_dump(exclude={"place"}) for machine in found)
    assert one == other
