"""What a reader of the run has to know: machines pushed past their capacity, and people near
machines that start by themselves and rock that moves under them."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.studies.simulate.building import Built
from hoggin.studies.simulate.document import Caution

_RESTART = (
    "Sections that wait for rock or for room may start again by themselves. Lock out, isolate and "
    "prove dead before anyone opens, clears or enters a machine that stands idle; sound the "
    "start-up alarm, and see that all is clear."
)
_ENGULFED = (
    "Never stand on a stockpile or in a bin above its drawpoints while it may be drawn: the crater "
    "runs without warning and buries people, and rock that hangs over an empty drawpoint falls. "
    "Keep people and machines off by barriers, and enter only under the site's procedure for "
    "confined spaces, with the drawpoint locked out."
)
_BLOCKED = (
    "A section that is blocked or over-fed is cleared locked out, with what hangs or is under "
    "pressure secured first."
)


def cautions(plant: Plant, results: Results, made: Built) -> tuple[Caution, ...]:
    """Of the plant as it is run, and the usual ones."""
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
                f"capacity when its section runs at {100 * pace:.0f} % of the balance's rates",
            )


def _never_loaded(plant: Plant, made: Built) -> Iterator[Caution]:
    for feed in plant.feeds:
        section = made.cut.section_of[feed.tag]
        if feed.loading_h and not made.line.loaded_h.get(section):
            yield Caution(code="W0526", text=f"`{feed.tag}` is never loaded in this run")
