"""Bins and stockpiles: a section of the equipment schedule."""

from __future__ import annotations

from hoggin.report.tables import Column, Section, Table
from hoggin.schema.results import Results

_NOTE = (
    "Lasts: the live mass over what runs through, so the time one side runs on when the other "
    "stops. A pile with a height is a whole cone; without a stated live share, what one opening "
    "under its apex reclaims down to the draw-down angle is live (a quarter where that is the "
    "angle of repose). An angle of repose that is not stated is taken as 37 deg (common practice, "
    "no source)."
)
_CAUTION = (
    "Nobody on a pile or in a bin while rock can be drawn from it: the surface hides voids that "
    "swallow people, steep faces slide, and a bridge lets go without warning. Lock out feeders "
    "above and below first; confined-space rules and local codes govern."
)


def sections(results: Results) -> tuple[Section, ...]:
    """Storage with what it rests on; empty for a plant without bins and stockpiles."""
    table = storage(results)
    return (Section("Storage", (_NOTE, _CAUTION), table),) if table.rows else ()


def storage(results: Results) -> Table:
    """One row a bin or stockpile of which something is stated."""
    columns = (
        Column("tag", width=20),
        Column("kind", width=12),
        Column("runs through", "t/h", "rate"),
        Column("height", "m", "number"),
        Column("base diameter", "m", "number"),
        Column("repose", "deg", "rate"),
        Column("draw-down", "deg", "rate"),
        Column("volume", "m3", "count"),
        Column("holds", "t", "count"),
        Column("live", "%", "percent"),
        Column("live", "t", "count"),
        Column("lasts", "h", "number"),
    )
    rows = tuple(
        (
            machine.tag,
            machine.kind,
            found.through_t_h,
            found.height_m,
            found.base_diameter_m,
            found.repose_deg,
            found.drawdown_deg,
            found.volume_m3,
            found.held_t,
            found.live_share,
            found.live_t,
            found.surge_time_h,
        )
        for machine in results.machines
        if (found := machine.storage)
    )
    return Table("Storage", columns, rows)
