"""Warnings and cautions of a run: machines over their capacity, machines that start by themselves,
and rock that moves under people."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.studies.simulate.building import Built
from hoggin.studies.simulate.document import Caution

_RESTART = (
    "Sections that wait for rock or for room may start again by themselves. Lock out, isolate and "
    "prove dead before anyone opens, clears or enters an idle machine. Sound the start-up alarm, "
    "and make sure that everyone is clear."
)
_ENGULFED = (
    "Never stand on a stockpile or in a bin above its drawpoints while it may be drawn: the crater "
    "runs without warning and buries people, and rock that hangs over an empty drawpoint falls. "
    "Keep people and machines off with barriers. Enter only under the site's procedure for "
    "confined spaces, with the drawpoint locked out."
)
_BLOCKED = (
    "Before you clear a blocked or over-fed section, lock it out and secure everything that hangs "
    "or is under pressure."
)


def cautions(plant: Plant, results: Results, made: Built) -> tuple[Caution, ...]:
    """The cautions for this run, and the usual ones."""
    usual = [_RESTART, *([_ENGULFED] if made.cut.stores or made.cut.inside else []), _BLOCKED]
    return (
        *_over_capacity(results, made),
        *_never_loaded(plant, made),
        *(Caution(code="", text=text) for text in usual),
    )


def _over_capacity(results: Results, made: Built) -> Iterator[Caution]:
    for machine in results.machines:
        section = made.cut.section_of.get(machine.tag)
        if section is None or machine.load is None:
            continue
        pace = float(made.line.pace[section])
        if pace > 1 and machine.load * pace > 1 + 1e-9:
            yield Caution(
                code="W0525",
                text=f"`{machine.tag}` is loaded to {100 * machine.load * pace:.0f} % of its "
                f"capacity when its section runs at {100 * pace:.0f} % of the balance's rates; "
                f"a pace of {100 / machine.load:.0f} % fills it",
            )


def _never_loaded(plant: Plant, made: Built) -> Iterator[Caution]:
    for feed in plant.feeds:
        section = made.cut.section_of[feed.tag]
        if feed.loading_h and not made.line.loaded_h.get(section):
            yield Caution(
                code="W0526",
                text=f"`{feed.tag}` is never delivered in this run: "
                "its `loading` lies outside the shifts",
            )
