"""The attribution document: what backends read, and Hoggin's JSON format for it."""

from __future__ import annotations

import math
from typing import Literal

from hoggin.schema.frozen import Frozen

_DUST = 1e-9


class EditShare(Frozen):
    """An edit and what it did to the result, in the result's unit.

    `changes` are its lines in words and `places` where they are. `alone` is the change that it
    makes on BEFORE, `last` the one that AFTER lacks without it, `share` its Shapley share.
    """

    changes: tuple[str, ...]
    places: tuple[str, ...]
    alone: float
    last: float
    share: float
    standard_error: float | None = None  # of `share`, where it is sampled
    inseparable: tuple[str, ...] = ()  # why its parts were not told apart


class Attribution(Frozen):
    """Edits in the order of their places. Values are in `unit`; "%" for fractions."""

    format_version: int = 1
    title: str
    before_name: str
    after_name: str
    result: str
    unit: str
    before: float
    after: float
    change: float
    sum_of_shares: float
    edits: tuple[EditShare, ...]
    idle: tuple[str, ...]  # changes that no result depends on
    renamed: dict[str, str]
    method: Literal["exact", "sampled"]
    hybrids: int  # balanced
    orders: int | None = None  # drawn, where sampled
    seed: int | None = None

    @property
    def adds_up(self) -> bool:
        """Whether the shares make up the whole change, but for rounding."""
        largest = max((abs(value) for value in (self.before, self.after)), default=0.0)
        return math.isclose(self.sum_of_shares, self.change, abs_tol=_DUST * max(largest, 1.0))
