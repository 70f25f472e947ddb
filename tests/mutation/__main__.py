"""`python -m tests.mutation [COUNT [SEED]]` puts COUNT faults, one at a time, into the models, the
balance, the ratings and the class libraries, and says how many of them some test notices.

It needs the extra `mutation`. 300 faults take about an hour on two cores, so CI does not run it.
"""

from __future__ import annotations

import sys

from tests.mutation.mutants import Mutant, sample
from tests.mutation.running import fates


def main() -> None:
    given = [int(word) for word in sys.argv[1:]]
    count, seed = (*given, *(200, 0)[len(given) :])
    survivors: list[Mutant] = []
    tried = 0
    for tried, (mutant, fate) in enumerate(fates(sample(count, seed)), 1):
        if fate == "survived":
            survivors.append(mutant)
            print(f"survived  {mutant}", flush=True)
    noticed = tried - len(survivors)
    print(f"{noticed} of {tried} noticed ({100 * noticed / max(tried, 1):.1f} %), seed {seed}")


main()
