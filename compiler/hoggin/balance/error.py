"""How far the flows of a balance may be from those of ever finer size classes: an estimate.

The plant is balanced again on classes that are some 1.7 times as wide, limited by no reporting
sieve. Errors grow with the fourth power of the width, to about nine times; near kinks of a curve
they grow less. So the flows of the two balances differ by more than the first one's error in most
plants, and `_SAFETY` covers nearly all others: how many is measured by `tests.balance.long_runs`
against a second solution on fine classes.
"""

from __future__ import annotations

from dataclasses import replace
from math import fsum

import numpy as np

from hoggin.balance.circuit import lower
from hoggin.balance.grid import common_edges
from hoggin.balance.result import Balance
from hoggin.balance.settle import CannotSettle
from hoggin.balance.solver import solve
from hoggin.schema.plant import Plant

_WIDER = 1.75
_TOLERANCE = 1e-6  # of a cut size: the least error that is stated is a hundred times as much
_SAFETY = 1.5
_LEAST = 1e-4  # no smaller error is stated
_SMALL_STREAM = 1e-3  # of the plant's feed: the error of smaller streams does not count


def with_error(plant: Plant, found: Balance) -> Balance:
    """The balance of a plant, with the error of its flows where it can be estimated: near the feed
    at which a loop runs away there may be no balance on wider classes."""
    bare = plant.model_copy(update={"sieves_mm": plant.sieves_mm[:1], "requirements": ()})
    try:
        coarse = solve(lower(plant, common_edges([bare], wider=_WIDER)), _TOLERANCE)
    except CannotSettle:
        return found
    rates, others = (one.streams_t_h.sum(axis=2) for one in (found, coarse))
    counts = rates > _SMALL_STREAM * fsum(feed.rate_t_h for feed in plant.feeds)
    change = np.abs(others - rates) / np.where(counts, rates, 1.0)
    largest = np.where(counts, change, 0.0).max(axis=1)
    return replace(found, error=np.maximum(_SAFETY * largest, _LEAST))
