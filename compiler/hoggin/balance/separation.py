"""What the machines that do not break do to sizes: fractions of their feed by outlet and class."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

import numpy as np

from hoggin.balance.circuit import (
    SUPPLIED,
    TOGETHER,
    Arguments,
    Circuit,
    Demand,
    Screen,
    ScreenDeck,
    Splitter,
    some_at_a_time,
)
from hoggin.balance.grid import Cells
from hoggin.balance.mixing import bulk_density, normalise
from hoggin.balance.result import Array
from hoggin.balance.wetting import ALL_OF_IT, Wetting
from hoggin.models.arrays import over
from hoggin.models.points import in_halves

_ROUNDING = 1e-14  # of a feed: no rest that anything could be made of


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


def divide(demand: Demand, feed_t_h: Array) -> Separation:
    """Tonnages under a feed (B,), alike for every class: each outlet gets what is asked of it while
    enough arrives, else its part of what does; the rest goes on."""
    asked = demand.asked_t_h.sum(axis=1)
    most = np.maximum(asked, feed_t_h)
    outlets = [over(column, most, empty=0.0)[:, None] for column in demand.asked_t_h.T]
    left = np.where(most - asked > _ROUNDING * most, most - asked, 0.0)
    outlets[demand.rest] = over(left, most, empty=1.0)[:, None]
    return Separation(tuple(outlets))


@dataclass(frozen=True, slots=True)
class Rock:
    """What models read of the feeds of some decks beside their sizes: the bulk density, t/m3, and
    the clay over solids, (B,), and the moistures (B, D), 0 where a deck is washed."""

    bulk_density_t_m3: Array
    clay: Array
    moistures: Array

    def read(self, names: Collection[str], places: Sequence[int]) -> Arguments:
        """What is asked for of some decks, case by case, deck by deck."""
        values = (
            np.repeat(self.bulk_density_t_m3, len(places)),
            np.repeat(self.clay, len(places)),
            self.moistures[:, places].ravel(),
        )
        known = zip(SUPPLIED, values, strict=True)
        return {name: value for name, value in known if name in names}


def rock_of(masses_t_h: Array, circuit: Circuit) -> Rock:
    """Of masses (B, K) of the plant's feeds, without a deck."""
    return Rock(
        bulk_density(masses_t_h, circuit.bulk_densities_t_m3),
        (normalise(masses_t_h) * circuit.clays).sum(axis=1),
        np.empty((len(masses_t_h), 0)),
    )


def load_and_separate(
    screen: Screen, cells: Cells, feed_t_h: Array, rock: Rock, wetting: Wetting, wet_t_h: Array
) -> tuple[Array, Array, Separation]:
    """Cut sizes (B, D), the moistures read for them (B, D), and the separation of a screen under
    its feed (B, n) with water (B,), deck after deck. The moistures of `rock` are not read."""
    cases = len(feed_t_h)
    overs: list[Array] = []
    cuts: list[Array] = []
    moistures: list[Array] = []
    load, water = feed_t_h, ALL_OF_IT
    for place, deck in enumerate(screen.decks):
        alone = _Group([0], deck, deck.count, deck.cut_size_arguments, deck.oversize_arguments)
        water = wetting.onto(place, water)
        onto = load.sum(axis=1)
        moisture = wetting.read_moisture(over(water.at(wet_t_h), onto, empty=0.0), place)
        moistures.append(np.broadcast_to(moisture, (cases,))[:, None])
        of_deck = replace(rock, moistures=moistures[-1])
        cuts.append(alone.cut_sizes(cells, load[:, None], of_deck))
        overs.append(alone.oversizes(cells, cuts[-1], of_deck))
        load = load * (1.0 - overs[-1].reshape(cases, -1))
        coarse = onto - load.sum(axis=1)
        _, water = wetting.part(place, water, wet_t_h, onto, coarse)
    separation = _down_the_decks(screen, np.concatenate(overs, axis=1))
    return np.concatenate(cuts, axis=1), np.concatenate(moistures, axis=1), separation


def _down_the_decks(screen: Screen, overs: Array) -> Separation:
    """From what each deck keeps of its own feed, (B, D, n)."""
    reaching = [np.ones((1, 1))]
    leaving: list[Array] = []
    for number in range(len(screen.decks)):
        over = overs[:, number]
        leaving.append(reaching[-1] * over)
        reaching.append(reaching[-1] * (1.0 - over))
    leaving.append(reaching.pop())
    return Separation(tuple(leaving[outlet] for outlet in screen.outlets), tuple(reaching))


