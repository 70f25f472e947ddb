"""What the crushers of a loop do to sizes, in all cases of a batch.

Most cases have the same operators but for how full the chambers are, and an operator is linear in
that. So what a part-filled chamber lacks is kept apart from the operators of full ones, which cases
then share: flows of all of them are one product of matrices.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array


@dataclass(frozen=True, slots=True)
class Operators:
    """Operators of c crushers on n classes in B cases: full - empty * added.

    full: (1 or B, c, n, n) lower triangular, with full chambers. added: what a full chamber adds
    to the operator of a starved one, (1 or B, n, n) by crusher's place. empty: how empty the
    chambers are that are not full in every case, (B,) by place; `added` has all of them.
    """

    full: Array
    added: Mapping[int, Array] = field(default_factory=dict)
    empty: Mapping[int, Array] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """How many crushers there are."""
        return int(self.full.shape[1])

    @property
    def classes(self) -> int:
        return int(self.full.shape[2])

    def unbroken(self) -> Array:
        """What stays in its class, (c, 1 or B, n)."""
        kept = np.moveaxis(np.diagonal(self.full, axis1=2, axis2=3), 1, 0)
        if not self.empty:
            return kept
        cases = max(len(kept[0]), *(len(empty) for empty in self.empty.values()))
        kept = np.broadcast_to(kept, (self.count, cases, self.classes)).copy()
        for c, empty in self.empty.items():
            kept[c] -= empty[:, None] * np.diagonal(self.added[c], axis1=1, axis2=2)
        return kept

    def product(self, feeds: Array, made: slice, given: slice) -> Array:
        """What feeds (B, c, n) in some classes give in others, (B, c, k)."""
        fed = feeds[:, :, given]
        if len(self.full) > 1 or len(feeds) == 1:
            found = (self.full[:, :, made, given] @ fed[..., None])[..., 0]
        else:
            found = np.empty((*feeds.shape[:2], made.stop - made.start))
            for c in range(self.count):
                np.matmul(fed[:, c], self.full[0, c, made, given].T, out=found[:, c])
        for c, empty in self.empty.items():
            found[:, c] -= empty[:, None] * _product(self.added[c][:, made, given], fed[:, c])
        return found

    def within(self, run: slice) -> Array:
        """What classes of a run give one another, (k, k, c, 1 or B)."""
        found = self.full[:, :, run, run].transpose(2, 3, 1, 0)
        if not self.empty:
            return np.ascontiguousarray(found)
        cases = max(len(self.full), *(len(empty) for empty in self.empty.values()))
        found = np.broadcast_to(found, (*found.shape[:3], cases)).copy()
        for c, empty in self.empty.items():
            found[:, :, c] -= empty * self.added[c][:, run, run].transpose(1, 2, 0)
        return found

    def crushed(self, place: int, feed: Array) -> Array:
        """The product (B, n) of one crusher of its feed (B, n)."""
        every = slice(0, self.classes)
        return self.some([place]).product(feed[:, None], every, every)[:, 0]

    def some(self, places: Sequence[int]) -> Operators:
        """Those of some crushers, without a copy where they lie side by side."""
        first, last = (places[0], places[-1]) if places else (0, -1)
        together = list(places) == list(range(first, last + 1))
        return Operators(
            self.full[:, first : last + 1] if together else self.full[:, places],
            {now: self.added[c] for now, c in enumerate(places) if c in self.added},
            {now: self.empty[c] for now, c in enumerate(places) if c in self.empty},
        )

    def of(self, cases: NDArray[np.intp], *, shared: bool) -> Operators:
        """Those of some cases, each as often as it is named.

        shared: whether a matrix that all cases have stays one, so that none may be filled in.
        """
        return Operators(
            self.full if shared and len(self.full) == 1 else self.full[cases],
            {c: some if len(some) == 1 else some[cases] for c, some in self.added.items()},
            {c: empty[cases] for c, empty in self.empty.items()},
        )

    def filled(self, filling: Mapping[int, Array]) -> Operators:
        """Those with chambers as full as that, (B,) by place; the others are full."""
        empty = {c: 1.0 - filled for c, filled in filling.items()}
        return replace(self, empty={c: some for c, some in empty.items() if some.any()})

    def matrices(self, place: int) -> Array:
        """Those of one crusher, written out, (1 or B, n, n)."""
        full = self.full[:, place]
        if place not in self.empty:
            return full
        return np.asarray(full - self.empty[place][:, None, None] * self.added[place])

    def written_out(self) -> Operators:
        """Those of each case, written out: few cases are then done sooner."""
        if not self.empty:
            return self
        cases = max(len(self.full), *(len(empty) for empty in self.empty.values()))
        full = np.broadcast_to(self.full, (cases, *self.full.shape[1:])).copy()
        for c, empty in self.empty.items():
            full[:, c] -= empty[:, None, None] * self.added[c]
        return Operators(full)


def _product(matrices: Array, feed: Array) -> Array:
    """Products (B, k) of feeds (B, n) by matrices (1 or B, k, n)."""
    if len(matrices) > 1:
        return np.asarray((matrices @ feed[:, :, None])[:, :, 0])
    return np.asarray(feed @ matrices[0].T)
