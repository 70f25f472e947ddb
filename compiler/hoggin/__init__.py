"""Hoggin: a plant-design language and compiler for aggregate crushing and screening plants.

From Python: `hoggin.load("plant.hog").balance()`; `docs/python.md` has the rest. What is named
here is loaded when it is first used.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hoggin.api import (
        Difference,
        Findings,
        HogginError,
        Picture,
        Plant,
        PlantError,
        Result,
        Study,
        compare,
        load,
        loads,
    )

__version__ = "0.1.0"
__all__ = [
    "Difference",
    "Findings",
    "HogginError",
    "Picture",
    "Plant",
    "PlantError",
    "Result",
    "Study",
    "compare",
    "load",
    "loads",
]


def __getattr__(name: str) -> object:
    if name not in __all__:
        raise AttributeError(f"module 'hoggin' has no attribute {name!r}")
    import importlib

    return getattr(importlib.import_module("hoggin.api"), name)
