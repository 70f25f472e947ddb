"""Which process model stands for what in each machine, and the sources the classes name."""

from __future__ import annotations

from hoggin.report.tables import Column, Section, Table
from hoggin.report.wording import significant
from hoggin.schema.results import Results

DIGITS = 6  # of a coefficient
WHERE = (
    "Each model with its equation, range and source, and when not to believe it: docs/methods.md; "
    "its coefficients and their units: docs/models.md. What a class leaves to memory or common "
    "practice says so."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Models machine by machine, then the classes' sources."""
    found = (Section("Models", (WHERE,), models(results)), Section("Sources", (), sources(results)))
    return tuple(section for section in found if section.table and section.table.rows)


def models(results: Results) -> Table:
    """One row a model in use; empty where the results do not hold the plant as stated."""
    columns = (
        Column("machine", width=24),
        Column("class", width=24),
        Column("of", width=14),
        Column("model", width=20),
        Column("coefficients", width=110),
    )
    rows = tuple(
        (
            machine.tag,
            machine.class_name,
            role.replace("_", " "),
            use.model,
            ", ".join(
                f"{name} {significant(value, DIGITS)}" for name, value in use.coefficients.items()
            ),
        )
        for machine in (results.plant.machines if results.plant else ())
        for role, use in machine.models.items()
    )
    return Table("Models", columns, rows, keys=4)


def sources(results: Results) -> Table:
    """One row a class that names its sources."""
    named = {
        (machine.class_name or machine.kind): "; ".join(machine.sources)
        for machine in results.machines
        if machine.sources
    }
    columns = (Column("class", width=28), Column("source", width=120))
    return Table("Sources", columns, tuple(named.items()))
