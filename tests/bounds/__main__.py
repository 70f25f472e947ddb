"""`python -m tests.bounds PAIRS SEED [WORD]`: every site, or those whose name has the word."""

from __future__ import annotations

import random
import sys

from tests.bounds.sites import sites
from tests.bounds.sweep import pairs, singles, tried


def main(count: int, seed: int, word: str = "") -> int:
    runs = refused = faults = 0
    for site in sites():
        if word not in site.name:
            continue
        base = tried(site.with_({}), drawn=True)
        if base.refused or base.fault:
            print(f"{site.name}: the usual plant is {base}")
            faults += 1
            continue
        cases = list(singles(site))
        cases += [(one, False) for one in pairs(site, count, random.Random(seed))]
        for values, outside in cases:
            found = tried(site.with_(values))
            runs, refused = runs + 1, refused + found.refused
            fault = found.fault or (
                "out of range, not refused" if outside * (not found.refused) else ""
            )
            if fault:
                faults += 1
                print(f"{site.name}: {values}: {fault}")
    print(f"{runs} plants, {refused} refused, {faults} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2]), *sys.argv[3:4]))
