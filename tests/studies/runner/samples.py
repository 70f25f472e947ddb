"""Parts of a study compared."""

from __future__ import annotations

import numpy as np

from hoggin.studies.runner.spread import Part


def same(found: Part, expected: Part) -> bool:
    return (
        np.array_equal(found.values, expected.values, equal_nan=True)
        and np.array_equal(found.margins, expected.margins, equal_nan=True)
        and np.array_equal(found.settled, expected.settled)
    )
