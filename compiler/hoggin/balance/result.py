"""What a balance gives: every stream's mass flow by size class, with a leading batch axis."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from hoggin.models.arrays import Array as Array
from hoggin.models.arrays import over


@dataclass(frozen=True, slots=True)
class Loop:
    """A strongly connected part of the flowsheet, by machine tags in the order of flow.

    Streams are indices into Plant.streams. Closing ones run against the order of flow, back to a
    machine that leads to where they start; the loop is open without them. Entering ones bring its
    fresh feed.
    """

    machines: tuple[str, ...]
    closing_streams: tuple[int, ...]
    entering_streams: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Water:
    """Water by stream (B, S), t/h, in the order of `Plant.streams`, and where it comes from, (B,).

    Of `with_feeds` + `added`, all leaves with the products.
    """

    streams_t_h: Array
    with_feeds_t_h: Array
    added_t_h: Array


@dataclass(frozen=True, slots=True)
class Balance:
    """A solved plant. B cases, S streams, M machines, K feeds, n size classes.

    machines: tags, in the order of `Plant.machines`.
    edges_mm: (n + 1,) class limits, coarse to fine; class i holds sizes edges[i + 1] to edges[i];
        the last edge is 0. Every reporting sieve and every screen aperture is an edge.
    streams_t_h: (B, S, n) dry mass flow, in the order of `Plant.streams`.
    water: of every stream.
    composition: (B, S, K) mass fraction of what is from each of the plant's feeds in each
        stream, in the order of `Plant.feeds`; sums to 1 for a stream that carries anything, else
        zeros.
    machine_feeds_t_h: (B, M, n) combined feed of each machine.
    first_pass_t_h: (B, M) what of it reaches the machine for the first time; all where the machine
        is in no loop.
    deck_feeds_t_h: per (machine tag, deck name) the feed of that deck, (B, n).
    filling: (B, M) how full each crushing chamber is, 0 starved to 1 full; 1 for machines whose
        breakage model knows no filling.
    cut_sizes_mm: per (machine tag, deck name) the d50 used, (B,).
    deck_moistures, deck_clays: per (machine tag, deck name) water and clay over dry solids, (B,),
        that its separation depends on; moisture is 0 where the deck is washed.
    runs_away_at: per loop, (B,) how many times this feed it takes before it runs away; infinite
        where that is not near (`branch.FARTHEST`).
    iterations: outer iterations on load-dependent machines (0 when nothing depends on load).
    closure: (B,) largest |in - out| over size classes and machines, over plant feed.
    error: (B,) how far a stream's rate may be, relative to it, from that of ever finer size
        classes, as `error.with_error` estimates it; not a number where it was not estimated.
    """

    machines: tuple[str, ...]
    edges_mm: Array
    streams_t_h: Array
    water: Water
    composition: Array
    machine_feeds_t_h: Array
    first_pass_t_h: Array
    filling: Array
    deck_feeds_t_h: Mapping[tuple[str, str], Array]
    cut_sizes_mm: Mapping[tuple[str, str], Array]
    deck_moistures: Mapping[tuple[str, str], Array]
    deck_clays: Mapping[tuple[str, str], Array]
    loops: tuple[Loop, ...]
    runs_away_at: tuple[Array, ...]
    iterations: int
    closure: Array
    error: Array

    def recirculating_load(self, tag: str) -> Array:
        """(B,) what reaches a machine for a second or later time, over the fresh feed of its loop;
        0 outside loops."""
        loop = next((loop for loop in self.loops if tag in loop.machines), None)
        if loop is None:
            return np.zeros(len(self.closure))
        return over(self.returned_t_h(tag), self.fresh_feed_t_h(loop), empty=0.0)

    def returned_t_h(self, tag: str) -> Array:
        """(B,) what reaches a machine for a second or later time."""
        machine = self.machines.index(tag)
        fed = self.machine_feeds_t_h[:, machine].sum(axis=1)
        returned: Array = np.maximum(fed - self.first_pass_t_h[:, machine], 0.0)
        return returned

    def fresh_feed_t_h(self, loop: Loop) -> Array:
        """(B,) what enters a loop from outside."""
        fresh: Array = self.streams_t_h[:, loop.entering_streams].sum(axis=(1, 2))
        return fresh
