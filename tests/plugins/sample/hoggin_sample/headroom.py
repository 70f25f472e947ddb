"""A check: crushers with little capacity left."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.plugins import Check, Finding
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results

LEAST = 0.5  # invented for a test


def _run(plant: Plant, results: Results) -> Iterator[Finding]:
    crushers = {machine.tag for machine in plant.machines if machine.kind == "crusher"}
    for one in results.machines:
        if one.tag in crushers and one.load is not None and one.load > LEAST:
            yield Finding("low", one.tag, f"load {100 * one.load:.0f} %, over {LEAST:.0%}")


HEADROOM = Check({"low": "feed less, or choose a larger machine"}, _run)
