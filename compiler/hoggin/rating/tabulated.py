"""What a machine's table was made for, against what the machine gets, in one case."""

from __future__ import annotations

from hoggin.models.arrays import Array
from hoggin.rating.checks import checked
from hoggin.rating.machines import MachineView
from hoggin.rating.view import picked
from hoggin.schema.results import Check, MachineResult, Verdict

# Common practice, no source, for both:
_FINER = 0.75  # of the table's feed, from where a feed is finer
_DENSITY = 0.10  # of the table's bulk density, by which a rock's may differ


def table_checks(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    """Whether the feed and the rock are those of the tables that the class states."""
    if not one.feed_t_h:
        return []
    return [*_feed(machine, one, case), *_rock(machine, case)]


def _feed(machine: MachineView, one: MachineResult, case: int) -> list[Check]:
    known = _of_table(machine, "breakage")
    if not known or one.top_size_mm is None or one.f80_mm is None:
        return []
    top, f80 = picked(known["feed_top"], case), picked(known["feed_f80"], case)
    stated, found = (f80, one.f80_mm) if f80 else (top, one.top_size_mm)
    finer, coarser = found < _FINER * stated, one.top_size_mm > top
    text = f"the table of gradings is for feed up to {top:g} mm"
    text += f" with F80 {f80:g} mm" if f80 else ""
    text += f", this feed is up to {one.top_size_mm:.0f} mm (98 % passing)"
    text += f" with F80 {one.f80_mm:.0f} mm" if f80 else ""
    verdict: Verdict = "watch" if finer or coarser else "ok"
    value, limit = (one.top_size_mm, top) if coarser else (found, stated)
    return [checked("feed of the table", verdict, text, value, limit, "mm", "W0535")]


def _rock(machine: MachineView, case: int) -> list[Check]:
    known = _of_table(machine, "capacity")
    if not known:
        return []
    stated = picked(known["bulk_density"], case)
    found = picked(machine.rated.mixture(machine.tag).bulk_density_t_m3, case)
    text = (
        f"the table of capacity is for a bulk density of {stated:.3g} t/m3, the rock has "
        f"{found:.3g} t/m3: capacity is in proportion"
    )
    verdict: Verdict = "watch" if abs(found / stated - 1.0) > _DENSITY else "ok"
    return [checked("rock of the table", verdict, text, found, stated, "t/m3", "W0536")]


def _of_table(machine: MachineView, role: str) -> dict[str, Array]:
    """The coefficients of a role's model if that is a table, else none."""
    use = machine.machine.models.get(role)
    if use is None or not use.table:
        return {}
    return machine.rated.numbers.coefficients(machine.machine, role)
