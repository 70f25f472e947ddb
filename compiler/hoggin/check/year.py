"""Rates by the year: `0.8 Mt/y` is tonnes in the hours that the plant runs, and not in those of the
calendar."""

from __future__ import annotations

from dataclasses import replace

from hoggin.schema.units import RATE, VOLUME_RATE, Unit, known

_YEAR_S, _HOUR_S = known("y").size, known("h").size


def unit_of_year(unit: Unit) -> Unit:
    """The plain one among units by the year that are alike: `t/y` for `kt/y` and `Mt/y`."""
    plain = {RATE: "t/y", VOLUME_RATE: "m3/y"}
    return known(plain.get(unit.dimension, f"{unit.currency}/y"))


def in_hours(unit: Unit, hours: float) -> Unit:
    """A unit by the year, where a year is so many hours of running."""
    return replace(unit, size=unit.size / calendar_share(hours))


def calendar_share(hours: float) -> float:
    """Hours of running over those of the calendar's year."""
    return hours * _HOUR_S / _YEAR_S
