"""Dust by emission factors: a section of the equipment schedule."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

from hoggin.report.fields import Field, number, table, words
from hoggin.report.tables import Section, Table
from hoggin.schema.results import DustResult, Results

_FACTORS_NOTE = (
    "Factors of US EPA, AP-42, table 11.19.2-2 (8/04), in part from memory: check them before you "
    "use them for a permit. Controlled is stone of 1.5 % moisture or more, natural or sprayed: "
    "there both figures are the same. PM is all suspended dust, PM10 the part up to 10 um, PM2.5 "
    "that up to 2.5 um, which has no factor for fines screening: its sums are without. A factor "
    "has one or two digits, and so have these figures. Emissions of real plants can be several "
    "times higher or lower; local permits and their limits govern."
)
_RULES_NOTE = (
    "Fines crushing: product P80 up to 5 mm. Tertiary crushing: up to 25 mm, or if the duty says "
    "so. The table has no data for primary and secondary crushing; tertiary factors are an upper "
    "limit. Fines screening: what reaches a deck up to 5 mm. From there to 10 mm the factors of "
    "fines fade out (own assumption, no source). PM2.5 has no factor without suppression."
    " Each stream is one transfer, but for those out "
    "of a splitter or blend. Wet screens, classifiers, what leaves them, and stone of 5 % moisture "
    "or more (common practice, no source) are taken to emit no dust. Not included: drilling, "
    "blasting, haul roads, piles in the wind, truck loading and tipping."
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
    "PM2.5, controlled": "pm25_controlled_kg_h",
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
        *_masses("kg/h", 1.0),
        *_yearly(results, "t/y", 1e-3),
    )
    return table("Dust", fields, [*groups.items(), *plant])


def by_source(results: Results) -> Table:
    """One row a source, in grams an hour and kilograms a year: one transfer raises little."""
    fields = (
        words("source", lambda group: group[1][0].source, 36),
        words("operation", lambda group: group[0], 32),
        number("through", "t/h", "rate", _through),
        number("of it fines", "t/h", "rate", lambda group: group[1][0].fines_t_h),
        number("moisture", "%", "percent", lambda group: group[1][0].moisture),
        *_masses("g/h", 1e3),
        *_yearly(results, "kg/y", 1.0),
    )
    return table("Dust by source", fields, [(_operation(one), [one]) for one in results.dust])


def _operation(source: DustResult) -> str:
    return f"{source.operation} (upper limit)" if source.upper_limit else source.operation


def _through(group: tuple[str, _Sources]) -> float | None:
    """What raises the dust of an operation; of the whole plant it would be counted many times."""
    label, sources = group
    return None if label == "plant" else math.fsum(source.rate_t_h for source in sources)


def _yearly(results: Results, unit: str, scale: float) -> Iterator[Field]:
    """The masses of a year, where its hours are known."""
    if results.running_h is not None:
        yield from _masses(unit, scale * results.running_h)


def _masses(unit: str, scale: float) -> Iterator[Field]:
    """Each mass of a group of sources, where one of them has it; one kg/h is `scale` of the
    unit."""

    def mass(name: str, group: tuple[str, _Sources]) -> float | None:
        masses = [getattr(source, name) for source in group[1]]
        known = [mass for mass in masses if mass is not None]
        return scale * math.fsum(known) if known else None

    for heading, name in _MASSES.items():
        yield number(heading, unit, "estimate", partial(mass, name))
