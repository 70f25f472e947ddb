"""Benchmarks of studies: many cases at once against a Python loop over single ones, in one run.

    python tests/benchmarks/studies.py [--most 10000] [--processes 2]

The plant is the main example with nine numbers left open; every case reads some twenty results and
all requirements. The loop checks nothing again: it makes each case's plant, balances and rates it.
"""

from __future__ import annotations

import argparse
import sys
import tracemalloc
from pathlib import Path
from time import perf_counter
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from scipy.optimize import differential_evolution

from hoggin.balance import balance
from hoggin.check.checker import Checked, check
from hoggin.diagnostics.source import Source
from hoggin.rating.rate import rate
from hoggin.schema.plant import Reading
from hoggin.studies.design.problem import Problem
from hoggin.studies.design.search import Effort, from_shares, scatter, search
from hoggin.studies.design.trials import Trials
from hoggin.studies.runner.cases import cases
from hoggin.studies.runner.spread import Batch, Here, Work
from hoggin.world import World
from tests.benchmarks.run import machine
from tests.studies.runner.one_case import one_case
from tests.studies.runner.test_cases import QUICK_READ, drawn, freed_quarry

QUARRY = Path(__file__).resolve().parents[2] / "examples" / "quarry.hog"
_BATCH = 1000
_LOOPED = 20


def main() -> None:
    arguments = argparse.ArgumentParser(description="Benchmarks of studies.")
    arguments.add_argument("--most", type=int, default=10_000, help="cases of the largest study")
    arguments.add_argument("--processes", type=int, default=2)
    chosen = arguments.parse_args()
    checked = freed_quarry()
    assert checked.plant is not None
    readings = tuple(Reading(subject=tag, quantity=quantity) for tag, quantity in QUICK_READ)
    work = Work(checked.plant, checked.freedom, readings, checked.plant.requirements)
    random = np.random.default_rng(1)
    print(machine())
    against_a_loop(work, checked, random)
    memory(work, random)
    optimiser()
    growth(work, random, chosen.most, chosen.processes)


def batch_of(work: Work, count: int, random: np.random.Generator) -> Batch:
    return {name: drawn(v, count, random) for name, v in work.freedom.variables.items()}


def against_a_loop(work: Work, checked: Checked, random: np.random.Generator) -> None:
    work.done(batch_of(work, 2, random))  # models loaded
    batch = batch_of(work, _BATCH, random)
    start = perf_counter()
    work.done(batch)
    together = (perf_counter() - start) / _BATCH
    assert checked.plant is not None
    few = cases(checked.plant, checked.freedom, batch_of(work, _LOOPED, random))
    start = perf_counter()
    for case in range(_LOOPED):
        plant = one_case(few, case)
        rate(plant, balance(plant), "case.hog")
    single = (perf_counter() - start) / _LOOPED
    print(f"{1 / together:.0f} cases a second in batches of {_BATCH}: ", end="")
    print(f"{single / together:.0f} x a loop over single cases")


def memory(work: Work, random: np.random.Generator) -> None:
    peaks = []
    for count in (_BATCH, 4 * _BATCH):
        tracemalloc.start()
        work.done(batch_of(work, count, random))
        peaks.append(tracemalloc.get_traced_memory()[1] / 1e6)
        tracemalloc.stop()
    more = (peaks[1] - peaks[0]) / 3
    print(
        f"peak {peaks[0]:.0f} MB for {_BATCH} cases at once, {more:.0f} MB for each {_BATCH} more"
    )


def growth(work: Work, random: np.random.Generator, most: int, processes: int) -> None:
    """Time a case as the study grows, in units of the smallest study's."""
    first: float | None = None
    count = _BATCH
    while count <= most:
        batches = [batch_of(work, _BATCH, random) for _ in range(count // _BATCH)]
        start = perf_counter()
        parts = sum(1 for _ in Here(processes).parts(work, batches))
        taken = (perf_counter() - start) / count
        first = taken if first is None else first
        print(f"{count:>9,} cases in {parts} batches: {taken / first:.2f} x the time a case")
        count *= 10


def optimiser() -> None:
    """Balances the search of `hoggin design` takes, against scipy's default evolution from one
    start, on the example with three settings free; both by the same merit."""
    trials = freed_trials()
    goal = trials.goal([1.0])
    scatter(trials, Effort())
    ours = search(trials, goal, Effort())
    other = freed_trials()
    columns = len(other.problem.unknowns)

    def merit(shares: np.ndarray) -> np.ndarray:
        values = from_shares(other.problem, shares.reshape(columns, -1).T)
        return other.merit(other.of(values), goal)

    evolution: Any = differential_evolution
    evolution(
        merit, [(0.0, 1.0)] * columns, rng=0, polish=False, vectorized=True, updating="deferred"
    )
    theirs = other.best(goal)
    found, usual = (float(t.merit(s, goal)[0]) for t, s in ((trials, ours), (other, theirs)))
    print(f"design: {trials.balances} balances to an aim of {-found:.1f}; ", end="")
    print(f"scipy's default from one start: {other.balances} balances to {-usual:.1f}; ", end="")
    print(f"{other.balances / trials.balances:.1f} x as many")


def freed_trials() -> Trials:
    text = QUARRY.read_text()
    for old, new in (
        ("css     40 mm", "css free(34 mm to 50 mm, 40 mm)"),
        ("tertiary_setting = 15 mm", "tertiary_setting = free(12 mm to 20 mm)"),
        ("speed   1050 rpm", "speed free(1000 rpm to 1150 rpm)"),
        (
            "  require plant",
            "  maximize 12 * stone.rate + 9 * chips.rate + 3 * sand.rate\n  require plant",
        ),
    ):
        assert old in text, old
        text = text.replace(old, new, 1)
    checked = check(World(QUARRY), Source("examples/quarry.hog", text))
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    return Trials(Problem(checked.plant, checked.freedom))


if __name__ == "__main__":
    main()
