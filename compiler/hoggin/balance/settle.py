"""Loops that cannot settle: finding what is trapped in them, and saying so."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unsettled:
    """Why a loop has no balance.

    machines: the loop, by tag, in declared order. closing_streams: indices into Plant.streams.
    sizes_mm: (finest, coarsest) of what is trapped, or None when it is not a matter of size.
    reason: in words. cases: the batch cases concerned.
    """

    machines: tuple[str, ...]
    closing_streams: tuple[int, ...]
    sizes_mm: tuple[float, float] | None
    reason: str
    cases: tuple[int, ...]


class CannotSettle(Exception):  # noqa: N818 - named for what it says of the circuit
    """A loop of the plant has no steady balance; `unsettled` names it and says why."""

    def __init__(self, unsettled: Unsettled) -> None:
        super().__init__(f"{' -> '.join(unsettled.machines)}: {unsettled.reason}")
        self.unsettled = unsettled
