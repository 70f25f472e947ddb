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

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np

from hoggin.balance import balance
from hoggin.check.checker import Checked
from hoggin.check.plant import Reading
from hoggin.rating.rate import rate
from hoggin.study import cases
from hoggin.study.spread import Batch, Here, Work
from tests.benchmarks.run import machine
from tests.study.test_cases import QUICK_READ, drawn, freed_quarry

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
        plant = few.plant_of(case)
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


if __name__ == "__main__":
    main()