class Decks:
    """All decks of some screens, numbered 0 to D through them in order, evaluated together."""

    def __init__(self, screens: Mapping[int, Screen], cells: Cells, cases: int) -> None:
        self.screens = screens
        self.cells = cells
        self.cases = cases
        decks = [deck for screen in screens.values() for deck in screen.decks]
        self.count = len(decks)
        self._groups = _grouped(decks, cases)

    def cut_sizes(self, loads_t_h: Array, rock: Rock) -> Array:
        """Cut sizes (B, D) under loads (B, D, n)."""
        cuts = np.empty((self.cases, self.count))
        for group in self._groups:
            load = loads_t_h[:, group.places]
            cuts[:, group.places] = group.cut_sizes(self.cells, load, rock)
        return cuts

    def separate(self, cut_sizes_mm: Array, rock: Rock) -> dict[int, Separation]:
        """Each screen's separation with cut sizes (B, D) given."""
        overs = np.empty((self.cases, self.count, len(self.cells)))
        for group in self._groups:
            cuts = cut_sizes_mm[:, group.places]
            overs[:, group.places] = group.oversizes(self.cells, cuts, rock)
        found = {}
        first = 0
        for machine, screen in self.screens.items():
            found[machine] = _down_the_decks(screen, overs[:, first : first + len(screen.decks)])
            first += len(screen.decks)
        return found

    def loads(self, feeds_t_h: Mapping[int, Array], at: Mapping[int, Separation]) -> Array:
        """What reaches each deck, (B, D, n), of the screens' feeds (B, n)."""
        if not self.count:
            return np.empty((self.cases, 0, len(self.cells)))
        return np.stack(
            [feeds_t_h[m] * reaching for m in self.screens for reaching in at[m].reaching], axis=1
        )

    def by_screen(self, numbers: Array) -> dict[int, Array]:
        """Numbers of the decks (B, D) sorted to their screens."""
        ends = accumulate((len(screen.decks) for screen in self.screens.values()), initial=0)
        parts = (numbers[:, first:last] for first, last in pairwise(ends))
        return dict(zip(self.screens, parts, strict=True))


@dataclass(frozen=True, slots=True)
class _Group:
    """Decks with the same model: their arguments as rows, case by case, deck by deck.

    count: (1 or B d,) equal screens that share the load."""

    places: Sequence[int]
    like: ScreenDeck
    count: Array
    cut_size_arguments: Arguments
    oversize_arguments: Arguments

    def cut_sizes(self, cells: Cells, loads_t_h: Array, rock: Rock) -> Array:
        """(B, d) under (B, d, n)."""
        cases, decks, classes = loads_t_h.shape
        given = rock.read(self.like.cut_size_reads, self.places)
        rows = in_halves(loads_t_h.reshape(cases * decks, classes)) / self.count[:, None]
        cuts = self.like.cut_size(cells.edges_mm, rows, **given, **self.cut_size_arguments)
        return np.broadcast_to(cuts, (cases * decks,)).reshape(cases, decks)

    def oversizes(self, cells: Cells, cut_sizes_mm: Array, rock: Rock) -> Array:
        """(B, d, n) with (B, d) cut sizes, some rows at a time."""
        rows = cut_sizes_mm.ravel()
        over = np.empty((len(rows), len(cells)))
        known = cells.known_to(self.like.oversize)
        read = rock.read(("moisture",) if self.like.reads_moisture else (), self.places)
        for some, given in some_at_a_time(len(rows), {**self.oversize_arguments, **read}):
            over[some] = self.like.oversize(cells.edges_mm, rows[some], **known, **given)
        return over.reshape(*cut_sizes_mm.shape, -1)


def _grouped(decks: Sequence[ScreenDeck], cases: int) -> list[_Group]:
    alike: dict[object, list[int]] = {}
    for place, deck in enumerate(decks):
        names = (*deck.cut_size_arguments, *deck.oversize_arguments)
        alike.setdefault((deck.cut_size, deck.oversize, names), []).append(place)
    size = max(1, TOGETHER // cases)
    groups = []
    for places in alike.values():
        for first in range(0, len(places), size):
            some = places[first : first + size]
            chosen = [decks[place] for place in some]
            groups.append(
                _Group(
                    some,
                    chosen[0],
                    _rows([{"count": deck.count} for deck in chosen], cases)["count"],
                    _rows([deck.cut_size_arguments for deck in chosen], cases),
                    _rows([deck.oversize_arguments for deck in chosen], cases),
                )
            )
    return groups


def _rows(arguments: Sequence[Arguments], cases: int) -> Arguments:
    if len(arguments) == 1:
        return arguments[0]
    return {
        name: np.stack(
            [np.broadcast_to(given[name], (cases,)) for given in arguments], axis=1
        ).ravel()
        for name in arguments[0]
    }
