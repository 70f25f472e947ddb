"""The attribution document: what backends read, and its JSON format."""

from __future__ import annotations

import math
from typing import Literal

from hoggin.schema.frozen import Frozen

_DUST = 1e-9


class EditShare(Frozen):
    """An edit and its effect on the result, in the result's unit.

    `changes` are its lines in words and `places` where they are. `alone` is the change if only this
    edit is made on BEFORE, `last` the change that AFTER would lack without it, `share` its Shapley
    value.
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
    before_void_by: tuple[str, ...]  # the overloaded machines that make the result void
    after_void_by: tuple[str, ...]
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
        """Whether the shares add up to the whole change, apart from rounding."""
        largest = max((abs(value) for value in (self.before, self.after)), default=0.0)
        return math.isclose(self.sum_of_shares, self.change, abs_tol=_DUST * max(largest, 1.0))
