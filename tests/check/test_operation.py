"""The lines that say how a plant is run over time: what they give, and how slips are told."""

from __future__ import annotations

import pytest

from hoggin.schema.plant import Plant
from tests.check import reading
from tests.check.reading import plant_of, small_plant


def codes(text: str) -> list[str]:
    """All but the libraries that the small plant does not use."""
    return [code for code in reading.codes(text) if code != "W0101"]


ROUTE = "rock -> m -> product p"


def text_of(machine: str, facts: str) -> str:
    """A plant and its only machine, each with these lines in its operation."""
    return small_plant(f"operation {{ {facts} }}\nblend m {{ operation {{ {machine} }} }}\n{ROUTE}")


def read(machine: str = "", facts: str = "") -> Plant:
    return plant_of(text_of(machine, facts))


def faults(machine: str = "", facts: str = "") -> list[str]:
    return codes(text_of(machine, facts))


def test_a_machine_states_its_operation_in_any_units_of_time() -> None:
    found = read(
        "availability 92 %; repair 90 min; pace 120 %; maintenance { 168 h: 8 h, 40 h: 30 min }"
    )
    operation = found.machines[0].operation
    assert operation is not None
    assert operation.availability == pytest.approx(0.92)
    assert operation.repair_h == pytest.approx(1.5)
    assert operation.pace == pytest.approx(1.2)
    assert operation.stops_h == ((40.0, 0.5), (168.0, 8.0))


def test_a_machine_that_says_nothing_has_none() -> None:
    assert read().machines[0].operation is None


def test_a_machine_of_a_class_states_it_beside_its_settings() -> None:
    body = (
        "crusher c: cones.high_speed(head: 1300 mm) "
        "{ duty tertiary; css 16 mm; operation { availability 95 %; repair 2 h } }\n"
        "rock -> c -> product p"
    )
    machine = plant_of(small_plant(body)).machines[0]
    assert machine.operation is not None and machine.operation.repair_h == 2
    assert {setting.name for setting in machine.settings}.isdisjoint({"availability", "repair"})


def test_shifts_are_in_the_order_of_the_day_and_may_run_past_midnight() -> None:
    found = read(facts="shifts { night: 22 h to 6 h, day: 6 h to 14 h }; days_per_week 6")
    assert [(s.name, s.start_h, s.end_h) for s in found.shifts] == [
        ("day", 6.0, 14.0),
        ("night", 22.0, 30.0),
    ]
    assert found.days_per_week == 6


@pytest.mark.parametrize(
    ("machine", "code"),
    [
        ("availability 92 %", "E0402"),
        ("repair 2 h", "E0402"),
        ("availability 120 %; repair 2 h", "E0306"),
        ("availability 92 %; repair 2 mm", "E0302"),
        ("availability 92 %; repair 2", "E0303"),
        ("pace 0 %", "E0306"),
        ("maintenance 8 h", "E0403"),
        ("maintenance { 8 h }", "E0403"),
        ("maintenance { 8 h: 9 h }", "E0306"),
        ("maintenance { 8 mm: 1 h }", "E0302"),
        ("campaign 8 h", "E0403"),
        ("availability 92 %; repair 2 h; availability 93 %", "E0202"),
    ],
)
def test_slips_in_a_machine_are_told(machine: str, code: str) -> None:
    assert code in faults(machine)


@pytest.mark.parametrize(
    ("facts", "code"),
    [
        ("shifts 8 h", "E0403"),
        ("shifts { 8 h }", "E0403"),
        ("shifts { day: 6 h to 25 h }", "E0306"),
        ("shifts { day: 6 h to 6 h }", "E0306"),
        ("shifts { day: 6 h to 14 h, late: 13 h to 20 h }", "E0306"),
        ("shifts { day: 6 h to 14 h, night: 22 h to 7 h }", "E0306"),
        ("shifts { day: 6 t to 14 t }", "E0302"),
        ("days_per_week 8", "E0306"),
        ("days_per_week 2.5", "E0306"),
    ],
)
def test_slips_in_the_plant_are_told(facts: str, code: str) -> None:
    assert code in faults(facts=facts)


def loaded(loading: str) -> str:
    text = small_plant(f"operation {{ shifts {{ day: 6 h to 14 h }} }}\nblend m\n{ROUTE}")
    return text.replace("rate 200 t/h;", f"rate 200 t/h; operation {{ loading {{ {loading} }} }};")


def test_a_feed_states_its_hours_of_loading() -> None:
    assert plant_of(loaded("am: 6 h to 9 h, pm: 10 h to 13 h")).feeds[0].loading_h == (
        (6.0, 9.0),
        (10.0, 13.0),
    )


def test_a_feed_loaded_while_the_plant_stands_is_warned_of() -> None:
    assert codes(loaded("evening: 15 h to 18 h")) == ["W0526"]
    assert codes(loaded("night: 22 h to 6.5 h")) == []


def test_a_changeover_needs_a_campaign_and_a_campaign_may_run_over_belts_to_a_bin() -> None:
    body = (
        "splitter d {{ out a 30 %; out b rest; operation {{ {lines} }} }}\n"
        "bin s {{ live 50 t; operation {{ start_level 20 % }} }}\n"
        "rock -> d\nd.a -> product a\nd.b -> s -> product b"
    )
    assert codes(small_plant(body.format(lines="changeover 1 h"))) == ["E0402"]
    found = plant_of(small_plant(body.format(lines="changeover 1 h; campaign 30 h")))
    assert found.machines[0].operation is not None
    assert found.machines[0].operation.campaign_h == 30
    assert found.machines[1].facts["start_level"] == pytest.approx(0.2)


def test_a_store_starts_no_fuller_than_full() -> None:
    text = small_plant(
        "bin s { live 50 t; operation { start_level 120 % } }\nrock -> s -> product p"
    )
    assert codes(text) == ["E0306"]
