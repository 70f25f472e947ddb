"""What a result is: its meaning, unit, family, and the name it is requested by.

A number of the results document is declared once, as the annotation of its field in
`schema.results`. The field's name ends in its unit (`rate_t_h`, in t/h), and says what it is. All
that lists results reads these declarations: `require`, tables, comparison, regression, studies,
the editor, the JSON schema and the reference page.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from hoggin.schema import figures as shown
from hoggin.schema.figures import Figures
from hoggin.schema.units import NUMBER, SUFFIXES, Dimension, known, trade_unit


class Weigh(Enum):
    """What a difference is held against, to rank the differences of two revisions."""

    FEED = "per cent of plant feed"
    POWER = "per cent of the plant's power"
    POINTS = "percentage points"
    ITSELF = "per cent of itself"
    NOTHING = "not weighed"


@dataclass(frozen=True, slots=True)
class Family:
    """Quantities that are weighed, tolerated and shown alike.

    figures: how many of its digits a reader is shown.
    tolerance: how far a result may be from its record before it has drifted, in `tolerance_unit`:
    `%` of the recorded value, or `points` of a quantity that is itself in per cent.
    """

    name: str
    weigh: Weigh
    tolerance: float
    tolerance_unit: str
    figures: Figures

    @property
    def share(self) -> bool:
        """Whether it is stored as a fraction and shown in per cent."""
        return self.figures.share

    def __call__(
        self,
        meaning: str,
        label: str = "",
        ask: str | None = None,
        kinds: tuple[str, ...] = (),
        sizes: str = "",
        called: str = "",
        *,
        stated: bool = False,
    ) -> Quantity:
        """A result of this family: `SIZE("size that half passes", label="P50")`. called: its label,
        by which it is requested as well."""
        if called:
            label, ask = called, called.replace(" ", "_")
        return Quantity(meaning, self, label, ask, kinds, sizes, stated)

    @property
    def tolerated(self) -> str:
        """`0.5 %`, `1 point`; "" where nothing is recorded."""
        if self.tolerance == float("inf"):
            return ""
        one = self.tolerance == 1
        return f"{self.tolerance:g} {self.tolerance_unit.removesuffix('s' if one else ' ')}"


# The tolerances are our choice, no source: well above what arithmetic leaves, well below what a
# change of a plant makes.
RATE = Family("rate", Weigh.FEED, 0.5, "%", shown.RATE)
SHARE = Family("share", Weigh.POINTS, 0.5, "points", shown.PERCENT)
OF_SHARE = Family("of_share", Weigh.NOTHING, 0.5, "points", shown.LOAD)  # follows from a share
OF_RATE = Family("share_of_feed", Weigh.NOTHING, 0.5, "points", shown.PERCENT)  # as its rate
YEARLY = Family("yearly", Weigh.ITSELF, 0.5, "%", shown.TONNES)
SIZE = Family("size", Weigh.ITSELF, 1.0, "%", shown.NUMBER)
PASSING = Family("passing", Weigh.POINTS, 0.5, "points", shown.PERCENT)
SHAPE = Family("shape", Weigh.POINTS, 0.5, "points", shown.WHOLE_SHARE)
LOAD = Family("load", Weigh.POINTS, 1.0, "points", shown.LOAD)
RECIRCULATION = Family("recirculating_load", Weigh.POINTS, 2.0, "points", shown.LOAD)
POWER = Family("power", Weigh.POWER, 1.0, "%", shown.POWER)
ENERGY = Family("energy", Weigh.ITSELF, 1.0, "%", shown.NUMBER)
RATIO = Family("ratio", Weigh.ITSELF, 1.0, "%", shown.NUMBER)
STORAGE = Family("storage", Weigh.ITSELF, 1.0, "%", shown.NUMBER)
WEAR = Family("wear", Weigh.ITSELF, 1.0, "%", shown.ESTIMATE)
WATER = Family("water", Weigh.ITSELF, 1.0, "%", shown.WATER)
DUST = Family("dust", Weigh.ITSELF, 1.0, "%", shown.ESTIMATE)
OF_DUST = Family("of_dust", Weigh.NOTHING, 1.0, "%", shown.ESTIMATE)  # by a fixed factor from it
DIMENSION = Family("dimension", Weigh.ITSELF, 1.0, "%", shown.NUMBER)
COUNT = Family("count", Weigh.NOTHING, 0.5, "%", shown.COUNT)  # the plant states it
COST = Family("cost", Weigh.ITSELF, 1.0, "%", shown.MONEY)
CARBON = Family("carbon", Weigh.NOTHING, 1.0, "%", shown.ESTIMATE)  # a factor of the energy
MARGIN = Family("margin", Weigh.ITSELF, 1.0, "%", shown.ASKED)
SOLVER = Family("solver", Weigh.NOTHING, float("inf"), "%", shown.ESTIMATE)

FAMILIES = (
    *(RATE, SHARE, OF_SHARE, OF_RATE, YEARLY, SIZE, PASSING, SHAPE, LOAD, RECIRCULATION, POWER),
    *(ENERGY, RATIO, STORAGE, WEAR, WATER, DUST, OF_DUST, DIMENSION, COUNT, COST),
    *(CARBON, MARGIN, SOLVER),
)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A result of something.

    label: its words in tables and messages; by default those of its field's name.
    ask: its name in a `require` line; by default its field's name without the unit; "" where it
        can't be asked for.
    kinds: of the machines that have it; all where empty.
    sizes: the field that holds the sizes of a value that is one for each size.
    stated: whether it follows from what the plant states alone, whatever flows.
    """

    meaning: str
    family: Family
    label: str = ""
    ask: str | None = None
    kinds: tuple[str, ...] = ()
    sizes: str = ""
    stated: bool = False


class Nature(Enum):
    """What a field of the results document holds that is not a quantity."""

    KEY = "names the thing the other fields are about"
    STATED = "a copy of what the plant states"
    VERDICT = "a verdict"
    TEXT = "words that follow from the plant"
    DERIVED = "follows from other fields, and differs only where they do"
    MARK = "marks what follows from a verdict that stands elsewhere"
    PLACE = "where something is, or what the document was made from"


def stem_and_unit(field: str, family: Family) -> tuple[str, str]:
    """A field's name without its unit, and the unit: `rate_t_h` -> ("rate", "t/h")."""
    for suffix, unit in SUFFIXES.items():
        if field.endswith(suffix):
            return field.removesuffix(suffix), unit
    return field, "%" if family.share else ""


def dimension_of(unit: str) -> Dimension:
    return known(unit).dimension if unit else NUMBER


def in_trade_unit(unit: str) -> float:
    """How many of the trade unit of its dimension one of this unit is. Fractions stay fractions."""
    if unit in ("", "%"):
        return 1.0
    trade = trade_unit(known(unit).dimension)
    assert trade is not None, f"a result can't be in {unit}"
    return known(unit).size / trade[0].size
