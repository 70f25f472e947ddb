"""Tramp metal: a section of the equipment schedule."""

from __future__ import annotations

from hoggin.report.fields import TAG, result, table, words
from hoggin.report.tables import Section, Table, where_rows
from hoggin.schema.results import MachineResult, Results

_NOTE = (
    "Tramp iron is what a magnet holds, other tramp what none does: manganese and stainless "
    "steel. Sizes are the largest that a feed states. Such a piece passes no deck that is finer; a "
    "rod may, endwise. Of several ways, the one that brings most is counted. Magnets take a share "
    "of the iron, detectors stop the belt for a share of all pieces that they can see: the shares "
    "are the classes' (common practice, no source), so test both on site."
)
_CAUTION = (
    "Metal is taken off a belt only while it is locked out, tagged and proved dead. A crusher "
    "stalled on tramp holds great force: clear it by the maker's procedure alone. Magnets pinch, "
    "and harm people with pacemakers. Local codes and licensed practice govern."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Tramp metal with what it rests on; empty for a plant whose feeds state none."""
    return where_rows("Tramp metal", (_NOTE, _CAUTION), tramp(results))


_TRAMP = (
    TAG,
    words("kind", lambda machine: machine.kind, 14),
    result(MachineResult, "tramp.iron_mm", "iron to"),
    result(MachineResult, "tramp.iron_share", "of its pieces arrive"),
    result(MachineResult, "tramp.other_mm", "other to"),
    result(MachineResult, "tramp.other_share", "of its pieces arrive"),
    result(MachineResult, "tramp.piece_every_h", "a piece every"),
    result(MachineResult, "tramp.stop_every_h", "a stop every"),
)


def tramp(results: Results) -> Table:
    """One row a crusher, magnet or detector that tramp metal can reach."""
    return table("Tramp metal", _TRAMP, [machine for machine in results.machines if machine.tramp])
