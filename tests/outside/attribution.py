"""Attribution of a change to edits."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from hoggin.revise.why.shares import exact_shares
from tests.outside_numbers import OutsideNumber
from tests.revise.why.sides import attributed, feeds_and_splitters


def share_of(worth: Callable[[int], float], players: int, player: int) -> float:
    worths = np.array([worth(joined) for joined in range(1 << players)])
    return float(exact_shares(worths)[player])


def glove(joined: int) -> float:
    """A pair is worth 1; the first two have a left glove, the third the right one."""
    return float(bool(joined & 0b011) and bool(joined & 0b100))


def runway(joined: int) -> float:
    """The cost of a runway is that of its largest user."""
    return max((cost for i, cost in enumerate((1.0, 2.0, 4.0)) if joined >> i & 1), default=0.0)


def of_a_feed_and_a_splitter(edit: int) -> float:
    before, after = feeds_and_splitters([100], [30]), feeds_and_splitters([200], [50])
    with TemporaryDirectory() as folder:
        return attributed(Path(folder), before, after, "best.rate").edits[edit].share


NUMBERS = (
    OutsideNumber(
        "Shapley share of the right glove's holder against two left ones",
        "a textbook example after Shapley (1953)",
        "memory",
        2 / 3,
        "",
        1e-12,
        lambda: share_of(glove, 3, 2),
    ),
    OutsideNumber(
        "Share of the largest of three users of a runway, costs 1, 2 and 4",
        "Littlechild & Owen (1973): each stretch is shared evenly by those that need it",
        "memory",
        1 / 3 + 1 / 2 + 2,
        "",
        1e-12,
        lambda: share_of(runway, 3, 2),
    ),
    OutsideNumber(
        "Share of a feed, 100 to 200 t/h, that a splitter takes 30 % and then 50 % of",
        "Shapley (1953), the mean of 100 x 30 % and 100 x 50 %",
        "by hand",
        40.0,
        "t/h",
        1e-9,
        lambda: of_a_feed_and_a_splitter(0),
    ),
    OutsideNumber(
        "Share of that splitter",
        "Shapley (1953), the mean of 100 x 20 % and 200 x 20 %",
        "by hand",
        30.0,
        "t/h",
        1e-9,
        lambda: of_a_feed_and_a_splitter(1),
    ),
)
