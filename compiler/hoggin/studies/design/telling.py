"""A chosen case in the words and units of the plant."""

from __future__ import annotations

from hoggin.diagnostics.source import Source
from hoggin.schema.plant import Limit, Meets, Reading, Requirement
from hoggin.studies.design.document import (
    FoundAim,
    FoundLimit,
    FoundPick,
    FoundRequirement,
    FoundRule,
    FoundSetting,
    LimitWorth,
)
from hoggin.studies.design.problem import Side, Unknown
from hoggin.studies.design.rounding import text_of
from hoggin.studies.design.variants import Variant
from hoggin.studies.design.verifying import Chosen, Written
from hoggin.studies.design.worth import EndWorth, HeldWorth, Worths

_SAME = 1e-9  # of an end of a range
_FULL = 0.98  # of what a machine can take, after settings were rounded


def valued_aims(picked: Chosen, written: Written) -> tuple[FoundAim, ...]:
    problem = picked.trials.problem
    exact = (problem.signs * picked.best.costs[0]).tolist()
    return tuple(
        FoundAim(
            text=aim.text,
            direction=aim.direction,
            unit=aim.unit,
            weight=aim.weight,
            value=value,
            exact=before,
        )
        for aim, value, before in zip(problem.aims, written.aims, exact, strict=True)
    )


def settings_of(
    picked: Chosen, written: Written, bound: Worths, source: Source
) -> tuple[FoundSetting, ...]:
    ends = {end.unknown: end for end in bound.ends}
    found = []
    for place, unknown in enumerate(picked.trials.problem.unknowns):
        end = ends.get(place)
        unit = unknown.unit
        worth = None if end is None or end.by_multiplier is None else end.by_multiplier * unit.size
        found.append(
            FoundSetting(
                name=unknown.name,
                written=text_of(unknown, float(written.values[place])),
                exact=_exact(unknown, float(picked.best.values[0, place])),
                choices=_choices(unknown),
                choice=unknown.is_choice,
                line=_line(source, unknown.variable.place[0]),
                unit=unit.sign,
                end="" if end is None else "upper" if end.upper else "lower",
                end_worth=worth,
                end_by="" if end is None else _set_by(picked, end),
            )
        )
    return tuple(found)


def picks_of(variant: Variant, source: Source) -> tuple[FoundPick, ...]:
    return tuple(
        FoundPick(
            name=choice.name,
            option=choice.options[choice.picked],
            options=choice.options,
            line=_line(source, choice.place[0]),
        )
        for choice in variant.alternatives.values()
    )


def requirements_of(
    picked: Chosen, written: Written, bound: Worths
) -> tuple[FoundRequirement, ...]:
    problem = picked.trials.problem
    stated = len(problem.plant.requirements)
    found = []
    for number, result in enumerate(written.results.requirements):
        requirement = problem.requirements[number]
        worths = tuple(
            LimitWorth(
                limit=limit_text(problem.sides[worth.side], requirement),
                unit=requirement.unit,
                relaxed=worth.relaxed,
                by_multiplier=worth.by_multiplier,
                by_search=worth.by_search,
            )
            for worth in bound.sides
            if problem.sides[worth.side].requirement == number
        )
        if number >= stated and not worths:
            continue  # that a machine fits is reported only where it decides
        found.append(
            FoundRequirement(
                text=result.text,
                about=_full_by(written, requirement) if number >= stated else "",
                met=result.met,
                value=result.value_text,
                margin=result.margin_text,
                binds=bool(worths),
                worths=worths,
            )
        )
    return tuple(found)


def rules_of(bound: Worths) -> tuple[FoundRule, ...]:
    return tuple(_rule(one) for one in bound.held)


def _rule(found: HeldWorth) -> FoundRule:
    bound = found.bound
    size = 1.0 if bound.unit is None else bound.unit.size
    limit = bound.name
    if not bound.is_rule:
        end = bound.high if found.upper else bound.low
        limit = f"{'at most' if found.upper else 'at least'} {bound.shown(end)}"
    worths = (found.by_multiplier, found.by_search)
    by_multiplier, by_search = (None if one is None else one * size for one in worths)
    return FoundRule(
        place=bound.owner if bound.is_rule else bound.place,
        text=bound.asked,
        worth=LimitWorth(
            limit=limit,
            unit="" if bound.unit is None else bound.unit.sign,
            relaxed=1.0,
            by_multiplier=by_multiplier,
            by_search=by_search,
        ),
    )


def _set_by(picked: Chosen, end: EndWorth) -> str:
    """Who sets the end of a free setting's range besides the plant's file."""
    problem = picked.trials.problem
    unknown = problem.unknowns[end.unknown]
    own = unknown.numbers[-1 if end.upper else 0]
    names = {id(problem.freedom.variables[name]) for name in unknown.variables}
    for bound in problem.freedom.bounds:
        limit = bound.high if end.upper else bound.low
        if id(bound.formula) in names and abs(limit - own) <= _SAME * max(abs(own), _SAME):
            return bound.by
    return ""


def limits_of(written: Written) -> tuple[FoundLimit, ...]:
    """What the revision passes or comes near to of what its machines can do."""
    found = []
    for machine in written.results.machines:
        parts = [(machine.tag, machine.checks)]
        parts += [(f"{machine.tag}.{deck.name}", deck.checks) for deck in machine.decks]
        found += [
            FoundLimit(subject=subject, text=check.text, verdict=check.verdict, code=check.code)
            for subject, checks in parts
            for check in checks
            if check.verdict != "ok"
        ]
    return tuple(found)


def _full_by(written: Written, requirement: Requirement) -> str:
    """In which way a machine is full that has to take its feed."""
    if not isinstance(requirement, Limit) or not isinstance(requirement.expression, Reading):
        return ""
    tag = requirement.expression.subject
    machine = next(one for one in written.results.machines if one.tag == tag)
    uses = {"load": machine.load, "installed power": machine.power_use}
    full = next((name for name, use in uses.items() if use is not None and use > _FULL), "")
    checks = {check.name: check.text for check in machine.checks}
    names = [full] if full else ["feed opening", "nip"]
    return next((checks[name] for name in names if name in checks), "")


def limit_text(side: Side, requirement: Limit | Meets) -> str:
    """`at most 95 %`, or of a band `at most 10 % passing 4.75 mm`."""
    word = "at least" if side.sign > 0 else "at most"
    number = f"{side.bound / side.unit_size:.6g}"
    if isinstance(requirement, Limit):
        return f"{word} {number} {requirement.unit}".strip()
    number = f"{round(side.bound / side.unit_size, 1):g}"  # 100 % is met a little below
    size = getattr(side.expression, "size_mm", None)
    return f"{word} {number} % passing {size:g} mm"


def _choices(unknown: Unknown) -> str:
    texts = [text_of(unknown, number) for number in unknown.numbers]
    return ", ".join(texts) if unknown.is_choice else f"{texts[0]} to {texts[-1]}"


def _exact(unknown: Unknown, value: float) -> str:
    return unknown.unit.with_number(f"{value / unknown.unit.size:.5g}")


def _line(source: Source, offset: int) -> int:
    return source.text.count("\n", 0, offset) + 1
