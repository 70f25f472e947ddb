"""The written revision: rounded, then checked, balanced and rated again like any plant."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hoggin.balance import CannotSettle, balance
from hoggin.balance.result import Array
from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.rating.overload import fitting
from hoggin.rating.rate import document
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.studies.design.revision import rewritten
from hoggin.studies.design.rounding import candidates
from hoggin.studies.design.trials import Goal, Scored, Trials
from hoggin.studies.design.variants import Alternation, Variant

_MOST_TRIED = 40
# Of a side's scale: the plant's own sieves move figures a little.
_TIGHTER = (0.0, 1e-4, 1e-3, 1e-2)


@dataclass(frozen=True)
class Written:
    """A revision that meets all requirements of its plant."""

    text: str
    values: Array
    plant: Plant
    results: Results
    aims: tuple[float, ...]  # in their units


def verified(alternation: Alternation, picked: Chosen) -> Written:
    """The best revision near the optimum whose values can be set, and which meets all requirements
    when it is checked, balanced and rated by itself.

    Raises HogginError if there is none.
    """
    faults: list[str] = []
    for tighter in _TIGHTER:
        goal = replace(picked.goal, relaxed=picked.goal.relaxed - tighter)
        for values in candidates(picked.trials, goal, picked.best.values[0])[:_MOST_TRIED]:
            found = _tried(alternation, picked, values)
            if isinstance(found, Written):
                return found
            faults.append(found)
    none = "no rounded values near the optimum meet the requirements"
    why = next(iter(faults), none)
    raise HogginError(f"settings were found, but no revision can be written: {why}")


def _tried(alternation: Alternation, picked: Chosen, values: Array) -> Written | str:
    source = alternation.source
    kept = alternation.picked_in_cases()
    text = rewritten(source, picked.variant, picked.trials.problem, values, kept)
    checked = check(alternation.world, Source(source.name, text))
    if checked.plant is None:
        return next(d.message for d in checked.diagnostics if d.is_error)
    plant = checked.in_case(alternation.case).plant
    assert plant is not None
    try:
        found = balance(plant)
    except CannotSettle as fault:
        return str(fault)
    whole = (*plant.requirements, *fitting(plant))
    rated = Rated(plant.model_copy(update={"requirements": whole}), found)
    results = document(rated, source.name)
    missed = next((r for r in results.requirements if not r.met), None)
    if missed is not None:
        return f"{missed.text}: {missed.value_text}"
    readings = Readings(rated)
    aims = [float(readings.value(aim.expression)[0]) / aim.unit_size for aim in plant.aims]
    return Written(text, values, plant, results, tuple(aims))


@dataclass(frozen=True)
class Chosen:
    """`point` is its place on the front, None with at most one aim."""

    variant: Variant
    trials: Trials
    goal: Goal
    best: Scored
    point: int | None
