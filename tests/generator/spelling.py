"""The same quantity in the spellings that the language allows, and titles that try the outputs."""

from __future__ import annotations

from random import Random

TITLES = (
    "0/4 crushed sand",
    "5/11 chips | washed",
    "=SUM(A1:A9)",
    "\u200b=1+1",
    "\uff1d1+1",
    "\u2060+49 30",
    "-12/+4 mm",
    "@stone",
    "Kies & Sand <b>8</b>",
    "`code` *stars* _lines_ [link](x)",
    "\u202eright to left\u202c",
    "e\u0301clat de pierre",
    "\u788e\u77f3 8-16",
    "stone \U0001faa8",
    "# heading",
    "1. first",
    "a" * 130,
    "two  blanks\u00a0and a hard one",
    "{braces} and ; and ->",
    "it's 100 % passing",
)


class Pen:
    """Writes quantities and texts in one of their spellings, drawn."""

    def __init__(self, random: Random) -> None:
        self.random = random

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def mm(self, size: float) -> str:
        """A length given in mm. Each spelling is within 0.02 % of it."""
        if self.chance(0.55):
            return f"{size:.5g} mm" if size < 1e4 else f"{size / 1000:.5g} m"
        factor = self.random.choice((2, 3, 7))
        return self.random.choice(
            (
                f"{size / 10:.5g} cm",
                f"{size / 1000:.5g} m" if size >= 1 else f"{size * 1000:.5g} um",
                f"{size / 25.4:.4g} in",
                f"{size / 304.8:.4g} ft" if size >= 100 else f"{size / 25.4:.4g} in",
                f"{factor} * {size / factor:.4g} mm",
                f"({size * 0.4:.5g} mm + {size * 0.6:.5g} mm)",
                f"max({size:.5g} mm, {size / 2:.5g} mm)",
                f"({size * factor:.5g} mm / {factor})",
            )
        )

    def t_h(self, rate: float) -> str:
        """A mass flow given in t/h."""
        if self.chance(0.7):
            return f"{rate:.4g} t/h"
        return self.random.choice(
            (
                f"{rate * 1000:.6g} kg/h",
                f"{rate / 0.90718474:.5g} stph",
                f"{rate / 3.6:.5g} kg/s",
                f"2 * {rate / 2:.5g} t/h",
            )
        )

    def share(self, fraction: float) -> str:
        """A share given as a fraction."""
        text = f"{100 * fraction:.4g} %"
        return text if fraction > 1 or self.chance(0.85) else f"{fraction:.6g}"

    def quantity(self, value: float, unit: str) -> str:
        """A number in a unit of the trade, lengths in any spelling."""
        if unit in ("mm", "m"):
            return self.mm(value * (1000 if unit == "m" else 1))
        return self.share(value / 100) if unit == "%" else f"{value:.4g} {unit}".rstrip()

    def between(self, low: float, high: float) -> float:
        """A number of three digits within a range, both ends of it among what may come."""
        drawn = self.random.choice((low, high)) if self.chance(0.05) else None
        value = self.random.uniform(low, high) if drawn is None else drawn
        return min(high, max(low, float(f"{value:.3g}")))

    def title(self) -> str:
        return self.random.choice(TITLES)
