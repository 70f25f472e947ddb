"""A plant over time."""

from __future__ import annotations

from dataclasses import replace

from hoggin.studies.simulate.line import Failing
from hoggin.studies.simulate.simulate import simulate
from tests.outside_numbers import OutsideNumber
from tests.studies.simulate.fluid import Pair, throughput
from tests.studies.simulate.lines import series

PAIR = Pair(100.0, 120.0, 0.10, 0.15, 0.50, 0.40, 150.0)


def finite_store() -> float:
    failing = (Failing("a", 0, PAIR.p1, 1 / PAIR.r1), Failing("b", 1, PAIR.p2, 1 / PAIR.r2))
    line = series((PAIR.m1, PAIR.m2), (PAIR.room,), failing=failing)
    return float(simulate(line, 4000.0, 60, 1).products_t.mean()) / 4000.0


def dry_at() -> float:
    line = replace(series((100.0, 150.0), (900.0,), (600.0,)), loaded_h={0: ((0.0, 4.0),)})
    return float(simulate(line, 24.0, kept=1).traces[0].hours[2])


def derated() -> float:
    failing = (Failing("x", 0, 1 / 9, 1.0), Failing("y", 0, 1 / 8, 2.0))
    return float(replace(series((100.0,), ()), failing=failing).availability[0])


NUMBERS = (
    OutsideNumber(
        "Two failing sections, 100 and 120 t/h, with 150 t between them: t/h in the long run",
        "Markov fluid equations of Gershwin and Schick (1980) and Mitra (1988), solved with scipy",
        "library",
        round(throughput(PAIR), 6),
        "t/h",
        0.8,
        finite_store,
    ),
    OutsideNumber(
        "Hour at which 600 t run dry: 100 t/h in for 4 h, 150 t/h out",
        "conservation of mass, 4 + (600 - 4 x 50) / 150",
        "by hand",
        4 + 400 / 150,
        "h",
        1e-9,
        dry_at,
    ),
    OutsideNumber(
        "Availability of machines of 90 % and 80 % in series that fail only while they run",
        "Buzacott (1967), 1 / (1 + 1/9 + 1/4) = 36/49",
        "memory",
        36 / 49,
        "",
        1e-12,
        derated,
    ),
)
