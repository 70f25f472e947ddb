"""Warnings of rating: limits near or passed, and requirements not met."""

from __future__ import annotations

from hoggin.diagnostics.codes import CODES
from hoggin.schema.plant import Limit, Meets, Place, Plant
from hoggin.schema.results import Check, LoopResult, MachineResult, RequirementResult, Warning

HIGH_RECIRCULATING_LOAD = 3.0  # over fresh feed; common practice, no source


def warnings(
    plant: Plant,
    machines: tuple[MachineResult, ...],
    loops: tuple[LoopResult, ...],
    requirements: tuple[RequirementResult, ...],
) -> tuple[Warning, ...]:
    found: list[Warning] = []
    for machine, result in zip(plant.machines, machines, strict=True):
        for check in result.checks:
            _warn(found, machine.tag, check, machine.place)
        for deck, deck_result in zip(machine.decks, result.decks, strict=True):
            for check in deck_result.checks:
                _warn(found, f"{machine.tag}.{deck.name}", check, deck.place)
    places = {machine.tag: machine.place for machine in plant.machines}
    for loop in loops:
        if loop.recirculating_load > HIGH_RECIRCULATING_LOAD:
            _add(
                found,
                "W0510",
                ", ".join(loop.machines),
                f"recirculating load {100 * loop.recirculating_load:.0f} % in the loop of "
                + ", ".join(f"`{tag}`" for tag in loop.machines),
                CODES["W0510"].remedy,
                places[loop.machines[0]],
            )
    for requirement, verdict_ in zip(plant.requirements, requirements, strict=True):
        if not verdict_.met:
            what = _what_is_missed(requirement)
            _add(
                found,
                "W0511",
                verdict_.text,
                f"not met: {verdict_.text}: {verdict_.value_text}, margin {verdict_.margin_text}",
                what,
                requirement.place,
            )
    return tuple(found)


def _what_is_missed(requirement: Limit | Meets) -> str:
    if isinstance(requirement, Meets):
        return "the grading plot shows where the curve leaves the band"
    return ""


def _warn(found: list[Warning], subject: str, check: Check, place: Place) -> None:
    if check.code is not None:
        text = f"`{subject}`: {check.text}"
        _add(found, check.code, subject, text, CODES[check.code].remedy, place)


def _add(found: list[Warning], code: str, subject: str, text: str, help: str, place: Place) -> None:
    found.append(
        Warning(
            code=code,
            subject=subject,
            text=text,
            help=help,
            file=place.file,
            line=place.line,
            column=place.column,
        )
    )
