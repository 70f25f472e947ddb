"""Balance and rate a checked plant; a circuit that can't settle becomes a diagnostic."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache

import numpy as np

from hoggin.balance import CannotSettle, Remedy, Unsettled, balance, with_error
from hoggin.check.checker import Checked
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.families.balance import E0801, E0802
from hoggin.diagnostics.families.plugins import E0211
from hoggin.diagnostics.source import Span
from hoggin.errors import Exit, HogginError, PluginError
from hoggin.models.model import ModelError
from hoggin.plugins.using import packages
from hoggin.provenance import provenance
from hoggin.rating.rate import rate
from hoggin.rating.readings import Year
from hoggin.rating.year import year_of
from hoggin.schema.plant import ModelUse, Place, Plant
from hoggin.schema.results import Results


def balanced(checked: Checked) -> Results:
    """The results. Raises HogginError with the diagnostic that says why there are none."""
    return _needed(rated(checked))


def balanced_in_all(checked: Checked) -> list[Results]:
    """The results of the plant as it is written, then of its cases, by name. Raises HogginError."""
    return list(map(_needed, rated_in_all(checked)))


def _needed(found: Results | Diagnostic) -> Results:
    if isinstance(found, Results):
        return found
    raise HogginError(found.message, Exit.UNBALANCED, [found])


def rated(checked: Checked) -> Results | Diagnostic:
    """The results, or the diagnostic that says why the plant can't be balanced."""
    return _rated(checked, lambda: year_of(_plants(checked)))


def rated_in_all(checked: Checked) -> list[Results | Diagnostic]:
    """The same of the plant as it is written, then of its cases, by name."""
    year = cache(lambda: year_of(_plants(checked)))
    return [_rated(state, year) for state in checked.states]


def _plants(checked: Checked) -> list[Plant]:
    return [state.plant for state in checked.states if state.plant is not None]


def _rated(checked: Checked, year: Callable[[], Year]) -> Results | Diagnostic:
    plant = checked.plant
    if plant is None:
        raise ValueError("only a plant without errors is balanced")
    try:
        return rate(
            plant,
            with_error(plant, balance(plant)),
            checked.source.name,
            provenance=provenance(checked.sources, plant.edition, packages(plant, checked.sources)),
            year=year(),
            sizes=checked.sizes,
        )
    except CannotSettle as fault:
        found = unsettled(plant, fault.unsettled, checked)
    except ModelError as fault:
        found = _refused(plant, fault, checked)
    except PluginError as fault:
        span = _span(plant.place, f'"{plant.title}"', checked)
        found = Diagnostic.of(E0211.broken(str(fault)), span)
    named = f"in case `{plant.case}`: " if plant.case else ""
    return replace(found, message=f"{named}{found.message}")


def unsettled(plant: Plant, fault: Unsettled, checked: Checked) -> Diagnostic:
    """E0801 at the first machine of the loop."""
    place = next(m.place for m in plant.machines if m.tag == fault.machines[0])
    loop = ", ".join(f"`{tag}`" for tag in fault.machines)
    if fault.remedy is Remedy.ASKED:
        found = E0801.asked(loop, fault.reason)
    elif fault.remedy is Remedy.SETTING:
        found = E0801.setting(loop, fault.reason)
    elif fault.remedy is Remedy.WATER:
        found = E0801.water(loop, fault.reason)
    elif fault.sizes_mm is None:
        found = E0801.load(loop, fault.reason)
    else:
        found = E0801.sizes(loop, fault.reason, *fault.sizes_mm)
    return Diagnostic.of(found, _span(place, fault.machines[0], checked))


def _refused(plant: Plant, fault: ModelError, checked: Checked) -> Diagnostic:
    """E0802 at the first machine that uses the model with these coefficients."""
    role, name = fault.model.role, fault.model.name
    users = [m for m in plant.machines if role in m.models and m.models[role].model == name]
    found = next((m for m in users if _given(m.models[role], fault.arguments)), users[0])
    return Diagnostic.of(E0802.model(found.tag, str(fault)), _span(found.place, found.tag, checked))


def _given(use: ModelUse, arguments: Mapping[str, object]) -> bool:
    """Whether a model was called with a machine's coefficients."""
    shared = use.coefficients.keys() & arguments.keys()
    return all(np.any(np.asarray(arguments[name]) == use.coefficients[name]) for name in shared)


def _span(place: Place, tag: str, checked: Checked) -> Span:
    """The machine's name; in a template of another file the plant's own file stands in for it."""
    source = checked.sources.get(place.file, checked.source)
    if source.name != place.file:
        return Span(source, 0, 0)
    start = source.offset(place.line, place.column)
    return Span(source, start, start + len(tag.rpartition(".")[2]))
