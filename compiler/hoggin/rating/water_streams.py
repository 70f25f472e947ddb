"""Streams of water alone, in all cases: all that is sprayed or added comes from the process water,
which has the water that thickeners give back, and is made up with fresh water."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from hoggin.balance.wetting import added_t_h, spray_t_h
from hoggin.models.arrays import Array
from hoggin.rating.view import View
from hoggin.schema.plant import Machine
from hoggin.schema.results import WaterKind, WaterStreamResult

if TYPE_CHECKING:
    from hoggin.rating.rated import Rated

FRESH, PROCESS = "fresh water", "process water"
_Run = tuple[WaterKind, str, str, Array]  # source, target, m3/h


class WaterStreamView(View):
    document = WaterStreamResult

    def __init__(self, run: _Run) -> None:
        self.kind, self.source, self.target, self.water_m3_h = run


def water_streams(rated: Rated) -> tuple[WaterStreamView, ...]:
    """Make-up first, then the machines' in the order of the flow; some carry nothing."""
    return tuple(map(WaterStreamView, _runs(rated)))


def _runs(rated: Rated) -> Iterator[_Run]:
    yield "make-up", FRESH, PROCESS, rated.view.water.fresh_m3_h
    for machine in rated.plant.machines:
        yield from _onto(machine, rated)
        thickener = rated.machine(machine.tag).thickener
        if thickener is not None:
            yield "return", machine.tag, PROCESS, np.nan_to_num(thickener.water_reused_m3_h)


def _onto(machine: Machine, rated: Rated) -> Iterator[_Run]:
    """A cubic metre weighs a tonne, as in the balance of water."""
    for deck in machine.decks:
        sprayed = spray_t_h(machine, deck, rated.numbers)
        yield "spray", PROCESS, f"{machine.tag}.{deck.name}", sprayed
    if not machine.decks:
        yield "dilution", PROCESS, machine.tag, added_t_h(machine, rated.numbers)
