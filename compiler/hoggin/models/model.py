"""What the catalog says of a process model."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any


@dataclass(frozen=True, slots=True)
class Coefficient:
    """One argument of a process model: its name, unit ("" for a pure number) and valid range.

    A coefficient without a default has to be given by the class.
    """

    name: str
    unit: str
    meaning: str
    low: float | None = None
    high: float | None = None
    default: float | None = None


@dataclass(frozen=True, slots=True)
class Model:
    """A process model by role and name; `functions` maps a part to a `module:function` path.

    A breakage model with any of its `feed_coefficients` not 0 hangs on the F80 of its machine's own
    feed; its `rock_coefficients` are those a material may state in the class's place.
    """

    role: str
    name: str
    meaning: str
    source: str
    functions: dict[str, str]
    coefficients: tuple[Coefficient, ...]
    feed_coefficients: tuple[str, ...] = field(default=(), kw_only=True)
    rock_coefficients: tuple[str, ...] = field(default=(), kw_only=True)

    def load(self, part: str) -> Callable[..., Any]:
        """Import and return one of the model's functions."""
        module, _, function = self.functions[part].partition(":")
        loaded: Callable[..., Any] = getattr(import_module(module), function)
        return loaded
