"""The answers before a first plant is written, read with the language's units."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from hoggin.errors import HogginError
from hoggin.schema.units import LENGTH, RATE, Dimension, known, number_text, units_of, written_unit

_MEASURE = re.compile(r"\s*(\d+(?:\.\d+)?)\s*([A-Za-z/]*)\s*")
_RANGE = re.compile(r"\s*(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*")
# Finer than this, crushing needs mills or impactors; coarser, it is armour stone: no first plant.
_LEAST_CLOSED_MM, _MOST_CLOSED_MM = 8.0, 80.0
_FINEST_CUT_MM = 1.0
_MOST_RANGES = 6
# Share of coarser sizes by the ratio of upper to lower size, up to it: the widest as EN 12620 has
# Gc85/20 (from memory), the others common practice, no source.
_FOREIGN = ((1.5, 0.25), (1.7, 0.20), (math.inf, 0.15))
_LEAST_STEP = 1.35  # of one product's upper size over its lower


class AnswerError(HogginError):
    """An answer can't be used; the message says why, in a plain sentence."""


@dataclass(frozen=True, slots=True)
class Rock:
    """A kind of rock by its usual figures, all from memory: a test on the rock itself is better."""

    name: str
    solid_density_t_m3: float
    bulk_density_t_m3: float
    work_index_kwh_t: float
    abrasion_index: float
    moisture: float
    blasted: bool  # or dug from a pit


ROCKS: dict[str, Rock] = {
    rock.name: rock
    for rock in (
        Rock("granite", 2.68, 1.60, 15.5, 0.45, 0.015, True),
        Rock("limestone", 2.66, 1.57, 11.5, 0.02, 0.015, True),
        Rock("basalt", 2.88, 1.70, 18.5, 0.20, 0.015, True),
        Rock("gravel", 2.64, 1.60, 14.0, 0.30, 0.02, False),
    )
}


@dataclass(frozen=True, slots=True)
class Product:
    """A size range d/D. `asked` is False for one that was put in to leave no gap."""

    lower_mm: float  # 0 for sand
    upper_mm: float
    asked: bool = True

    @property
    def foreign(self) -> float:
        """Fraction of coarser sizes that the product may hold, usual or of a narrow one; of finer
        sizes 5 % more. A narrow product holds much near the decks' sizes."""
        ratio = self.upper_mm / self.lower_mm if self.lower_mm > 0 else math.inf
        return next(share for most, share in _FOREIGN if ratio <= most)

    @property
    def narrow(self) -> bool:
        return self.foreign > _FOREIGN[-1][1]

    @property
    def least_passing(self) -> float:
        """Fraction that has to be finer than the upper size."""
        return 1 - self.foreign

    @property
    def most_finer(self) -> float:
        """Fraction that may be finer than the lower size."""
        return self.foreign + 0.05

    @property
    def sizes(self) -> str:
        return f"{number_text(self.lower_mm)}/{number_text(self.upper_mm)}"

    @property
    def noun(self) -> str:
        if self.lower_mm == 0:
            return "sand" if self.upper_mm <= 8 else "crushed rock"
        return "chips" if self.upper_mm <= 16 else "stone"

    @property
    def tag(self) -> str:
        if self.lower_mm == 0:
            return self.noun.replace(" ", "_")
        return f"{self.noun}_{self.sizes.replace('.', '_').replace('/', '_')}"

    @property
    def title(self) -> str:
        return f"{self.sizes} {self.noun}"


@dataclass(frozen=True, slots=True)
class Answers:
    """What the plant is for. `products` run from the finest to the coarsest without a gap."""

    rate_t_h: float
    top_mm: float
    rock: Rock
    products: tuple[Product, ...]

    def __post_init__(self) -> None:
        if len(self.products) == 1 and self.top_mm <= self.largest_mm:
            raise AnswerError(
                f"a feed of {number_text(self.top_mm)} mm is already {self.products[0].sizes}: "
                "there is nothing to crush or screen"
            )

    @property
    def largest_mm(self) -> float:
        return self.products[-1].upper_mm


def rate(text: str) -> float:
    """A feed rate in t/h. Raises AnswerError."""
    return _measure(text, RATE, "t/h", 20.0, 1500.0, "a first plant can be written for")


