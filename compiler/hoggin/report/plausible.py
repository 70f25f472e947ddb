"""The plausible range of results as tables."""

from __future__ import annotations

from hoggin.report import wording
from hoggin.report.chart.scale import decimals
from hoggin.report.fields import Field, number, table, verdict, words
from hoggin.report.tables import Document, Section, Table
from hoggin.studies.plausible.document import Plausible, PlausibleRequirement, PlausibleResult

_DIGITS = 3  # a range has no more
_READING = (
    "Each class states how far a measured figure was found, or is held to be, from the computed "
    "one. Each such figure is put at either end, one at a time, and the deviations are added as "
    "the root of their squares (JCGM 100:2008, from memory). The ranges do not cover feeds, "
    "settings or rock that differ from what the plant states.",
)


def document(found: Plausible) -> Document:
    return Document(f"Plausible range: {found.title}", wording.subtitle(found), sections(found))


def sections(found: Plausible) -> tuple[Section, ...]:
    """Results, then requirements, then the figures that the ranges are from."""
    if not found.causes:
        return (Section("Plausible range", ("No class of the plant states a spread.",)),)
    unsettled = tuple(f"No balance: {end}; left out of the ranges." for end in found.unsettled)
    kept = (
        Section("Plausible range", (*_READING, *unsettled), results(found)),
        Section("Requirements over the range", (), requirements(found)),
        Section("Spread of the classes' figures", (), causes(found)),
    )
    return tuple(section for section in kept if section.says)


def results(found: Plausible) -> Table:
    """Each result with its range and what moves it most."""
    fields = (
        words("result", lambda one: one.name, 36),
        words("unit", lambda one: one.unit, 8),
        _figure("low", 0),
        _figure("balanced", 1),
        _figure("high", 2),
        words("moved most by", lambda one: one.cause, 44),
    )
    return table("Plausible range", fields, found.results)


def _figure(heading: str, place: int) -> Field:
    def get(one: PlausibleResult) -> str:
        figures = (one.low, one.value, one.high)
        return wording.fixed(figures[place], decimals(figures, _DIGITS))

    return number(heading, "", "number", get)


def requirements(found: Plausible) -> Table:
    """Each requirement, and whether it is met over its whole range."""
    fields = (
        words("requirement", lambda one: one.text, 40),
        verdict(_standing, 26),
        words("margin", _margin, 24),
        words("why", lambda one: one.reason, 50),
    )
    return table("Requirements over the range", fields, found.requirements)


def _standing(one: PlausibleRequirement) -> str:
    """What is not met throughout stands out without colour."""
    return one.standing if one.standing == "met" else one.standing.upper()


def _margin(one: PlausibleRequirement) -> str:
    if one.low is None or one.high is None:
        return wording.ABSENT
    places = decimals((one.low, one.high), _DIGITS)
    return f"{one.low:+.{places}f} to {one.high:+.{places}f} {one.unit}".rstrip()


def causes(found: Plausible) -> Table:
    """The figures of the classes, with their sources."""
    fields = (
        words("figure", lambda one: one.name, 44),
        number("from", "", "number", lambda one: one.low),
        number("to", "times computed", "number", lambda one: one.high),
        words("machines", lambda one: ", ".join(one.machines), 30),
        words("source", lambda one: one.source, 50),
    )
    return table("Spread", fields, found.causes)
