"""Shares of a change among its causes: a cooperative game, independent of plants.

A game of n players gives every set of them a worth; a set is written as a number with a bit for
each player. A player's share is what it adds to those before it, averaged over all n! orders.

Source: Shapley (1953), A value for n-person games, in Contributions to the Theory of Games II,
Annals of Mathematics Studies 28, 307-317; sampling of orders: Castro, Gomez and Tejada (2009),
Comput. Oper. Res. 36(5), 1726-1730; each order with its reverse: Mitchell, Cooper, Frank and Holmes
(2022), J. Mach. Learn. Res. 23(43), 1-46. All from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import accumulate
from math import factorial

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Orders = NDArray[np.int64]


def exact_shares(worths: Array) -> Array:
    """Shares (n,) from the worth of every set (2^n,); they add up to worths[-1] - worths[0].

    Shapley (1953): a player adds to a set S of the others with weight |S|! (n - |S| - 1)! / n!,
    the share of orders in which just they come before it. Valid for any n that 2^n fits.
    Raises ValueError where the number of worths is not a power of two.
    """
    players = len(worths).bit_length() - 1
    if len(worths) != 1 << players:
        raise ValueError(f"{len(worths)} worths are not those of all sets")
    sets = np.arange(len(worths))
    sizes = sum((sets >> player & 1 for player in range(players)), start=np.zeros_like(sets))
    weights = np.array(
        [factorial(s) * factorial(players - s - 1) / factorial(players) for s in range(players)]
    )
    shares = np.empty(players)
    for player in range(players):
        without = sets[(sets >> player & 1) == 0]
        added = worths[without | 1 << player] - worths[without]
        shares[player] = weights[sizes[without]] @ added
    return shares


def draw_orders(players: int, count: int, seed: int) -> Orders:
    """Orders (count, n) of players, each followed by its reverse; an odd count is made even."""
    chance = np.random.default_rng(seed)
    drawn = [chance.permutation(players) for _ in range((count + 1) // 2)]
    return np.array([order for one in drawn for order in (one, one[::-1])], dtype=np.int64)


def sets_of(order: Iterable[int]) -> list[int]:
    """The n + 1 sets that come about as players join in an order, the empty one first."""
    return list(accumulate(order, lambda joined, player: joined | 1 << int(player), initial=0))


def sampled_shares(orders: Orders, worths: Mapping[int, float]) -> tuple[Array, Array]:
    """Shares (n,) as the mean over orders from `draw_orders`, and their standard errors (n,).

    They add up to the whole change, as those of every single order do. An order and its reverse are
    one observation; of a single one the errors are NaN. worths: of all `sets_of` the orders.
    """
    steps = np.array([[worths[one] for one in sets_of(order)] for order in orders])
    added = np.empty(orders.shape)
    np.put_along_axis(added, orders, np.diff(steps, axis=1), axis=1)
    pairs = added.reshape(-1, 2, orders.shape[1]).mean(axis=1)
    if len(pairs) < 2:
        return pairs.mean(axis=0), np.full(orders.shape[1], np.nan)
    errors = pairs.std(axis=0, ddof=1) / np.sqrt(len(pairs))
    return pairs.mean(axis=0), errors
