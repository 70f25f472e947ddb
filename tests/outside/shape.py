"""Particle shape."""

from __future__ import annotations

import numpy as np

from hoggin.balance import balance
from hoggin.balance.shape import trace
from hoggin.models.shape import (
    COVERED_MM,
    ELONGATION_COVERED_MM,
    FRACTIONS_MM,
    flakiness_index,
    flaky_undersize,
)
from tests.balance.builder import blend, feed, plant
from tests.outside_numbers import OutsideNumber


def index() -> float:
    edges = np.array([12.5, 10.0, 8.0, 6.3, 0.0])
    mass, flaky = [300.0, 500.0, 200.0, 0.0], [45.0, 60.0, 40.0, 0.0]
    return 100.0 * float(flakiness_index(edges, mass, flaky)[0])


def blended() -> float:
    feeds = [
        feed(tag, rate).model_copy(update={"flakiness": ((1.0, flaky),)})
        for tag, rate, flaky in (("a", 100.0, 0.10), ("b", 300.0, 0.30))
    ]
    a_plant = plant(feeds, [blend("mix")], ["a -> mix -> pile", "b -> mix"])
    result = balance(a_plant)
    found = trace(a_plant, result)
    assert found is not None
    pile = [stream.target for stream in a_plant.streams].index("pile")
    return 100.0 * float(found.flaky_t_h[0, pile].sum() / result.streams_t_h[0, pile].sum())


def elongated() -> float:
    edges = np.array([25.0, 19.0, 12.5, 9.5, 4.75, 0.0])
    mass, flat = [600.0, 900.0, 300.0, 200.0, 500.0], [30.0, 72.0, 30.0, 24.0, 400.0]
    return 100.0 * float(flakiness_index(edges, mass, flat, *ELONGATION_COVERED_MM)[0])


NUMBERS = (
    OutsideNumber(
        "Flakiness index of 300, 500, 200 g with 45, 60, 40 g through the bar sieves",
        "EN 933-3, FI = 100 M2 / M1; worked by hand",
        "memory",
        14.5,
        "%",
        1e-9,
        index,
    ),
    OutsideNumber(
        "Finest size the flakiness index covers",
        "EN 933-3:2012",
        "memory",
        4.0,
        "mm",
        1e-9,
        lambda: COVERED_MM[0],
    ),
    OutsideNumber(
        "Coarsest size the flakiness index covers",
        "EN 933-3:2012",
        "memory",
        100.0,
        "mm",
        1e-9,
        lambda: COVERED_MM[1],
    ),
    OutsideNumber(
        "Sieve fractions the flakiness index is measured in",
        "EN 933-3:2012, 4/5 to 80/100",
        "memory",
        14.0,
        "",
        1e-9,
        lambda: float(len(FRACTIONS_MM) - 1),
    ),
    OutsideNumber(
        "Flakiness of 100 t/h at 10 % blended with 300 t/h at 30 %",
        "mixing by mass",
        "by hand",
        25.0,
        "%",
        1e-9,
        blended,
    ),
    OutsideNumber(
        "Flakes through a slotted deck: half falls through, a fifth flaky, 1.5 times as readily",
        "mass balance: 0.2 x 1.5 s + 0.8 s = 0.5, flakes 1.5 s",
        "by hand",
        68.1818,
        "%",
        1e-4,
        lambda: 100.0 * float(flaky_undersize([[0.5]], [[0.2]], [[1.5]])[0, 0]),
    ),
    OutsideNumber(
        "Flat and elongated share of 600, 900, 300, 200 g with 30, 72, 30, 24 g, rest finer",
        "ASTM D4791, share by mass of what No. 4 retains; worked by hand",
        "memory",
        7.8,
        "%",
        1e-9,
        elongated,
    ),
)
