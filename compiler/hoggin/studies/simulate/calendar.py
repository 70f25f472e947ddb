"""Shift time: the hours in which a plant runs, one after the other, and hours of the day within it.

A run begins with the first shift of the first day of a week. A plant without shifts runs day and
night.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import fsum

from hoggin.errors import HogginError
from hoggin.schema.plant import Plant
from hoggin.studies.intervals import Interval, Intervals, merged

DAY_H, WEEK_DAYS, YEAR_DAYS = 24.0, 7, 365
_MOST_H = 100_000.0
_MEET_H = 1e-9  # windows no farther apart are one
_WORDS = {"h": "h", "hour": "h", "hours": "h", "shift": "shift", "shifts": "shift"} | {
    name: name.rstrip("s") for name in ("day", "days", "week", "weeks", "year", "years")
}
_SAYS = re.compile(r"\s*(\d+(?:\.\d+)?)\s*([a-z]+)\s*")


@dataclass(frozen=True, slots=True)
class Clock:
    """A run's shifts in hours of the calendar, (start, end) in order, and the requested span."""

    asked: str
    shifts: Intervals

    @property
    def hours(self) -> float:
        """Of shift time."""
        return fsum(end - start for start, end in self.shifts)

    def shift_hours(self, daily: Intervals) -> Intervals:
        """The parts of shift time in these hours of each day, which may run past midnight."""
        found: list[Interval] = []
        passed = 0.0
        for start, end in self.shifts:
            for day in range(int(start // DAY_H) - 1, int(end // DAY_H) + 1):
                for first, last in daily:
                    opens, closes = max(start, first + day * DAY_H), min(end, last + day * DAY_H)
                    if closes > opens:
                        found.append((passed + opens - start, passed + closes - start))
            passed += end - start
        return merged(found, _MEET_H)


def clock(plant: Plant, asked: str) -> Clock:
    """The shifts of a span such as `8 h`, `2 shifts`, `1 week` or `1 year`.

    `h` are hours of shift time. If a plant states `hours_per_year` and no shifts, its year has that
    many hours. Raises HogginError.
    """
    said = _SAYS.fullmatch(asked.lower())
    unit = _WORDS.get(said[2]) if said else None
    if said is None or unit is None:
        raise HogginError(
            f"`{asked}` is not a time span: write `8 h`, `2 shifts`, `1 week`, `1 year`"
        )
    number = float(said[1])
    hours = number if unit == "h" else _hours(plant, unit, number)
    if not 0 < hours <= _MOST_H:
        raise HogginError(
            f"`{asked}` can't be simulated: the span must be above 0 h and up to {_MOST_H:g} h"
        )
    return Clock(asked.strip(), _first(plant, hours))


def _hours(plant: Plant, unit: str, number: float) -> float:
    """Shift hours in a number of shifts, days, weeks or years."""
    if unit != "h" and number != int(number):
        raise HogginError(
            f"`{number:g} {unit}s` is not a whole number: use a whole number, or hours"
        )
    if unit == "shift":
        if not plant.shifts:
            raise HogginError("the plant states no `shifts`: state them, or give the time in hours")
        lengths = [shift.end_h - shift.start_h for shift in plant.shifts]
        rounds, over = divmod(int(number), len(lengths))
        return rounds * fsum(lengths) + fsum(lengths[:over])
    if unit == "year" and plant.hours_per_year is not None and not plant.shifts:
        return number * plant.hours_per_year
    days = number * {"day": 1, "week": WEEK_DAYS, "year": YEAR_DAYS}[unit]
    run = plant.days_per_week or WEEK_DAYS
    weeks, rest = divmod(days, WEEK_DAYS)
    return (weeks * run + min(rest, run)) * fsum(end - start for start, end in _daily(plant))


def _daily(plant: Plant) -> Intervals:
    return tuple((s.start_h, s.end_h) for s in plant.shifts) or ((0.0, DAY_H),)


def _first(plant: Plant, hours: float) -> Intervals:
    """Shifts, from the first on, until the hours are used up; adjacent shifts are joined."""
    found: list[Interval] = []
    left, day = hours, 0
    while left > 1e-9:
        if day % WEEK_DAYS < (plant.days_per_week or WEEK_DAYS):
            for start, end in _daily(plant):
                lasts = min(end - start, left)
                if lasts > 1e-9:
                    found.append((day * DAY_H + start, day * DAY_H + start + lasts))
                    left -= lasts
        day += 1
    return merged(found, _MEET_H)
