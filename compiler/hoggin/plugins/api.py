"""What a plug-in package is written with: the types of a check and of a backend."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from hoggin.schema.plant import Plant
    from hoggin.schema.results import Results

Backend: TypeAlias = "Callable[[Results], Mapping[str, str | bytes]]"
"""From the results to files, by their plain paths under the backend's own folder."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that a check found.

    Attributes:
        kind: a name of the check's `kinds`.
        subject: the tag of a machine, feed or product, or "plant".
        text: what is wrong.
    """

    kind: str
    subject: str
    text: str


@dataclass(frozen=True, slots=True)
class Check:
    """A check of a balanced plant.

    A finding becomes a warning whose code is the check's name and the kind's, `headroom.low`: so
    it never meets a code of the compiler's own or of another check.

    Attributes:
        kinds: what it may find: the help for each, by its name.
        run: gives the findings of a plant and its results.
    """

    kinds: Mapping[str, str]
    run: Callable[[Plant, Results], Iterable[Finding]]
