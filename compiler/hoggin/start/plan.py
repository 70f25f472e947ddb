"""A first plant in outline: its stages with the sizes and settings of their machines."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from hoggin.start.answers import Answers

# Screens as they are usually built, by width and length; common practice, no source.
_WIDTHS_M = (0.9, 1.2, 1.5, 1.8, 2.1, 2.4, 2.7, 3.0, 3.3, 3.6)
_LENGTHS_M = (2.4, 3.0, 3.6, 4.2, 4.8, 5.4, 6.0, 6.6, 7.2, 7.8, 8.4, 9.0)
SCREENS_M = sorted(
    ((wide, long) for wide in _WIDTHS_M for long in _LENGTHS_M if 2 * wide <= long <= 3.5 * wide),
    key=lambda size: (size[0] * size[1], size[0]),
)
DECK_NAMES = {1: ("top",), 2: ("top", "bottom"), 3: ("top", "second", "bottom")}
_APERTURE_OVER_CUT = 1.10  # a screen cuts finer than its mesh; common practice, no source


@dataclass(frozen=True, slots=True)
class Primary:
    """A jaw, or a gyratory: then `width_mm` is the diameter of its mantle."""

    css_mm: float
    gape_mm: float
    width_mm: float
    gyratory: bool = False


@dataclass(frozen=True, slots=True)
class Cone:
    class_name: str
    duty: str
    chamber: str
    css_mm: float
    head_mm: float


@dataclass(frozen=True, slots=True)
class Box:
    """A screen's size."""

    width_m: float
    length_m: float


@dataclass(frozen=True)
class Plan:
    """A primary stage, then `lines` identical lines of an open secondary and a closed finishing
    stage whose screen comes first. A stage that is not needed is None."""

    answers: Answers
    primary: Primary | None
    secondary: Cone | None
    finishing: Cone | None
    lines: int = 1
    feeder_mm: float = 1000.0
    tunnel_mm: float = 1000.0
    bars: Box = Box(1.5, 3.0)
    scalp: Box = Box(1.5, 3.6)
    sizing: Box = Box(1.8, 5.4)
    fines: Box = Box(1.8, 5.4)
    apertures: dict[float, float] = field(default_factory=dict)  # by the size to cut at

    @property
    def cuts_mm(self) -> tuple[float, ...]:
        """Cut sizes, coarsest first; the first closes the circuit if there is one."""
        uppers = [product.upper_mm for product in self.answers.products]
        return tuple(reversed(uppers if self.finishing else uppers[:-1]))

    @property
    def sizing_cuts_mm(self) -> tuple[float, ...]:
        count = len(self.cuts_mm)
        return self.cuts_mm[: count if count <= 3 else (count + 1) // 2]

    @property
    def fines_cuts_mm(self) -> tuple[float, ...]:
        return self.cuts_mm[len(self.sizing_cuts_mm) :]

    def aperture(self, cut_mm: float) -> float:
        return self.apertures.get(cut_mm) or mesh(_APERTURE_OVER_CUT * cut_mm)

    @property
    def bars_mm(self) -> float:
        """Through the bars, rock that the primary would not break bypasses it."""
        assert self.primary is not None
        return rounded_to(0.8 * self.primary.css_mm, 5.0)

    @property
    def scalp_mm(self) -> float:
        assert self.secondary is not None
        return rounded_to(0.9 * self.secondary.css_mm, 1.0)

    @property
    def stages(self) -> int:
        return sum(one is not None for one in (self.primary, self.secondary, self.finishing))


def mesh(size_mm: float) -> float:
    """The nearest common mesh opening, in steps that are small relative to it."""
    step = 0.1 if size_mm < 6 else 0.2 if size_mm < 14 else 1.0
    return round(rounded_to(size_mm, step), 1)


def rounded_to(value: float, step: float) -> float:
    return max(step, step * round(value / step))


def rounded_up(value: float, step: float) -> float:
    return step * math.ceil(value / step - 1e-9)
