"""The key figures of a plant, as pairs of label and text."""

from __future__ import annotations

from hoggin.report.fields import shown
from hoggin.report.wording import all_checks, count_text
from hoggin.schema.results import Results


def glance(results: Results) -> tuple[tuple[str, str], ...]:
    checks = [check.verdict for machine in results.machines for _, check in all_checks(machine)]
    asked = count_text(results.requirements) if results.requirements else "none stated"
    return (
        ("Plant feed", f"{shown(results, 'feed_t_h')} dry"),
        ("Products", str(len(results.products))),
        ("Machines", str(sum(machine.count for machine in results.machines))),
        ("Drawn power", f"{shown(results, 'power_kw', 'count')} by all machines"),
        ("Connected power", f"{shown(results, 'installed_power_kw', 'count')} of all motors"),
        ("Demand", f"{shown(results, 'demand_kw', 'count')} from the supply"),
        ("Energy", f"{shown(results, 'energy_kwh_t')} of feed"),
        *((("Overloaded", ", ".join(results.overloaded)),) if results.overloaded else ()),
        ("Requirements", asked),
        (
            "Limits",
            f"{len(checks)} checked, {checks.count('over')} over, {checks.count('watch')} to watch",
        ),
    )
