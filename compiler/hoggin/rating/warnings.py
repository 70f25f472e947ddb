"""Warnings of rating: limits near or passed, and requirements not met."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from hoggin.diagnostics.codes import CODES
from hoggin.schema.kinds import KINDS
from hoggin.schema.plant import Limit, Meets, Place, Plant, Reading, Requirement
from hoggin.schema.results import Check, LoopResult, MachineResult, RequirementResult, Warning

HIGH_RECIRCULATING_LOAD = 3.0  # over fresh feed; common practice, no source
_MOTOR = "carry less, or fit a larger motor within the class's limits"  # what has no setting
_SEARCH = "leave a setting open, as in `css free(10 mm to 20 mm)`, and search with `hoggin design`"
NEAR_RUNNING_AWAY = 1.15  # times the feed, within the swings of a usual one; common practice


def warnings(
    plant: Plant,
    machines: tuple[MachineResult, ...],
    loops: tuple[LoopResult, ...],
    requirements: tuple[RequirementResult, ...],
    feed_t_h: float,
) -> tuple[Warning, ...]:
    found: list[Warning] = []
    for machine, result in zip(plant.machines, machines, strict=True):
        found += _of_checks(machine.kind, machine.tag, result.checks, machine.place)
        for deck, deck_result in zip(machine.decks, result.decks, strict=True):
            tag = f"{machine.tag}.{deck.name}"
            found += _of_checks(machine.kind, tag, deck_result.checks, deck.place)
    places = {machine.tag: machine.place for machine in plant.machines}
    for loop in loops:
        found += _of_loop(loop, places[loop.machines[0]])
    for requirement, verdict in zip(plant.requirements, requirements, strict=True):
        if verdict.verdict == "not judged":
            text = f"not judged: {verdict.text}: {verdict.reason}"
            help = "make the overloaded machines fit first: the balance passes all of their feed"
            found.append(warning("W0511", verdict.text, text, help, requirement.place))
        elif not verdict.met:
            text = f"not met: {verdict.text}: {verdict.value_text}, margin {verdict.margin_text}"
            help = _over_the_feed(plant, requirement, feed_t_h) or _SEARCH
            if verdict.margin is None:
                text = f"not met: {verdict.text}: the result has no value"
                help = CODES["W0511"].remedy
            elif isinstance(requirement, Meets):
                help = "see in the grading plot where the curve leaves the band"
            found.append(warning("W0511", verdict.text, text, help, requirement.place))
    return tuple(found)


def _over_the_feed(plant: Plant, requirement: Requirement, feed_t_h: float) -> str:
    """What to say of a product's rate that is more than the plant is fed; nothing of others."""
    match requirement:
        case Limit(expression=Reading(quantity="rate", subject=tag), low=low) if low is not None:
            wanted = low * requirement.unit_size
            if wanted > feed_t_h and tag in {product.tag for product in plant.products}:
                return (
                    f"the plant is fed {feed_t_h:.4g} t/h in all, and no product can be more: feed "
                    "more, or require less"
                )
    return ""


def _of_loop(loop: LoopResult, place: Place) -> Iterator[Warning]:
    named = "the loop of " + ", ".join(f"`{tag}`" for tag in loop.machines)
    texts = []
    if loop.recirculating_load > HIGH_RECIRCULATING_LOAD:
        texts.append(f"recirculating load {100 * loop.recirculating_load:.0f} % in {named}")
    if loop.runs_away_at is not None and loop.runs_away_at < NEAR_RUNNING_AWAY:
        texts.append(f"{named} runs away at {loop.runs_away_at:.2f} times this feed")
    for text in texts:
        yield warning("W0510", ", ".join(loop.machines), text, CODES["W0510"].remedy, place)


def _of_checks(kind: str, subject: str, checks: Iterable[Check], place: Place) -> Iterator[Warning]:
    for check in checks:
        if check.code is not None:
            text, help = f"`{subject}`: {check.text}", CODES[check.code].remedy
            if check.code == "W0501":
                help = KINDS[kind].relief or help
            if check.code == "W0504" and not KINDS[kind].breaks:
                help = _MOTOR
            fit = f"{check.fit} would do; " if check.fit else ""
            yield warning(check.code, subject, text, fit + help, place)


def warning(code: str, subject: str, text: str, help: str, place: Place) -> Warning:
    return Warning(code=code, subject=subject, text=text, help=help, **place.model_dump())
