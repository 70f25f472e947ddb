"""Which process model stands for what in each machine, and the sources the classes name."""

from __future__ import annotations

from hoggin.report.fields import table, words
from hoggin.report.tables import Section, Table
from hoggin.report.wording import significant
from hoggin.schema.plant import ModelUse
from hoggin.schema.results import Results

DIGITS = 6  # of a coefficient
WHERE = (
    "docs/methods.md has each model with its equation, range and source, and when not to rely on "
    "it; docs/models.md has its coefficients and their units. Values from memory or common "
    "practice are marked so."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Models machine by machine, then the classes' sources."""
    found = (Section("Models", (WHERE,), models(results)), Section("Sources", (), sources(results)))
    return tuple(section for section in found if section.has_rows)


def models(results: Results) -> Table:
    """One row a model in use; empty where the results do not hold the plant as stated."""
    fields = (
        words("machine", lambda used: used[0].tag),
        words("class", lambda used: used[0].class_name),
        words("of", lambda used: used[1].replace("_", " "), 14),
        words("model", lambda used: used[2].model, 20),
        words("coefficients", lambda used: _coefficients(used[2]), 110),
    )
    used = (
        (machine, role, use)
        for machine in (results.plant.machines if results.plant else ())
        for role, use in machine.models.items()
    )
    return table("Models", fields, used, keys=4)


def _coefficients(use: ModelUse) -> str:
    return ", ".join(f"{n} {significant(value, DIGITS)}" for n, value in use.coefficients.items())


def sources(results: Results) -> Table:
    """One row a class that names its sources."""
    named = {
        (machine.class_name or machine.kind): "; ".join(machine.sources)
        for machine in results.machines
        if machine.sources
    }
    fields = (words("class", lambda pair: pair[0], 28), words("source", lambda pair: pair[1], 120))
    return table("Sources", fields, named.items())
