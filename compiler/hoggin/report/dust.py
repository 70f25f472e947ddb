"""Dust by emission factors: a section of the equipment schedule."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from hoggin.report.tables import Column, Kind, Section, Table, Value
from hoggin.schema.results import DustResult, Results

_FACTORS_NOTE = (
    "Factors of US EPA, AP-42, table 11.19.2-2 (8/04), from memory: check them before a permit "
    "rests on them. Controlled means by wet suppression. PM is all suspended dust, PM10 that to "
    "10 um. Real plants differ from the factors by several times; local permits and their limits "
    "govern."
)
_RULES_NOTE = (
    "Fines crushing: product P80 to 5 mm; tertiary: to 25 mm, or where the duty says so. For "
    "primary and secondary crushing the table has no data: tertiary factors are an upper limit. "
    "Fines screening: a screen whose finest deck is to 5 mm, with its whole feed. Each stream is "
    "one transfer. Wet screens and classifiers count as raising none. Not counted: drilling, "
    "blasting, haul roads, piles in the wind, truck loading and tipping."
)
_SILICA_NOTE = (
    "These are emissions, not what people breathe. Dust of rock with quartz holds respirable "
    "crystalline silica, which causes incurable lung disease: enclose, suppress, extract, measure "
    "exposure, and follow local codes and licensed practice."
)
_MASSES = ("PM", "PM, controlled", "PM10", "PM10, controlled")
_UNITS = ("kg/h", "t/y")
_SMALL_UNITS = ("g/h", "kg/y")


def sections(results: Results, *, brief: bool) -> tuple[Section, ...]:
    """Dust by operation and, unless brief, by source; empty for a plant that raises none."""
    if not results.dust:
        return ()
    hours = results.hours_per_year
    rates = (
        f"A year is {hours:g} h at these rates."
        if hours is not None
        else "For tonnes a year state the plant's hours, as `hours_per_year 2500 h`."
    )
    if brief:
        return (Section("Dust", (_FACTORS_NOTE, rates, _SILICA_NOTE), by_operation(results)),)
    notes = (_FACTORS_NOTE, _RULES_NOTE, rates, _SILICA_NOTE)
    return (
        Section("Dust", notes, by_operation(results)),
        Section("Dust by source", ("In grams and kilograms.",), by_source(results)),
    )


def by_operation(results: Results) -> Table:
    """One row a kind of operation, in the order they first stand in, then the plant."""
    hours = results.hours_per_year
    columns = (
        Column("operation", width=32),
        Column("sources", kind="count"),
        Column("through", "t/h", "rate"),
        *_mass_columns(_UNITS if hours is not None else _UNITS[:1], "number"),
    )
    names = dict.fromkeys(source.operation for source in results.dust)
    rows: list[tuple[Value, ...]] = []
    for name in names:
        chosen = [source for source in results.dust if source.operation == name]
        label = f"{name} (upper limit)" if chosen[0].upper_limit else name
        through = math.fsum(source.rate_t_h for source in chosen)
        rows.append((label, len(chosen), through, *_masses(chosen, hours)))
    if rows:
        rows.append(("plant", len(results.dust), None, *_masses(results.dust, hours)))
    return Table("Dust", columns, tuple(rows))


def by_source(results: Results) -> Table:
    """One row a source, in grams an hour and kilograms a year: one transfer raises little."""
    hours = results.hours_per_year
    columns = (
        Column("source", width=36),
        Column("operation", width=32),
        Column("through", "t/h", "rate"),
        *_mass_columns(_SMALL_UNITS if hours is not None else _SMALL_UNITS[:1], "rate"),
    )
    rows: tuple[tuple[Value, ...], ...] = tuple(
        (
            source.source,
            f"{source.operation} (upper limit)" if source.upper_limit else source.operation,
            source.rate_t_h,
            *(1000 * mass for mass in _masses([source], hours)),
        )
        for source in results.dust
    )
    return Table("Dust by source", columns, rows)


def _mass_columns(units: Sequence[str], kind: Kind) -> Iterable[Column]:
    return tuple(Column(mass, unit, kind) for unit in units for mass in _MASSES)


def _masses(chosen: Sequence[DustResult], hours: float | None) -> tuple[float, ...]:
    """kg/h in the order of `_MASSES`, then t/y where the hours of a year are known."""
    kg_h = (
        math.fsum(source.pm_kg_h for source in chosen),
        math.fsum(source.pm_controlled_kg_h for source in chosen),
        math.fsum(source.pm10_kg_h for source in chosen),
        math.fsum(source.pm10_controlled_kg_h for source in chosen),
    )
    return kg_h if hours is None else (*kg_h, *(rate * hours / 1000 for rate in kg_h))
