"""Dust by emission factors: a section of the equipment schedule."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

from hoggin.report.fields import Field, number, table, words
from hoggin.report.tables import Kind, Section, Table
from hoggin.schema.results import DustResult, Results

_FACTORS_NOTE = (
    "Factors of US EPA, AP-42, table 11.19.2-2 (8/04), from memory: check them before you use them "
    "for a permit. Controlled means with wet suppression. PM is all suspended dust, PM10 the part "
    "up to 10 um. Emissions of real plants can be several times higher or lower; local permits and "
    "their limits govern."
)
_RULES_NOTE = (
    "Fines crushing: product P80 up to 5 mm. Tertiary crushing: up to 25 mm, or if the duty says "
    "so. The table has no data for primary and secondary crushing; tertiary factors are an upper "
    "limit. Fines screening: a screen whose finest deck is up to 5 mm, with its whole feed. Each "
    "stream is one transfer. Wet screens and classifiers are taken to emit no dust. Not included: "
    "drilling, blasting, haul roads, piles in the wind, truck loading and tipping."
)
_SILICA_NOTE = (
    "These are emissions, not what people breathe. Dust of rock with quartz contains respirable "
    "crystalline silica, which causes incurable lung disease. Enclose, suppress and extract dust, "
    "measure exposure, and follow local codes and licensed practice."
)
_MASSES = {
    "PM": "pm_kg_h",
    "PM, controlled": "pm_controlled_kg_h",
    "PM10": "pm10_kg_h",
    "PM10, controlled": "pm10_controlled_kg_h",
}
_Sources = Sequence[DustResult]


def sections(results: Results, *, brief: bool) -> tuple[Section, ...]:
    """Dust by operation and, unless brief, by source; empty for a plant that raises none."""
    if not results.dust:
        return ()
    hours = results.running_h
    rates = (
        f"A year has {hours:g} h at these rates."
        if hours is not None
        else "For tonnes per year state the plant's hours: `operation { hours_per_year 2500 h }`."
    )
    rules = () if brief else (_RULES_NOTE,)
    dust = Section("Dust", (_FACTORS_NOTE, *rules, rates, _SILICA_NOTE), by_operation(results))
    by_each = Section("Dust by source", ("In grams and kilograms.",), by_source(results))
    return (dust,) if brief else (dust, by_each)


def by_operation(results: Results) -> Table:
    """One row a kind of operation, in order of appearance, then the plant."""
    groups: dict[str, list[DustResult]] = {}
    for source in results.dust:
        groups.setdefault(_operation(source), []).append(source)
    plant = [("plant", results.dust)] if groups else []
    fields = (
        words("operation", lambda group: group[0], 32),
        number("sources", "", "count", lambda group: len(group[1])),
        number("through", "t/h", "rate", _through),
        *_masses("kg/h", 1.0, "number"),
        *_yearly(results, "t/y", 1e-3, "number"),
    )
    return table("Dust", fields, [*groups.items(), *plant])


def by_source(results: Results) -> Table:
    """One row a source, in grams an hour and kilograms a year: one transfer raises little."""
    fields = (
        words("source", lambda group: group[1][0].source, 36),
        words("operation", lambda group: group[0], 32),
        number("through", "t/h", "rate", _through),
        *_masses("g/h", 1e3, "rate"),
        *_yearly(results, "kg/y", 1.0, "rate"),
    )
    return table("Dust by source", fields, [(_operation(one), [one]) for one in results.dust])


def _operation(source: DustResult) -> str:
    return f"{source.operation} (upper limit)" if source.upper_limit else source.operation


def _through(group: tuple[str, _Sources]) -> float | None:
    """What raises the dust of an operation; of the whole plant it would be counted many times."""
    label, sources = group
    return None if label == "plant" else math.fsum(source.rate_t_h for source in sources)


def _yearly(results: Results, unit: str, scale: float, kind: Kind) -> Iterator[Field]:
    """The masses of a year, where its hours are known."""
    if results.running_h is not None:
        yield from _masses(unit, scale * results.running_h, kind)


def _masses(unit: str, scale: float, kind: Kind) -> Iterator[Field]:
    """Each mass of a group of sources; one kg/h is `scale` of the unit."""

    def mass(name: str, group: tuple[str, _Sources]) -> float:
        return scale * math.fsum(getattr(source, name) for source in group[1])

    for heading, name in _MASSES.items():
        yield number(heading, unit, kind, partial(mass, name))
