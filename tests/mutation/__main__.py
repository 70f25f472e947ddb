"""`python -m tests.mutation [COUNT [SEED]]` puts COUNT faults, one at a time, into the models, the
balance, the ratings and the class libraries, and says how many of them some test notices.

It needs the extra `mutation`. 300 faults take about an hour on two cores, so CI does not run it.
"""

from __future__ import annotations

import sys

from tests.mutation.mutants import sample
from tests.mutation.running import fates


def main() -> None:
    given = [int(word) for word in sys.argv[1:]]
    count, seed = (*given, *(200, 0)[len(given) :])
    survivors = 0
    for mutant, fate in fates(sample(count, seed)):
        if fate == "survived":
            survivors += 1
            print(f"survived  {mutant}", flush=True)
    share = 100 * (count - survivors) / count
    print(f"{count - survivors} of {count} noticed ({share:.1f} %), seed {seed}")


main()
