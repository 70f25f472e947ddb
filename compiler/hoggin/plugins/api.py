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

    kind: a name of the check's `kinds`. subject: the tag of a machine, feed or product, or "plant".
    """

    kind: str
    subject: str
    text: str


@dataclass(frozen=True, slots=True)
class Check:
    """A check of a balanced plant. `kinds` has what it may find: how to mend each, by its name.

    A finding becomes a warning whose code is the check's name and the kind's, `headroom.low`: so
    it never meets a code of the compiler's own or of another check.
    """

    kinds: Mapping[str, str]
    run: Callable[[Plant, Results], Iterable[Finding]]
