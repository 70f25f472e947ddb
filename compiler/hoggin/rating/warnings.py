"""Warnings of rating: limits near or passed, and requirements not met."""

from __future__ import annotations

from hoggin.schema.plant import Limit, Meets, Place, Plant
from hoggin.schema.results import Check, LoopResult, MachineResult, RequirementResult, Warning

HIGH_RECIRCULATING_LOAD = 3.0  # over fresh feed; common practice, no source

_CODE_HELP = {
    "W0501": "open the setting, feed less or choose a larger machine",
    "W0502": "add a stage or open the setting",
    "W0503": "choose a larger machine or a coarser chamber, or scalp the feed",
    "W0504": "open the setting, feed less, or fit a larger motor within the class's limits",
    "W0505": "put a magnet or metal detector before the machine",
    "W0506": "feed the chamber full, close the setting, or choose a smaller machine",
    "W0507": "take a larger screen or share the feed between two",
    "W0508": "take a wider screen, or relieve the deck",
    "W0519": "lengthen the conveyor, or fit a belt made for steep runs",
    "W0518": "take a wider belt, or break or scalp the rock before it",
    "W0517": "make the pile higher or the bin larger, or state less live storage",
    "W0509": "take the separation with doubt; another aperture may suit better",
    "W0512": "say `feeding choke`, or feed less",
    "W0513": "detect and remove tramp metal before the machine, or keep to that setting",
    "W0514": "take larger rolls, open the gap, or feed finer",
    "W0516": "scalp the fines before it, dry or drain the feed, or open the setting",
    "W0523": "spray the deck, dry the feed, or fit media made to keep open",
}


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
                "open the screen or close the setting",
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
        _add(found, check.code, subject, text, _CODE_HELP[check.code], place)


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
