"""Small lines for the tests; all are scenarios of our own."""

from __future__ import annotations

import numpy as np

from hoggin.studies.simulate.line import Failing, Line


def series(
    rates: tuple[float, ...],
    live: tuple[float, ...],
    start: tuple[float, ...] | None = None,
    failing: tuple[Failing, ...] = (),
) -> Line:
    """Sections in a row with a store between each and the next; the last makes product `p`."""
    count, stores = len(rates), len(live)
    takes, gives, feeds = np.zeros((count, stores)), np.zeros((count, stores + 1)), np.zeros(count)
    feeds[0] = rates[0]
    for place, rate in enumerate(rates):
        gives[place, min(place, stores)] = rate
        if place:
            takes[place, place - 1] = rate
    return Line(
        sections=tuple(f"s{n}" for n in range(count)),
        stores=tuple(f"b{n}" for n in range(stores)),
        products=("p",),
        takes_t_h=takes,
        gives_t_h=gives,
        feeds_t_h=feeds,
        pace=np.ones(count),
        live_t=np.array(live, dtype=float),
        start_t=np.array(start if start is not None else [x / 2 for x in live], dtype=float),
        failing=failing,
    )
