"""A whole circuit from an engineer's tables."""

from __future__ import annotations

import tempfile
from functools import partial
from pathlib import Path

from tests.balance.test_whole_circuit import SINGLE_PASS, Flows, course_plant
from tests.outside_numbers import OutsideNumber

COURSE = "US Army correspondence course EN5464 (ed. B), lesson 2, pp. 58-60"


def rate(*streams: str) -> float:
    """Of streams together, short tons an hour, with the course's tables and perfect screens."""
    with tempfile.TemporaryDirectory() as folder:
        flows = Flows(course_plant(Path(folder), SINGLE_PASS))
    return sum(map(flows.rate, streams))


def fresh_to_the_rolls() -> float:
    """What is over 3/4 in of the jaw's product: what the rolls get, less what returns of it."""
    return rate("sizing.top.over -> rolls") * (SINGLE_PASS[0.75] / 100.0)


NUMBERS = (
    OutsideNumber(
        "jaw, screen and rolls by planning tables: fresh feed of the rolls",
        *(COURSE, "looked up", 39.0, "short tons/h", 1e-9),
        fresh_to_the_rolls,
    ),
    OutsideNumber(
        "the same circuit: product 3/4 to 3/8 in",
        *(COURSE, "looked up", 25.80, "short tons/h", 1e-9),
        partial(rate, "sizing.bottom.over -> stone"),
    ),
    OutsideNumber(
        "the same circuit: product under 3/8 in",
        *(COURSE, "looked up", 34.20, "short tons/h", 1e-9),
        partial(rate, "sizing.under -> fines"),
    ),
)
