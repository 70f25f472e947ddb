"""What the command line says of a sheet, in place of what would be guessed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hoggin.intake.headings import Quantity


@dataclass(frozen=True, slots=True)
class Forced:
    """None or "" where nothing is forced."""

    sieves: Literal["down", "across"] | None = None
    figures: Quantity | None = None
    scale: Literal["percent", "fraction"] | None = None
    unit: str = ""  # of bare sieve sizes: "mm", "um" or "in"
    decimal: str = ""  # "." or ","
    top_mm: float | None = None  # a size all of every sample passes
