"""Shift time, counted by hand."""

from __future__ import annotations

import pytest
from tests.check.reading import plant_of
from tests.studies.simulate.sample import small

from hoggin.errors import HogginError
from hoggin.schema.plant import Plant
from hoggin.studies.simulate.calendar import clock

TWO = "operation { shifts { early: 6 h to 14 h, night: 22 h to 4 h }; days_per_week 5 }"


def plant(facts: str = "") -> Plant:
    return plant_of(small(f"{facts}\nf -> product p"))


@pytest.mark.parametrize(
    ("asked", "hours"),
    [
        ("8 h", 8),
        ("1 shift", 8),
        ("2 shifts", 14),
        ("3 shifts", 22),
        ("1 day", 14),
        ("1 week", 70),
        ("8 days", 84),
        ("1 year", 261 * 14),  # 52 weeks of 5 days and one day more
    ],
)
def test_spans_hold_the_hours_counted_by_hand(asked: str, hours: float) -> None:
    assert clock(plant(TWO), asked).hours == pytest.approx(hours)


def test_a_plant_without_shifts_runs_day_and_night_or_its_hours_in_a_year() -> None:
    assert clock(plant(), "1 week").hours == pytest.approx(168)
    assert clock(plant(), "1 year").hours == pytest.approx(8760)
    assert clock(plant("operation { hours_per_year 2200 h }"), "1 year").hours == pytest.approx(
        2200
    )
    assert clock(plant("operation { days_per_week 6 }"), "2 weeks").hours == pytest.approx(288)


def test_hours_of_the_day_fall_into_shift_time() -> None:
    """Shifts 6 to 14 and 22 to 4 h. Loading 12 to 23 h: on the first day the shift hours 6 to 8,
    and of the night its first, 8 to 9; those that meet are one. The next day begins at 14."""
    time = clock(plant(TWO), "2 days")
    found = time.shift_hours(((12.0, 23.0),))
    assert [one for window in found for one in window] == pytest.approx([6, 9, 20, 23])


def test_loading_past_midnight_is_found_in_a_shift_past_midnight() -> None:
    """Loading 23 to 3 h, night shift 22 to 4 h, which begins at 8 h of shift time."""
    found = clock(plant(TWO), "1 day").shift_hours(((23.0, 27.0),))
    assert [one for window in found for one in window] == pytest.approx([9, 13])


@pytest.mark.parametrize(
    "asked", ["", "8", "week", "1 fortnight", "0 h", "1000000 h", "-3 h", "1.5 days", "1e3 h"]
)
def test_a_span_that_cannot_be_run_is_refused(asked: str) -> None:
    with pytest.raises(HogginError):
        clock(plant(TWO), asked)


def test_shifts_are_asked_only_of_a_plant_that_names_them() -> None:
    with pytest.raises(HogginError, match="shifts"):
        clock(plant(), "2 shifts")
