"""Bins and stockpiles: a section of the equipment schedule."""

from __future__ import annotations

from hoggin.report.fields import TAG, result, results_of, table, words
from hoggin.report.tables import Section, Table, where_rows
from hoggin.schema.results import MachineResult, Results

_NOTE = (
    "Lasts: the live mass over the throughput, which is how long one side can run when the other "
    "stops. A pile with a height is a full cone. If no live share is stated, the live part is what "
    "one opening under the apex reclaims down to the draw-down angle (a quarter if that is the "
    "angle of repose). A pile without a height is as high as the stacker upstream builds it. If "
    "the stacker moves along an arc, it adds a ridge (a triangle along the path of its top), and "
    "the pile is loaded from the ground: all of it is live unless a live share is stated. Fills "
    "in: what the pile holds over what is fed to it. The default angle of repose is 37 deg (common "
    "practice, no source)."
)
_CAUTION = (
    "Keep people off a pile and out of a bin while rock can be drawn from it: the surface hides "
    "voids that swallow people, steep faces slide, and a bridge collapses without warning. First "
    "lock out the feeders above and below. Confined-space rules and local codes govern."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Storage with what it rests on; empty for a plant without bins and stockpiles."""
    return where_rows("Storage", (_NOTE, _CAUTION), storage(results))


_STORE = (
    TAG,
    words("kind", lambda machine: machine.kind, 12),
    result(MachineResult, "storage.through_t_h", "runs through"),
    *results_of(MachineResult, "storage.height_m", "storage.base_diameter_m", "storage.repose_deg"),
    result(MachineResult, "storage.drawdown_deg", "draw-down"),
    result(MachineResult, "storage.volume_m3"),
    result(MachineResult, "storage.held_t", "holds"),
    result(MachineResult, "storage.live_share", "live"),
    result(MachineResult, "storage.live_t"),
    result(MachineResult, "storage.surge_time_h", "lasts"),
    result(MachineResult, "storage.fill_time_h", "fills in"),
)


def storage(results: Results) -> Table:
    """One row a bin or stockpile of which something is stated."""
    return table("Storage", _STORE, [machine for machine in results.machines if machine.storage])
