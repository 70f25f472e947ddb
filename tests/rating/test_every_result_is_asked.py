"""Every number of the results document can be required, or is on a short list that says why not.

The plant is invented; what is tested is that no result is left out, which is no fact of the trade.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any, get_args, get_origin

import pytest
from pydantic import BaseModel

from hoggin.balancing import balanced
from hoggin.schema import results as document
from hoggin.schema.asked import Asked, asked, kinds
from hoggin.schema.declared import fields_of
from hoggin.schema.plant import Plant
from hoggin.schema.quantity import Nature, Quantity
from hoggin.schema.results import RequirementResult, Results
from hoggin.schema.results.common import Frozen
from hoggin.schema.units import in_currency
from hoggin.studies.runner.opening import opened_with
from hoggin.world import World
from tests.check.reading import FIXTURES, check_text, small_plant

_FILE = FIXTURES / "good" / "every_result.hog"
_TEXT = _FILE.read_text(encoding="utf-8")

_LOOP = "a loop has no name: ask the `recirculating_load` of a machine in it"
_LIMIT = "a limit follows from results that are asked for themselves"
_BAND = "`require PRODUCT meets BAND` asks for the whole band"
_FRACTION = "asked for as one number over all its sieve fractions"
_COPY = "the same as a result that is asked for"
_TEETH = "teeth are whole: `turns` is asked for"
NOT_ASKED = {
    "MachineCost.liners_money_h": "of a crusher, its `liner_cost_per_hour`",
    "MachineCost.parts_money_h": "the plant states it; the sum is asked of the plant",
    "MachineCost.budget_money": "the plant states it; the sum is asked of the plant",
    "BandVerdict.passing": _BAND,
    "BandVerdict.worst_margin": _BAND,
    "BandVerdict.worst_size_mm": _BAND,
    "BreakageResult.f80_mm": _COPY,
    "Check.limit": _LIMIT,
    "Check.value": _LIMIT,
    "Closure.flow_error": "of the solver, not of the plant",
    "Closure.iterations": "of the solver, not of the plant",
    "Closure.worst": "of the solver, not of the plant",
    "DustResult.fines_t_h": "says how its dust was found: the table *Dust by source* shows it",
    "DustResult.moisture": _COPY,
    "DustResult.rate_t_h": _COPY,
    "ElongationFraction.flat_elongated": _FRACTION,
    "ElongationFraction.share": _FRACTION,
    "FlakinessFraction.flakiness": _FRACTION,
    "FlakinessFraction.share": _FRACTION,
    "LoopResult.fresh_feed_t_h": _LOOP,
    "LoopResult.recirculating_load": _LOOP,
    "LoopResult.recirculating_t_h": _LOOP,
    "LoopResult.runs_away_at": _LOOP,
    "MoistureResult.moisture": _COPY,
    "WaterStreamResult.water_m3_h": "the plant states it, or it is asked of the plant",
    "ProductResult.curve": "`passing(5 mm)` asks for any size of it",
    "RequirementResult.margin": "of a requirement itself",
    "RequirementResult.value": "of a requirement itself",
    "Results.running_h": "stated by the plant: its hours times its availability",
    "RockShare.share": "of one feed in a machine's rock: the table *Rock fed* shows it",
    "SettingPosition.teeth": _TEETH,
    "SettingPosition.whole_turns": _TEETH,
    "WearResult.abrasion_index": _COPY,
}
# Copies of the plant, names and places.
_NO_RESULT = (Nature.STATED, Nature.KEY, Nature.MARK, Nature.PLACE)


def models() -> Iterator[type[BaseModel]]:
    for model in vars(document).values():
        if isinstance(model, type) and issubclass(model, Frozen):
            yield model


def is_numeric(annotation: Any) -> bool:
    """Whether a field holds a number, or a list of them."""
    if get_origin(annotation) is tuple:
        return any(is_numeric(part) for part in get_args(annotation))
    return annotation in (float, int)


def numeric_results() -> set[str]:
    """Every number that is computed, as `MachineResult.load`."""
    return {
        f"{model.__name__}.{name}"
        for model in models()
        for name, inner, declared in fields_of(model)
        if is_numeric(inner) and not any(one in _NO_RESULT for one in declared)
        if any(isinstance(one, Quantity | Nature) for one in declared)
    }


def field_of(kind: str, one: Asked) -> str:
    """The declared field that a request reads."""
    model: Any = {
        "plant": document.Results,
        "feed": document.FeedResult,
        "product": document.ProductResult,
        "deck": document.DeckResult,
        "stream": document.StreamResult,
    }.get(kind, document.MachineResult)
    for step in one.path[:-1]:
        inner = {name: inner for name, inner, _ in fields_of(model)} | {"dust": document.DustResult}
        model = inner[step]
    return f"{model.__name__}.{one.path[-1]}"


def test_every_result_is_asked_for_or_said_why_not() -> None:
    reached = {field_of(kind, one) for kind in kinds() for one in asked(kind).values()}
    assert numeric_results() - reached == NOT_ASKED.keys()


def subjects(plant: Plant) -> Iterator[tuple[str, str]]:
    """Everything of the plant that results can be asked of, with its kind."""
    yield "plant", "plant"
    yield from ((feed.tag, "feed") for feed in plant.feeds)
    yield from ((product.tag, "product") for product in plant.products)
    for machine in plant.machines:
        yield machine.tag, machine.kind
        yield from ((f"{machine.tag}.{deck.name}", "deck") for deck in machine.decks)
        yield from ((f"{machine.tag}.{outlet}", "stream") for outlet in machine.outlets)


@cache
def requests() -> dict[str, str]:
    """A result asked for, `cone.load`, and its unit, of all that the plant has."""
    plant = check_text(_TEXT).plant
    assert plant is not None
    found = {}
    for subject, kind in subjects(plant):
        for name, one in asked(kind).items():
            size = "(5 mm)" if one.sized else ""
            found[f"{subject}.{name}{size}"] = in_currency(one.unit, plant.currency)
    return found


def judged(limit: str) -> dict[str, RequirementResult]:
    """The verdict on each request, held to one limit, as `>= 0`."""
    lines = "".join(f"  require {one} {limit} {unit}\n" for one, unit in requests().items())
    checked = check_text(f"{_TEXT.rstrip().removesuffix('}')}{lines}}}\n")
    assert [d.message for d in checked.diagnostics if d.is_error] == []
    found: Results = balanced(checked)
    return {one.text.partition(f" {limit}")[0]: one for one in found.requirements}


@pytest.mark.slow
def test_every_request_is_read_checked_and_judged_with_its_unit() -> None:
    low = judged(">= -1000000000")
    assert low.keys() == requests().keys()
    for name, unit in requests().items():
        one = low[name]
        assert one.met == (one.value is not None), name
        if one.value is not None:
            assert one.value_text.endswith(unit) and one.margin_text.startswith("+"), one
            assert ("points" if unit == "%" else unit) in one.margin_text


@pytest.mark.slow
def test_each_result_of_each_kind_has_a_value_somewhere_in_the_plant() -> None:
    """So the test above judges numbers and not only their absence."""
    plant = check_text(_TEXT).plant
    assert plant is not None
    low = judged(">= -1000000000")
    wanted = {(kind, name) for kind in kinds() for name in asked(kind)}
    known = {
        (kind, name)
        for subject, kind in subjects(plant)
        for name, one in asked(kind).items()
        if low[f"{subject}.{name}{'(5 mm)' if one.sized else ''}"].value is not None
    }
    assert wanted - known == set()


@pytest.mark.slow
def test_a_limit_beyond_every_result_is_met_by_none() -> None:
    assert not any(one.met for one in judged(">= 1000000000").values())


@pytest.mark.parametrize("batch", range(8))
def test_every_request_is_a_result_of_a_study(batch: int) -> None:
    """As `sweep --result` and the API ask for it, in the same unit."""
    some = dict(list(requests().items())[batch::8])
    found = opened_with(World(_FILE), [], list(some)).asked
    assert {one.name: one.unit for one in found} == some


_IDLE = """
  splitter gate { out plant; out yard; position yard }
  crusher cone: cones.high_speed(head: 1300 mm) { duty secondary; chamber coarse; css 20 mm }
  screen sizing: screens.inclined(width: 1.8 m, length: 4.8 m) { deck top 20 mm }
  rock            -> gate
  gate.yard       -> product yard
  gate.plant      -> cone -> sizing
  sizing.top.over -> product coarse
  sizing.under    -> product fine
"""


@pytest.mark.parametrize(
    "asked_for",
    [
        "coarse.moisture <= 50 %",
        "coarse.solids >= 1 %",
        "coarse.passing(5 mm) <= 100 %",
        "coarse.p80 <= 1 m",
        "gate.plant.moisture <= 50 %",
        "cone.moisture_of_feed <= 50 %",
        "cone.reduction_ratio <= 100",
        "cone.specific_energy <= 100 kWh/t",
        "sizing.top.efficiency >= 1 %",
        "sizing.top.near_size <= 100 %",
        "coarse.p80 - fine.p80 <= 1 m",
    ],
)
def test_what_has_no_value_is_never_met(asked_for: str) -> None:
    """All of the rock goes past the machines, so nothing is there to be judged."""
    found = balanced(check_text(small_plant(f"{_IDLE}  require {asked_for}\n")))
    (one,) = found.requirements
    assert not one.met and one.value is None and one.margin is None
    assert any("the result has no value" in warning.text for warning in found.warnings)


def test_a_rate_of_nothing_is_a_value() -> None:
    found = balanced(check_text(small_plant(f"{_IDLE}  require coarse.rate <= 10 t/h\n")))
    assert found.requirements[0].met
