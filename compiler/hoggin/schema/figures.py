"""How many figures of a number a reader is shown: the one rule of every document.

A number is shown to so many significant digits, and no finer than so many decimals. Whole units are
kept, unless the number is coarse: then tens and hundreds are rounded too. What the plant states is
nominal: it is shown as stated.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

_NOMINAL_DIGITS = 6


@dataclass(frozen=True, slots=True)
class Figures:
    """digits: significant ones. decimals: at most after the point. coarse: whether fewer digits
    than those before the point are shown. nominal: without zeros at the end. share: of a fraction
    that is shown in per cent."""

    digits: int
    decimals: int
    coarse: bool = False
    nominal: bool = False
    share: bool = False

    def text(self, value: float) -> str:
        """The number in plain notation, in per cent of a share; never a negative zero."""
        text = self._rounded(100.0 * value if self.share else value)
        return text.rstrip("0").rstrip(".") if self.nominal and "." in text else text

    def number(self, value: float) -> float:
        """The number that the text shows, as a fraction of a share."""
        shown = float(self.text(value))
        return shown / 100.0 if self.share else shown

    def _rounded(self, value: float) -> str:
        places = self._places(value)
        rounded = round(value, places) + 0.0
        if rounded:  # 9.996 became 10.00, which has one decimal less
            places = self._places(rounded)
        return f"{rounded:.{max(0, places)}f}"

    def _places(self, value: float) -> int:
        if value == 0.0:
            return 0
        places = self.digits - 1 - math.floor(math.log10(abs(value)))
        return min(self.decimals, places if self.coarse else max(0, places))


# Digits are our choice, no source: about as many as the models and measurements behind a number
# support, and no more than a reader can use.
RATE = Figures(4, 1)
PERCENT = Figures(4, 1, share=True)  # of rates and gradings, which add up to 100.0
LOAD = Figures(3, 1, share=True)
WHOLE_SHARE = Figures(2, 0, share=True)
POWER = Figures(3, 1)
WATER = Figures(4, 2)  # flows, and densities of slurry
NUMBER = Figures(3, 4)
TONNES = Figures(4, 0, coarse=True)
COUNT = Figures(1, 0)
ASKED = Figures(4, 2, nominal=True)  # of requirements: fine enough to tell a limit by
MONEY = Figures(3, 3)
ESTIMATE = Figures(2, 6, coarse=True)  # by factors of one or two digits
STATED = Figures(_NOMINAL_DIGITS, _NOMINAL_DIGITS, nominal=True)
