"""Notes on crushers whose breakage or capacity depends on their feed."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.schema.results import MachineResult, Results


def feed_notes(results: Results) -> tuple[str, ...]:
    """One sentence a crusher and matter; none for plants that state nothing of the kind."""
    return tuple(note for machine in results.machines for note in _notes(machine))


def iterated_on(results: Results) -> str:
    """What the balance's iterations were on."""
    if any(machine.breakage for machine in results.machines):
        return "the screens' loads and the crushers' feeds"
    return "the screens' loads"


def _notes(machine: MachineResult) -> Iterator[str]:
    breakage, moisture = machine.breakage, machine.moisture
    if breakage is not None:
        what = [f"K1 is {breakage.k1_mm:.3g} mm", f"K2 {breakage.k2_mm:.3g} mm"]
        if breakage.t10 is not None:
            what.append(f"t10 {100 * breakage.t10:.3g} %")
        by = ["F80"] * breakage.follows_f80 + ["rock"] * breakage.follows_rock
        yield (
            f"Breakage in {machine.shown_tag} depends on the {' and '.join(by)} of its feed: "
            f"at F80 {breakage.f80_mm:.3g} mm {', '.join(what)}."
        )
    if moisture is not None and moisture.lost > 0.0:
        yield (
            f"Capacity of {machine.shown_tag}: {100 * moisture.moisture:.1f} % moisture in its "
            f"feed reduces the dry capacity of {moisture.dry_capacity_t_h:.0f} t/h by "
            f"{100 * moisture.lost:.0f} %, by its class's figures (common practice, no source)."
        )
