"""Many plants through every command:  python -m tests.generator COUNT SEED

Prints each fault with the number of its plant, and how many balanced. `tests.generator.plant(N)` is
plant N again; `python -m tests.generator show N FOLDER` writes its files.
"""

from __future__ import annotations

import gc
import sys
import tempfile
import time
import warnings
from collections import Counter
from pathlib import Path

from tests.generator.drawing import plant, write
from tests.generator.trial import trial

_THOROUGH = 10  # every tenth plant with all documents and studies
_COLLECT = 5
_REPORT = 50


def main() -> int:
    if sys.argv[1] == "show":
        write(plant(int(sys.argv[2])), Path(sys.argv[3]))
        return 0
    warnings.simplefilter("error", RuntimeWarning)  # numpy's, of numbers that are none
    count, first = int(sys.argv[1]), int(sys.argv[2])
    outcomes: Counter[str] = Counter()
    faults: Counter[str] = Counter()
    slowest, began = (0.0, 0), time.perf_counter()
    for seed in range(first, first + count):
        started = time.process_time()
        with tempfile.TemporaryDirectory() as folder:
            found = trial(plant(seed), Path(folder), thorough=seed % _THOROUGH == 0)
        slowest = max(slowest, (time.process_time() - started, seed))
        outcomes[found.outcome] += 1
        if found.reasons:
            print(f"seed {seed} is {found.outcome}: {found.reasons[0]}")
        for fault in found.faults:
            faults[fault.split(": ", 2)[1]] += 1
            print(fault, flush=True)
        if seed % _COLLECT == 0:
            gc.collect()  # the command line turns the collector off
        done = seed - first + 1
        if done % _REPORT == 0:
            print(f"{done} plants: {dict(outcomes)}", flush=True)
    share = outcomes["balanced"] / count
    print(f"{count} plants from {first}: {dict(outcomes)}, {share:.1%} balanced")
    print(f"faults: {dict(faults) or 'none'}")
    print(f"slowest {slowest[0]:.1f} s (seed {slowest[1]}); {time.perf_counter() - began:.0f} s")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