def top_size(text: str) -> float:
    """The largest piece of the feed in mm. Raises AnswerError."""
    return _measure(text, LENGTH, "mm", 20.0, 1200.0, "the largest piece may be")


def rock(text: str) -> Rock:
    """A kind of rock by its name. Raises AnswerError."""
    found = ROCKS.get(text.strip().lower())
    if found is None:
        raise AnswerError(f"`{text.strip()}` is not one of {', '.join(ROCKS)}")
    return found


def products(text: str) -> tuple[Product, ...]:
    """Size ranges as `0/4, 4/8, 8/16`, from fine to coarse, gaps filled. Raises AnswerError."""
    asked = sorted(_range(part) for part in text.split(",") if part.strip())
    if not asked:
        raise AnswerError("name at least one product, as `0/4, 4/8, 8/16`")
    found: list[Product] = []
    reached = 0.0
    for lower, upper in asked:
        if lower < reached:
            raise AnswerError(
                f"two products overlap below {number_text(reached)} mm: each size can be in only "
                "one (add a `blend` afterwards for a mix of two)"
            )
        if lower > reached:
            found.append(_product(reached, lower, asked=False))
        found.append(_product(lower, upper, asked=True))
        reached = upper
    if len(found) > _MOST_RANGES:
        raise AnswerError(
            f"that makes {len(found)} size ranges; a first plant takes up to {_MOST_RANGES}"
        )
    if not _LEAST_CLOSED_MM <= reached <= _MOST_CLOSED_MM:
        raise AnswerError(
            f"the coarsest product may end at {_LEAST_CLOSED_MM:g} mm to {_MOST_CLOSED_MM:g} mm, "
            f"not at {number_text(reached)} mm"
        )
    return tuple(found)


def read_answers(feed_rate: str, top: str, rock_name: str, sizes: str) -> Answers:
    """All answers from their texts. Raises AnswerError."""
    return Answers(rate(feed_rate), top_size(top), rock(rock_name), products(sizes))


def _product(lower: float, upper: float, *, asked: bool) -> Product:
    found = Product(lower, upper, asked)
    if lower > 0 and upper < _LEAST_STEP * lower:
        if not asked:
            raise AnswerError(
                f"no product covers the range between {number_text(lower)} and "
                f"{number_text(upper)} mm, and "
                "that is too narrow for another product: close the gap between the products"
            )
        raise AnswerError(
            f"{found.sizes} is too narrow for a screen to make: let the upper size be at least "
            f"{_LEAST_STEP:g} times the lower"
        )
    if upper < _FINEST_CUT_MM:
        raise AnswerError(f"the screens of a first plant cut at {_FINEST_CUT_MM:g} mm or coarser")
    return found


def _range(text: str) -> tuple[float, float]:
    found = _RANGE.fullmatch(text)
    if found is None:
        raise AnswerError(f"`{text.strip()}` is not a size range in mm: write it as `4/8`")
    lower, upper = (float(size) for size in found.groups())
    if lower >= upper:
        raise AnswerError(f"`{text.strip()}`: write the smaller size first, as `4/8`")
    return lower, upper


def _measure(
    text: str, dimension: Dimension, example: str, least: float, most: float, told: str
) -> float:
    """A number with its unit, in the example's unit and within limits."""
    usual = ", ".join(f"`{name}`" for name in units_of(dimension))
    if not text.strip():
        raise AnswerError(f"write a quantity, as `400 {example}`")
    found = _MEASURE.fullmatch(text)
    if found is None:
        pointed = text.strip().replace(",", ".")
        model = pointed if _MEASURE.fullmatch(pointed) else f"400 {example}"
        raise AnswerError(f"`{text.strip()}` is not a quantity: write it as `{model}`")
    number, name = found.groups()
    if not name:
        raise AnswerError(f"{number} of what? Write the unit too: {usual}")
    unit = written_unit(name)
    if unit is None or unit.dimension != dimension:
        raise AnswerError(f"`{name}` does not fit here: use one of {usual}")
    value = float(number) * unit.size / known(example).size
    if not least <= value <= most:
        raise AnswerError(
            f"{told} {least:g} {example} to {most:g} {example}, not {value:g} {example}"
        )
    return value
