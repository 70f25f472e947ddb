"""The process models a machine class can name, and the coefficients each one takes.

A machine class in a `.hog` file says `model breakage: matrix { k1 ... }`; this catalog is how the
checker knows that a breakage model called `matrix` exists, which coefficients it needs, in which
unit the model wants them, and what range its source gives. The functions themselves are found by
name and loaded only when a plant is balanced, so that checking a file never imports numpy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from importlib import import_module
from typing import Any


@dataclass(frozen=True, slots=True)
class Coefficient:
    """One argument of a process model: its name, unit ("" for a pure number) and valid range."""

    name: str
    unit: str
    meaning: str
    low: float | None = None
    high: float | None = None
    default: float | None = None


@dataclass(frozen=True, slots=True)
class Model:
    """A process model by role and name; `functions` maps a part to a `module:function` path."""

    role: str
    name: str
    meaning: str
    source: str
    functions: dict[str, str]
    coefficients: tuple[Coefficient, ...]

    def load(self, part: str) -> Callable[..., Any]:
        """Import and return one of the model's functions."""
        module, _, function = self.functions[part].partition(":")
        loaded: Callable[..., Any] = getattr(import_module(module), function)
        return loaded


def _index(models: Iterable[Model]) -> dict[tuple[str, str], Model]:
    return {(model.role, model.name): model for model in models}
