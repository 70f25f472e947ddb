"""Benchmarks of the balance: ratios between things measured in the same run.

    python tests/benchmarks/run.py [FILE.hog] [--command "hoggin check FILE.hog"]

Without a file the plant is a three-stage scenario of our own (plants.py).
"""

from __future__ import annotations

import argparse
import os
import platform
import shlex
import subprocess
import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np

from hoggin.balance import Circuit, balance, lower, solve, take
from hoggin.check.checker import check_file
from hoggin.schema.plant import Plant
from tests.balance.reference import Reference
from tests.balance.varying import vary
from tests.benchmarks.by_root import ByRoot
from tests.benchmarks.plants import lines, three_stage

CASES = 1000


def main() -> None:
    arguments = argparse.ArgumentParser(description="Benchmarks of the balance.")
    arguments.add_argument("file", nargs="?", help="a .hog file; a built-in plant without")
    arguments.add_argument("--command", help="a command to time against starting numpy")
    chosen = arguments.parse_args()
    plant = three_stage() if chosen.file is None else read(Path(chosen.file))
    print(machine())
    against_root(plant)
    if chosen.file is not None:
        with_check(Path(chosen.file))
    batch(plant)
    growth()
    start_up(shlex.split(chosen.command) if chosen.command else None)


def read(path: Path) -> Plant:
    """The checked plant of a file."""
    plant = check_file(path).plant
    if plant is None:
        raise SystemExit(f"{path} has errors or no plant")
    return plant


def machine() -> str:
    """What this runs on."""
    names = [
        line.split(":", 1)[1].strip()
        for line in _text(Path("/proc/cpuinfo")).splitlines()
        if line.startswith("model name")
    ]
    cpu = names[0] if names else platform.processor()
    versions = f"Python {platform.python_version()}, numpy {np.__version__}"
    return f"machine: {os.cpu_count()} cores, {cpu}; {versions}"


def _text(path: Path) -> str:
    return path.read_text() if path.exists() else ""


def seconds(run: Callable[[], object], times: int) -> float:
    """Median wall time of a few runs."""
    taken = []
    for _ in range(times):
        start = perf_counter()
        run()
        taken.append(perf_counter() - start)
    return median(taken)


def against_root(plant: Plant) -> None:
    """A full balance, checked plant to closed flows, against a general root finder."""
    result = balance(plant)
    own = seconds(partial(balance, plant), 21)
    print(
        f"balance: {len(plant.machines)} machines, {len(result.edges_mm) - 1} classes, "
        f"{result.iterations} iterations, closure {result.closure.max():.1e}: {own * 1e3:.1f} ms"
    )
    by_root = ByRoot(Reference(plant, result.edges_mm, result))
    ways: dict[str, Callable[[], np.ndarray[tuple[int, ...], np.dtype[np.float64]]]] = {
        "root, all flows, hybr": by_root.all_flows("hybr"),
        "root, all flows, krylov": by_root.all_flows("krylov"),
        "root, cut sizes, spsolve": by_root.cut_sizes,
    }
    for name, run in ways.items():
        error = np.abs(run() - result.machine_feeds_t_h[0]).max() / result.machine_feeds_t_h.max()
        taken = seconds(run, 3)
        print(f"  {name}: {taken * 1e3:.0f} ms, {taken / own:.0f} x (differs by {error:.0e})")


def with_check(path: Path) -> None:
    """Reading, checking and balancing a file, in a process that has loaded what it needs."""
    taken = seconds(lambda: balance(read(path)), 11)
    print(f"check and balance of {path.name}: {taken * 1e3:.1f} ms")


def batch(plant: Plant) -> None:
    """A thousand cases at once against a loop over the same cases, already lowered."""
    draw = np.random.default_rng(1)
    rates = {feed.tag: feed.rate_t_h * draw.uniform(0.6, 1.0, CASES) for feed in plant.feeds}
    settings = {
        (machine.tag, name): value * draw.uniform(0.95, 1.0, CASES)
        for machine in plant.machines
        if machine.kind == "crusher"
        for name, value in machine.models["breakage"].coefficients.items()
        if name in ("k1", "css", "tip_speed")
    }
    last = list(settings)[-1:]
    sweeps = {
        "rates": {},
        "rates and one setting": {key: settings[key] for key in last},
        "rates and every setting": settings,
    }
    for name, coefficients in sweeps.items():
        circuit = vary(lower(plant), rates_t_h=rates, coefficients=coefficients)
        together = seconds(partial(solve, circuit), 5)
        singles = [take(circuit, slice(case, case + 1)) for case in range(CASES)]
        apart = seconds(partial(_one_by_one, singles), 1)
        print(
            f"batch of {CASES} ({name}): {together * 1e3:.0f} ms at once, "
            f"{apart * 1e3:.0f} ms in a loop, {apart / together:.0f} x"
        )


def _one_by_one(circuits: Sequence[Circuit]) -> None:
    for circuit in circuits:
        solve(circuit)


def growth() -> None:
    """Time per machine as the plant grows, in loops of their own and all in one."""
    for one_loop in (False, True):
        print("growth, all in one loop:" if one_loop else "growth, a loop or two a line:")
        for count in (2, 20, 200):
            plant = lines(count, one_loop=one_loop)
            times = 5 if count < 200 else 1
            taken = seconds(partial(balance, plant), times)
            machines = len(plant.machines)
            print(
                f"  {machines} machines: {taken:.3f} s, {taken / machines * 1e3:.2f} ms a machine"
            )


def start_up(command: list[str] | None) -> None:
    """Wall time of a command against starting Python with numpy."""
    numpy = [sys.executable, "-c", "import numpy"]
    ours = command or [sys.executable, "-c", "import hoggin.balance"]
    base, own = (
        seconds(partial(subprocess.run, line, check=True, capture_output=True), 9)
        for line in (numpy, ours)
    )
    print(
        f"start: {shlex.join(ours[-2:])}: {own * 1e3:.0f} ms; "
        f"import numpy {base * 1e3:.0f} ms, {own / base:.1f} x"
    )


if __name__ == "__main__":
    main()
