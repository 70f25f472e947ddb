"""A chosen case in the words and units of the plant."""

from __future__ import annotations

from hoggin.diagnostics.source import Source
from hoggin.schema.plant import Limit, Meets
from hoggin.studies.design.document import (
    FoundAim,
    FoundPick,
    FoundRequirement,
    FoundSetting,
    LimitWorth,
)
from hoggin.studies.design.problem import Side, Unknown
from hoggin.studies.design.rounding import text_of
from hoggin.studies.design.variants import Variant
from hoggin.studies.design.verifying import Chosen, Written
from hoggin.studies.design.worth import Worths


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
        if number >= len(problem.plant.requirements) and not worths:
            continue  # that a machine fits is reported only where it decides
        found.append(
            FoundRequirement(
                text=result.text,
                met=result.met,
                value=result.value_text,
                margin=result.margin_text,
                binds=bool(worths),
                worths=worths,
            )
        )
    return tuple(found)


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
