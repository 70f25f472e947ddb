"""What the machines that do not break do to sizes: fractions of their feed by outlet and class."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoggin.balance.circuit import Screen, ScreenDeck, Splitter
from hoggin.balance.result import Array


@dataclass(frozen=True, slots=True)
class Separation:
    """Fractions of a machine's feed, each (1 or B, 1 or n).

    outlets: what leaves by each outlet; they sum to 1. reaching: what reaches each deck.
    """

    outlets: tuple[Array, ...]
    reaching: tuple[Array, ...] = ()


def split(splitter: Splitter) -> Separation:
    """Shares alike for every class."""
    return Separation(tuple(splitter.shares.T[:, :, None]))


def separate(screen: Screen, edges_mm: Array, cut_sizes_mm: Array) -> Separation:
    """A screen with its decks' cut sizes (B, D) given."""
    overs = [
        _oversize(deck, edges_mm, cut_sizes_mm[:, number])
        for number, deck in enumerate(screen.decks)
    ]
    return _down_the_decks(screen, overs)


def load_and_separate(
    screen: Screen, edges_mm: Array, feed_t_h: Array, bulk_density_t_m3: Array
) -> tuple[Array, Separation]:
    """Cut sizes (B, D) and separation of a screen under its feed (B, n), deck after deck."""
    overs: list[Array] = []
    cuts: list[Array] = []
    load = feed_t_h
    for deck in screen.decks:
        cuts.append(_cut_size(deck, edges_mm, load, bulk_density_t_m3))
        overs.append(_oversize(deck, edges_mm, cuts[-1]))
        load = load * (1.0 - overs[-1])
    return np.stack(cuts, axis=1), _down_the_decks(screen, overs)


def cut_sizes_under(
    screen: Screen,
    edges_mm: Array,
    feed_t_h: Array,
    separation: Separation,
    bulk_density_t_m3: Array,
) -> Array:
    """Cut sizes (B, D) that the decks would have under what now reaches them."""
    cuts = [
        _cut_size(deck, edges_mm, feed_t_h * reaching, bulk_density_t_m3)
        for deck, reaching in zip(screen.decks, separation.reaching, strict=True)
    ]
    return np.stack(cuts, axis=1)


def _cut_size(
    deck: ScreenDeck, edges_mm: Array, load_t_h: Array, bulk_density_t_m3: Array
) -> Array:
    given = {"bulk_density_t_m3": bulk_density_t_m3} if deck.needs_bulk_density else {}
    cut = deck.cut_size(edges_mm, load_t_h, **given, **deck.cut_size_arguments)
    return np.broadcast_to(cut, (len(load_t_h),))


def _oversize(deck: ScreenDeck, edges_mm: Array, cut_size_mm: Array) -> Array:
    return deck.oversize(edges_mm, cut_size_mm, **deck.oversize_arguments)


def _down_the_decks(screen: Screen, overs: list[Array]) -> Separation:
    reaching = [np.ones((1, 1))]
    leaving: list[Array] = []
    for over in overs:
        leaving.append(reaching[-1] * over)
        reaching.append(reaching[-1] * (1.0 - over))
    leaving.append(reaching.pop())
    return Separation(tuple(leaving[outlet] for outlet in screen.outlets), tuple(reaching))
