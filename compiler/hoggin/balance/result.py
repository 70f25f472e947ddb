"""What a balance gives: every stream's mass flow by size class, with a leading batch axis."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Loop:
    """A strongly connected part of the flowsheet, by machine tags and the streams that close it."""

    machines: tuple[str, ...]
    closing_streams: tuple[int, ...]  # indices into Plant.streams; removing them opens the loop


@dataclass(frozen=True, slots=True)
class Balance:
    """A solved plant. B cases, S streams, M machines, K materials, n size classes.

    edges_mm: (n + 1,) class limits, coarse to fine; class i holds sizes edges[i + 1] to edges[i];
        the last edge is 0. Every reporting sieve and every screen aperture is an edge.
    streams_t_h: (B, S, n) dry mass flow, in the order of `Plant.streams`.
    composition: (B, S, K) mass fraction of each material in each stream, materials in sorted
        order of name; sums to 1 for a stream that carries anything, else zeros.
    machine_feeds_t_h: (B, M, n) combined feed of each machine, in the order of `Plant.machines`.
    deck_feeds_t_h: per (machine tag, deck name) the feed of that deck, (B, n).
    cut_sizes_mm: per (machine tag, deck name) the d50 used, (B,).
    iterations: outer iterations on load-dependent machines (0 when nothing depends on load).
    closure: (B,) largest |in - out| over size classes and machines, over plant feed.
    """

    edges_mm: Array
    streams_t_h: Array
    composition: Array
    machine_feeds_t_h: Array
    deck_feeds_t_h: Mapping[tuple[str, str], Array]
    cut_sizes_mm: Mapping[tuple[str, str], Array]
    loops: tuple[Loop, ...]
    iterations: int
    closure: Array
