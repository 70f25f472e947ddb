"""How fast each section can run when stores are empty or full."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from hoggin.studies.simulate.line import Floats

FREE, SHORT, BLOCKED = 0, 1, 2
_MOST_ROUNDS = 500
_SLACK = 1e-12


def settled(
    top: Floats, takes: Floats, gives: Floats, empty: NDArray[np.bool_], full: NDArray[np.bool_]
) -> tuple[Floats, NDArray[np.int8]]:
    """Fractions of the balance's rates, (R, K), and what limits each: FREE, SHORT or BLOCKED.

    top: (R, K), the most each may run. takes: (K, J) t/h from stores. gives: (R, K, J) t/h to
    stores. empty, full: (R, J).

    An empty store gives no more than it receives, and a full one accepts no more than it gives.
    Sections that fill the same full store slow down by the same factor. Fractions only fall from
    round to round, so they converge.
    """
    rate = top.copy()
    cause = np.zeros(top.shape, dtype=np.int8)
    if not (empty.any() or full.any()):
        return rate, cause
    draws, fills = takes > 0, gives > 0
    for _ in range(_MOST_ROUNDS):
        before = rate
        asked = rate @ takes
        brought = np.einsum("rk,rkj->rj", rate, gives)
        rate, cause = _cut(rate, cause, _share(brought, asked, empty), draws[None], SHORT)
        asked = rate @ takes
        rate, cause = _cut(rate, cause, _share(asked, brought, full), fills, BLOCKED)
        if np.all(before - rate <= _SLACK):
            break
    return np.where(rate > 1e-9, rate, 0.0), cause


def _share(there: Floats, wanted: Floats, holds: NDArray[np.bool_]) -> Floats:
    """The share of a wanted flow for which there is room or rock, (R, J); 1 if unlimited."""
    short = holds & (wanted > there * (1 + _SLACK) + _SLACK)
    return np.where(short, there / np.where(short, wanted, 1.0), 1.0)


def _cut(
    rate: Floats,
    cause: NDArray[np.int8],
    share: Floats,
    touches: NDArray[np.bool_],
    why: int,
) -> tuple[Floats, NDArray[np.int8]]:
    """Sections slowed down by the most limiting of their stores, (R, K, J)."""
    least = np.where(touches, share[:, None, :], 1.0).min(axis=2)
    held = (least < 1) & (rate > 0)
    return rate * least, np.where(held, np.int8(why), cause)
