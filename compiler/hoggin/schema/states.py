"""The states of a plant: as it is written, and its cases."""

from __future__ import annotations

import math
from collections.abc import Sequence

from hoggin.schema.plant import Plant


def hours_of(plants: Sequence[Plant]) -> list[float | None]:
    """Hours of the year that each state is run, the plant as it is written first; None where that
    is not known. What the cases do not run of the plant's hours is run as it is written."""
    written = plants[0]
    stated = {case.name: case.hours for case in written.cases}
    run = [one for one in stated.values() if one is not None]
    rest = written.hours_per_year
    if run:
        rest = None if rest is None else max(0.0, rest - math.fsum(run))
    return [stated.get(plant.case) if plant.case else rest for plant in plants]
