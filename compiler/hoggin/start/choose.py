"""Chooses the stages of a plant: sizes and balances several candidates and keeps the best."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product as every
from itertools import zip_longest

from hoggin.errors import Exit, HogginError
from hoggin.schema.results import Results
from hoggin.start.answers import Answers
from hoggin.start.plan import Cone, Plan, Primary
from hoggin.start.sizing import Sized, balanced, sized
from hoggin.start.writing import written

_JAW_SETTINGS_MM = (40, 50, 60, 75, 90, 110, 130, 150, 175, 200)
_SECONDARY_SETTINGS_MM = (18, 20, 22, 25, 28, 32, 36, 40, 45, 50, 55)
_FINISHING_SHARES = (0.8, 0.7, 0.6)  # setting over the size that closes the circuit
_OF_AN_ORDER = 4  # candidates of one order of stages
_ENOUGH, _MOST_TRIED = 8, 16  # candidates balanced: where one is clean, and at most
# The motor power that one more stage, or a gyratory's foundation, must save. A primary's motor
# counts twice, because it is the heaviest machine per kW. Common practice, no source.
_STAGE_KW, _STAGE_KWH_T = 40.0, 0.1
_GYRATORY_KW = 250.0
# Estimates to sort candidates by, before any is balanced; common practice, no source.
_FEED_F80 = 0.70  # of the largest piece, after the bars
_JAW_P80, _SECONDARY_P80, _FINISHING_P80 = 1.25, 1.10, 1.00  # of the setting
_JAW_TOP, _SECONDARY_TOP = 2.2, 2.0
_JAW_RATIO, _CONE_RATIO = 7.0, 4.5
_EASY = 0.8  # a strain that no stage minds
_LARGEST_TO_CONE_MM = 300.0
_TERTIARY_MOST_MM = 25.0  # setting


@dataclass(frozen=True)
class Proposal:
    """A first plant: its text and its results."""

    text: str
    results: Results
    plan: Plan


def propose(answers: Answers, name: str = "plant.hog") -> Proposal:
    """The first plant for the answers. Raises HogginError."""
    best: Sized | None = None
    for tried, plan in enumerate(_candidates(answers)):
        is_clean = best is not None and not any(best.faults)
        if tried >= (_ENOUGH if is_clean else _MOST_TRIED):
            break
        found = sized(plan)
        if found is not None and (best is None or _rank(found) < _rank(best)):
            best = found
    if best is None or best.faults[:2] != (0, 0):
        raise HogginError(
            "no plant of up to three stages was found whose machines stay within the limits of "
            "their classes; try fewer or wider products, or a coarser coarsest product",
            Exit.UNBALANCED,
        )
    text = written(best.plan, name)
    results = balanced(text, name)
    assert results is not None, "the best candidate was balanced before, on fewer sieves"
    return Proposal(text, results, best.plan)


def _rank(found: Sized) -> tuple[float, ...]:
    """First the limits exceeded, then the cost: motors, and a stage's foundations and belts."""
    plan = found.plan
    cost = found.power_kw + plan.stages * (_STAGE_KW + _STAGE_KWH_T * plan.answers.rate_t_h)
    if plan.primary is not None:
        cost += found.primary_kw + (_GYRATORY_KW if plan.primary.gyratory else 0.0)
    return (*found.faults, cost)


def _candidates(answers: Answers) -> Iterator[Plan]:
    """Plans to balance: the most promising of each order of stages first, in turn."""
    if answers.top_mm <= answers.largest_mm:
        yield Plan(answers, None, None, None)
        return
    for share in _FINISHING_SHARES:
        orders: dict[tuple[bool, bool], list[Plan]] = {}
        for jaw, secondary in every((None, *_JAW_SETTINGS_MM), (None, *_SECONDARY_SETTINGS_MM)):
            plan = _outline(answers, jaw, secondary, share)
            if plan is not None:
                orders.setdefault((jaw is None, secondary is None), []).append(plan)
        turns = zip_longest(*(_likeliest(plans) for plans in orders.values()))
        yield from (plan for turn in turns for plan in turn if plan is not None)


def _likeliest(plans: list[Plan]) -> list[Plan]:
    """The plans that strain their stages least, and of those that strain none the ones with the
    widest primary setting: it takes the smallest primary."""

    def by_setting(plan: Plan) -> tuple[float, float]:
        return max(_strain(plan), _EASY), -plan.primary.css_mm if plan.primary else 0.0

    found: list[Plan] = []
    for pair in zip(sorted(plans, key=by_setting), sorted(plans, key=_strain), strict=True):
        found += (plan for plan in pair if plan not in found)
    return found[:_OF_AN_ORDER]


def _outline(
    answers: Answers, jaw_mm: int | None, secondary_mm: int | None, share: float
) -> Plan | None:
    """A plan with starting sizes; None if it makes no sense."""
    primary = secondary = None
    reaching = answers.top_mm
    if jaw_mm is None and reaching > _LARGEST_TO_CONE_MM:
        return None
    if jaw_mm is not None:
        if jaw_mm > answers.top_mm / 2.5:
            return None
        gape = max(300.0, answers.top_mm / 0.8)
        primary = Primary(float(jaw_mm), gape, 1.25 * gape)
        reaching = _JAW_TOP * jaw_mm
    if secondary_mm is not None:
        is_wide = secondary_mm > 0.6 * (jaw_mm or answers.top_mm)
        if is_wide or 1.2 * secondary_mm < answers.largest_mm:
            return None
        head = min(2200.0, max(600.0, reaching / 0.85 / 0.28))
        secondary = Cone("supported_shaft", "secondary", "coarse", float(secondary_mm), head)
        reaching = _SECONDARY_TOP * secondary_mm
    setting = max(6.0, round(share * answers.largest_mm))
    return Plan(answers, primary, secondary, _finishing(setting, reaching))


def _finishing(setting: float, reaching: float) -> Cone:
    if setting > _TERTIARY_MOST_MM:
        head = min(2200.0, max(900.0, reaching / 0.85 / 0.28))
        return Cone("supported_shaft", "secondary", "coarse", setting, head)
    head = min(2500.0, max(900.0, reaching / 0.85 / 0.16))
    return Cone("high_speed", "tertiary", "medium", setting, head)


def _strain(plan: Plan) -> float:
    """The estimated strain of the hardest stage: its reduction over what suits its kind."""
    size = _FEED_F80 * plan.answers.top_mm
    strains = []
    for stage, p80, ratio in (
        (plan.primary, _JAW_P80, _JAW_RATIO),
        (plan.secondary, _SECONDARY_P80, _CONE_RATIO),
        (plan.finishing, _FINISHING_P80, _CONE_RATIO),
    ):
        if stage is not None:
            if stage is plan.finishing:
                size = max(size, 1.4 * plan.answers.largest_mm)
            made = p80 * stage.css_mm
            strains.append(size / made / ratio)
            size = made
    return max(strains)
