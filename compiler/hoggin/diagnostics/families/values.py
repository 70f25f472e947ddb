"""E03: units and values."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Self

from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.suggest import did_you_mean


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in names)


class E0301(Fault):
    title = "an unknown unit"
    why = "The language has no unit of this name."
    wrong = "css 32 mn"
    right = "css 32 mm"

    @classmethod
    def unknown(cls, unit: str, known: Iterable[str]) -> Self:
        return cls(f"`{unit}` is not a unit", did_you_mean(unit, known), "replace")

    @classmethod
    def usual(cls, unit: str, right: str) -> Self:
        """A unit that the trade writes otherwise."""
        return cls(f"`{unit}` is not a unit", f"did you mean `{right}`?", "replace")

    @classmethod
    def quotient(cls, unit: str) -> Self:
        return cls(f"`{unit}` is not a unit", "put spaces around `/` to divide")

    @classmethod
    def opening(cls, shape: str, number: str) -> Self:
        return cls(f"`{shape}` is not a unit", f"write the unit first, as in `{number} mm {shape}`")

    @classmethod
    def which_ton(cls, unit: str) -> Self:
        """A guess would be wrong by a tenth and go unseen."""
        return cls(
            f"`{unit}` is not a unit",
            "write `t` (tonnes of 1000 kg) or `st` (short tons)",
            "replace",
        )

    @classmethod
    def which_tons_an_hour(cls, unit: str) -> Self:
        return cls(
            f"`{unit}` is not a unit",
            "write `t/h` (tonnes of 1000 kg an hour) or `stph` (short tons an hour)",
            "replace",
        )

    @classmethod
    def not_a_type(cls, word: str, known: Iterable[str]) -> Self:
        return cls(f"`{word}` is not a type", did_you_mean(word, known), "replace")


class E0302(Fault):
    title = "the wrong kind of quantity"
    why = "Lengths, mass flows, powers and so on can't replace one another, add up or be compared."
    wrong = "css 32 kW"
    right = "css 32 mm"

    @classmethod
    def other_kind(cls, what: str, wanted: str, found: str, units: Iterable[str]) -> Self:
        return cls(f"{what} is {wanted}, but this is {found}", f"write it in {_listed(units)}")

    @classmethod
    def not_plain(cls, what: str, wanted: str, found: str) -> Self:
        return cls(f"{what} is {wanted}, but this is {found}", "write it without a unit, or in `%`")

    @classmethod
    def unlike(cls, what: str, wanted: str, found: str) -> Self:
        return cls(f"{what} is {wanted}, but this is {found}", "give both the same kind of unit")

    @classmethod
    def word(cls, word: str) -> Self:
        return cls(f"expected a quantity, but `{word}` is a word", "write a number with its unit")

    @classmethod
    def not_a_value(cls, path: str) -> Self:
        return cls(f"expected a value, but `{path}` has none", "name a `let`, parameter or setting")

    @classmethod
    def not_a_quantity(cls, name: str) -> Self:
        return cls(f"`{name}` is a quantity", "write a number with its unit")

    @classmethod
    def not_a_text(cls) -> Self:
        return cls("expected a text in quotes", 'write it as `"..."`')

    @classmethod
    def added(cls, first: str, second: str) -> Self:
        return cls(f"{first} can't be added to {second}", "give both the same kind of unit")

    @classmethod
    def subtracted(cls, first: str, second: str) -> Self:
        return cls(f"{first} can't be subtracted from {second}", "give both the same kind of unit")

    @classmethod
    def compared(cls, first: str, second: str) -> Self:
        return cls(f"{first} can't be compared with {second}", "give both the same kind of unit")

    @classmethod
    def exponent(cls) -> Self:
        return cls("an exponent is a plain number", "leave out its unit")

    @classmethod
    def required(cls, kind: str) -> Self:
        return cls(f"{kind} can't be required", "require a result in a unit of its own")

    @classmethod
    def results_added(cls, first: str, second: str) -> Self:
        return cls(f"{first} and {second} can't be added", "require each on its own line")

    @classmethod
    def results_combined(cls) -> Self:
        return cls(
            "results of these kinds can't be combined this way",
            "add results of one kind, scale them by numbers, or divide two of one kind",
        )


class E0303(Fault):
    title = "a unit is missing"
    why = (
        "A quantity that has a dimension is always written with its unit: nobody has to guess "
        "between millimetres and inches."
    )
    wrong = "css 32"
    right = "css 32 mm"

    @classmethod
    def missing(cls, what: str, wanted: str, units: Iterable[str]) -> Self:
        return cls(
            f"{what} needs a unit: it is {wanted}", f"write it in {_listed(units)}", "append a unit"
        )


class E0304(Fault):
    title = "not one of the choices"
    why = "The setting takes one of the words its class lists."
    wrong = "chamber corse"
    right = "chamber coarse"

    @classmethod
    def not_a_choice(cls, name: str, written: str, words: Iterable[str]) -> Self:
        return cls(f"`{name}` can't be `{written}`", did_you_mean(written, words), "replace")

    @classmethod
    def never(cls, name: str, word: str, words: Iterable[str]) -> Self:
        return cls(f"`{name}` is never `{word}`", did_you_mean(word, words), "replace")

    @classmethod
    def opening(cls, word: str, shapes: Iterable[str]) -> Self:
        return cls(f"`{word}` is not a shape of opening", did_you_mean(word, shapes), "replace")

    @classmethod
    def branch(cls) -> Self:
        return cls("expected a branch of `by`", "write it as `choice: value`")

    @classmethod
    def by_no_choice(cls, name: str) -> Self:
        return cls(f"`{name}` is not a choice, but `by` needs one", "name a setting with choices")

    @classmethod
    def by_incomplete(cls, name: str, word: str) -> Self:
        return cls(f"`by {name}` has no value for `{word}`", f"add a line `{word}: ...`")

    @classmethod
    def ordered(cls) -> Self:
        return cls("choices have no order", "compare choices with `==` or `!=`")


class E0305(Fault):
    title = "arithmetic that can't be done"
    why = "A division by zero, a root of a negative number, or a result out of all bounds."

    @classmethod
    def too_large(cls) -> Self:
        return cls("this number is too large", "check its digits and its unit")

    @classmethod
    def division_by_zero(cls) -> Self:
        return cls("division by zero", "check the divisor")

    @classmethod
    def power(cls) -> Self:
        return cls(
            "this power can't be computed",
            "raise a positive quantity, to a power between -20 and 20",
        )


class E0306(Fault):
    title = "out of bounds"
    why = (
        "The number is not possible in a plant: a negative rate, more than 100 %, a rock heavier "
        "than iron ore."
    )
    wrong = "moisture 150 %"
    right = "moisture 1.5 %"

    @classmethod
    def outside(cls, what: str, shown: str, low: str, high: str) -> Self:
        return cls(f"{what} is {shown}, out of bounds", f"it must be between {low} and {high}")

    @classmethod
    def per_cent_missing(cls, what: str, number: str) -> Self:
        """A share above 1 without its sign."""
        return cls(
            f"{what} is {number}, out of bounds",
            f"write per cent with its sign, as in `{number} %`",
            "rewrite",
        )

    @classmethod
    def limit_without_sign(cls, number: str, meant: str) -> Self:
        return cls(
            f"this limit means {meant} %",
            f"write per cent with its sign, as in `{number} %`",
            "rewrite",
        )

    @classmethod
    def not_positive(cls, what: str) -> Self:
        return cls(f"{what} must be positive", "check its sign and digits")

    @classmethod
    def negative(cls, what: str) -> Self:
        return cls(f"{what} can't be negative", "check its sign")

    @classmethod
    def limits_reversed(cls) -> Self:
        return cls("the lower limit is above the upper limit", "write the lower limit first")

    @classmethod
    def bulk_density(cls) -> Self:
        return cls(
            "broken rock can't be as dense as solid rock: there is air between the pieces",
            "bulk density is usually 55 % to 65 % of solid density",
        )

    @classmethod
    def elongation_ratio(cls, low: float, high: float) -> Self:
        return cls(
            f"the elongation ratio must be between {low:g} and {high:g}",
            "ASTM D4791 tests at 2, 3 or 5",
        )

    @classmethod
    def stop(cls, lasts: str, every: str) -> Self:
        return cls(
            f"a stop of {lasts} every {every} is not possible",
            "a stop is shorter than the time from one stop to the next",
        )

    @classmethod
    def hours(cls, start: str, end: str) -> Self:
        return cls(
            f"{start} to {end} is not a part of a day",
            "hours of the day run from 0 h to 24 h; `22 h to 6 h` runs past midnight",
        )

    @classmethod
    def hours_overlap(cls) -> Self:
        return cls(
            "these hours overlap with others",
            "name each hour of the day once",
            note="the others",
        )

    @classmethod
    def days_of_week(cls) -> Self:
        return cls("a plant runs on 1 to 7 days of a week", "write a whole number from 1 to 7")


class E0307(Fault):
    title = "a free or uncertain number with wrong values"
    why = (
        "`free(low, high)` leaves a number open within a range, with a third value to start from "
        "if you like; `any(a, b, c)` leaves a choice; `normal(mean, deviation)`, "
        "`uniform(low, high)` and `triangle(low, likely, high)` say how uncertain a number is. "
        "All values are of one kind of unit; a deviation may be in per cent of the mean."
    )
    wrong = "css free(25 mm, 10 mm)"
    right = "css free(10 mm, 25 mm)"

    @classmethod
    def _refused(cls, fault: str, forms: Iterable[str]) -> Self:
        return cls(fault, "write " + " or ".join(f"`{form}`" for form in forms))

    @classmethod
    def count(cls, word: str, values: str, forms: Iterable[str]) -> Self:
        return cls._refused(f"`{word}` takes {values} values", forms)

    @classmethod
    def mixed_units(cls, forms: Iterable[str]) -> Self:
        return cls._refused("these values have different kinds of unit", forms)

    @classmethod
    def deviation(cls, forms: Iterable[str]) -> Self:
        return cls._refused("a standard deviation must be positive", forms)

    @classmethod
    def repeated(cls, forms: Iterable[str]) -> Self:
        return cls._refused("the same value is listed twice", forms)

    @classmethod
    def range_reversed(cls, forms: Iterable[str]) -> Self:
        return cls._refused("the lower end of a range must be below the upper end", forms)

    @classmethod
    def start_outside(cls, forms: Iterable[str]) -> Self:
        return cls._refused("the start value lies outside the range", forms)


_AIM = "`12 per_t * chips.rate - 0.15 / 1 kWh * plant.power`"


class E0308(Fault):
    title = "an aim that can't be computed"
    why = (
        "`aim most EXPRESSION` and `aim least EXPRESSION` say what `hoggin design` chooses the "
        "free settings for. The expression is built of results, as in `require`, and of numbers: "
        "products are weighed by plain numbers (`12 * chips.rate`), or by prices, `12 per_t * "
        "chips.rate - 0.15 / 1 kWh * plant.power`, money an hour. What is added is of one kind."
    )
    wrong = "aim most 12 * chips.rate - 0.15 * plant.power"
    right = "aim most 12 per_t * chips.rate - 0.15 / 1 kWh * plant.power"

    @classmethod
    def direction(cls, word: str) -> Self:
        return cls(f"an aim is `most` or `least`, not `{word}`", "write `aim most`")

    @classmethod
    def no_result(cls) -> Self:
        return cls(
            "this aim contains no result, so no setting changes it",
            "name results, such as `chips.rate` or `plant.power`",
        )

    @classmethod
    def free_number(cls) -> Self:
        return cls("an aim can't contain a free number", "give its numbers a value")

    @classmethod
    def mixed_units(cls, kind: str) -> Self:
        return cls(
            f"{kind} can't be an aim",
            f"write it as `12 * chips.rate`, or with prices: {_AIM}",
        )

    @classmethod
    def power(cls) -> Self:
        return cls(
            "a power of results can't be an aim",
            f"write it as `12 * chips.rate`, or with prices: {_AIM}",
        )

    @classmethod
    def unknown_word(cls, word: str) -> Self:
        return cls(f"unexpected `{word}`", "write `weight 2`, or leave it out")

    @classmethod
    def weight(cls) -> Self:
        return cls("a weight must be positive", "remove an aim that should not count")

    @classmethod
    def division_by_zero(cls) -> Self:
        return cls("division by zero in an aim", "check the divisor")

    @classmethod
    def added(cls, first: str, second: str) -> Self:
        return cls(
            f"{first} and {second} can't be added",
            f"write an aim for each, or give both a price: {_AIM}",
        )


class E0309(Fault):
    title = "a `choose` without a choice"
    why = (
        "`choose NAME { option a { ... } option b { ... } }` stands directly in a plant and holds "
        "two options or more, each with a name of its own. The plant must be complete with every "
        "option."
    )
    wrong = "choose type { option cone { ... } }"
    right = "choose type { option cone { ... }  option roll { ... } }"

    @classmethod
    def too_few(cls, name: str, options: int) -> Self:
        return cls(
            f"`choose {name}` needs two options or more, but has {options}",
            "write each as `option NAME { ... }`",
        )
