"""E03: units and values."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.fault import Fault, Fix, Message, Unknown


def _not_a_unit(help: str, fix: Fix = "") -> Message[str]:
    return Message[str]("`{unit}` is not a unit", help, fix)


_SAME_KIND = "give both the same kind of unit"


class E0301(Fault):
    """an unknown unit

    The language has no unit of this name.

    Wrong: css 32 mn
    Right: css 32 mm
    """

    unknown = Unknown[str]("`{unit}` is not a unit")
    # A unit in another spelling of the trade.
    usual = Message[str, str]("`{unit}` is not a unit", "did you mean `{right}`?", "replace")
    quotient = _not_a_unit("put spaces around `/` to divide")
    opening = Message[str, str](
        "`{shape}` is not a unit", "write the unit first, as in `{number} mm {shape}`", "rewrite"
    )
    # A guess would be wrong by a tenth and go unseen.
    which_ton_of = Message[str, str, str](
        "`{unit}` is not a unit",
        "write `{metric}` (tonnes of 1000 kg) or `{short}` (short tons)",
        "replace",
    )
    which_ton = _not_a_unit("write `t` (tonnes of 1000 kg) or `st` (short tons)", "replace")
    which_tons_an_hour = _not_a_unit(
        "write `t/h` (tonnes of 1000 kg per hour) or `stph` (short tons per hour)", "replace"
    )
    currencies = _not_a_unit("write the price in the plant's currency; no price is converted")
    money = _not_a_unit("name the currency, as in `EUR/t`")
    not_a_type = Unknown[str]("`{word}` is not a type")


class E0302(Fault):
    """the wrong kind of quantity

    Lengths, mass flows, powers and so on can't be mixed: they can't replace each other, be added or
    be compared.

    Wrong: css 32 kW
    Right: css 32 mm
    """

    other_kind = Message[str, str, str, Iterable[str]](
        "{what} is {wanted}, but this is {found}", "write it in {units:names}"
    )

    not_plain = Message[str, str, str](
        "{what} is {wanted}, but this is {found}", "write it without a unit, or in `%`"
    )
    unlike = Message[str, str, str]("{what} is {wanted}, but this is {found}", _SAME_KIND)
    word = Message[str](
        "expected a quantity, but `{word}` is a word", "write a number with its unit"
    )
    not_a_value = Message[str](
        "expected a value, but `{path}` has no value", "name a `let`, parameter or setting"
    )
    not_a_quantity = Message[str]("`{name}` is a quantity", "write a number with its unit")
    range = Message[str](
        "`{function}` takes single values, not a range", "separate its values with commas"
    )
    row = Message[()](
        "expected a value, but this is a list", "only a table has a list for each of its entries"
    )
    not_a_text = Message[()]("expected a text in quotes", 'write it as `"..."`')
    added = Message[str, str]("{first} can't be added to {second}", _SAME_KIND)
    subtracted = Message[str, str]("{first} can't be subtracted from {second}", _SAME_KIND)
    compared = Message[str, str]("{first} can't be compared with {second}", _SAME_KIND)
    exponent = Message[()]("an exponent is a plain number", "leave out its unit")
    required = Message[str]("{kind} can't be required", "require a result in a unit of its own")
    results_added = Message[str, str](
        "{first} and {second} can't be added", "require each on its own line"
    )
    results_combined = Message[()](
        "results of these kinds can't be combined this way",
        "add results of one kind, scale them by numbers, or divide two of one kind",
    )
    not_taken = Message[str, str](
        "outlet `{outlet}` takes a share or a tonnage, but this is {found}",
        "write `out {outlet} 30 %` or `out {outlet} 90 t/h`",
    )


class E0303(Fault):
    """a unit is missing

    A quantity with a dimension is always written with its unit, so nobody has to guess between
    millimetres and inches.

    Wrong: css 32
    Right: css 32 mm
    """

    missing = Message[str, str, Iterable[str]](
        "{what} needs a unit: it is {wanted}", "write it in {units:names}", "append a unit"
    )


class E0304(Fault):
    """not one of the choices

    The setting must be one of the words that its class lists.

    Wrong: chamber corse
    Right: chamber coarse
    """

    not_a_choice = Unknown[str, str]("`{name}` can't be `{written}`")
    never = Unknown[str, str]("`{name}` is never `{word}`")
    opening = Unknown[str]("`{word}` is not a shape of opening")
    branch = Message[()]("expected a branch of `by`", "write it as `choice: value`")
    by_no_choice = Message[str](
        "`{name}` is not a choice, but `by` needs one", "name a setting with choices"
    )
    by_incomplete = Message[str, str](
        "`by {name}` has no value for `{word}`", "add a line `{word}: ...`"
    )
    ordered = Message[()]("choices have no order", "compare them with `==` or `!=`")


class E0305(Fault):
    """arithmetic that can't be done

    A division by zero, a root of a negative number, or a result that is too large.
    """

    too_large = Message[()]("this number is too large", "check its digits and its unit")
    division_by_zero = Message[()]("division by zero", "check the divisor")
    power = Message[()](
        "this power can't be computed", "raise a positive quantity, to a power between -20 and 20"
    )


class E0306(Fault):
    """out of bounds

    The number is not possible in a plant: a negative rate, more than 100 %, a rock denser than iron
    ore.

    Wrong: moisture 150 %
    Right: moisture 1.5 %
    """

    outside = Message[str, str, str, str](
        "{what} is {shown}, out of bounds",
        "write a value from {low} to {high}",
        note="for this machine",
    )
    # Of a number whose lower limit is itself out of bounds.
    not_above = Message[str, str, str, str](
        "{what} is {shown}, out of bounds",
        "write a value above {low}, and at most {high}",
        note="for this machine",
    )
    not_whole = Message[str, str, str, str](
        "{what} is {shown}, but it must be a whole number",
        "write a whole number from {low} to {high}",
        note="for this machine",
    )
    # A whole number that is left open takes no value between two whole numbers.
    open_whole = Message[str](
        "{what} is a whole number, so a range or a distribution can't leave it open",
        "list its values, as in `any(1, 2, 3)`",
    )
    # A share above 1 without its sign.
    per_cent_missing = Message[str, str](
        "{what} is {number}, out of bounds",
        "write per cent with its sign, as in `{number} %`",
        "rewrite",
    )

    limit_without_sign = Message[str, str](
        "this limit means {meant} %", "write per cent with its sign, as in `{number} %`", "rewrite"
    )
    limits_reversed = Message[()](
        "the lower limit is above the upper limit", "write the lower limit first"
    )
    bulk_density = Message[()](
        "broken rock can't be as dense as solid rock: there is air between the pieces",
        "bulk density is usually 55 % to 65 % of solid density",
    )
    stop = Message[str, str](
        "a stop of {lasts} every {every} is not possible",
        "a stop is shorter than the time from one stop to the next",
    )
    hours = Message[str, str](
        "{start} to {end} is not a part of a day",
        "hours of the day run from 0 h to 24 h; `22 h to 6 h` runs past midnight",
    )
    hours_overlap = Message[()](
        "these hours overlap with others", "name each hour of the day once", note="the others"
    )


class E0307(Fault):
    """a free or uncertain number with wrong values

    `free(low to high)` leaves a number open within a range, with an optional start value; `any(a,
    b, c)` leaves a choice; `normal(mean, deviation)`, `uniform(low to high)`
    and `triangle(low to high, likely)` say how uncertain a number is. All values are of one kind
    of unit; a deviation may be in per cent of the mean.

    Wrong: css free(25 mm to 10 mm)
    Right: css free(10 mm to 25 mm)
    """

    # `forms`: how such a number is written.
    count = Message[str, str, str]("`{word}` takes {values} values", "write {forms}")
    mixed_units = Message[str]("these values have different kinds of unit", "write {forms}")
    deviation = Message[str]("a standard deviation must be positive", "write {forms}")
    repeated = Message[str]("the same value is listed twice", "write {forms}")
    range_reversed = Message[str](
        "the lower end of a range must be below the upper end", "write {forms}"
    )
    start_outside = Message[str]("the start value lies outside the range", "write {forms}")


_AIM = "`12 EUR/t * chips.rate - 0.15 EUR/kWh * plant.power`"


class E0308(Fault):
    """an aim that can't be computed

    `maximize EXPRESSION` and `minimize EXPRESSION` state the aim for which `hoggin design` chooses
    the free settings. The expression combines results, as in `require`, and numbers. Products are
    weighted by plain numbers (`12 * chips.rate`) or by prices, `12 EUR/t * chips.rate -
    0.15 EUR/kWh * plant.power`, in money per hour. All terms of a sum are of one kind.

    Wrong: maximize 12 * chips.rate - 0.15 * plant.power
    Right: maximize 12 EUR/t * chips.rate - 0.15 EUR/kWh * plant.power
    """

    no_result = Message[()](
        "this aim has no result, so no setting changes it",
        "name results, such as `chips.rate` or `plant.power`",
    )
    free_number = Message[()]("an aim can't contain a free number", "give its numbers a value")

    mixed_units = Message[str](
        "{kind} can't be an aim", f"write it as `12 * chips.rate`, or with prices: {_AIM}"
    )

    power = Message[()](
        "a power of results can't be an aim",
        f"write it as `12 * chips.rate`, or with prices: {_AIM}",
    )

    weight = Message[()]("a weight must be positive", "remove an aim that should not count")
    division_by_zero = Message[()]("division by zero in an aim", "check the divisor")

    added = Message[str, str](
        "{first} and {second} can't be added",
        f"write an aim for each, or give both a price: {_AIM}",
    )


class E0309(Fault):
    """a `choose` without a choice

    `choose NAME { option a { ... } option b { ... } }` is directly in a plant and has two or more
    options with different names. The plant must be complete with every option.
    `choose NAME: a { ... }` fixes the option: it is no longer open, but cases may pick another.

    Wrong: choose type { option cone { ... } }
    Right: choose type { option cone { ... }  option roll { ... } }
    """

    too_few = Message[str, int](
        "`choose {name}` needs two or more options, but has {options}",
        "write each as `option NAME {{ ... }}`",
    )
    no_option = Unknown[str, str]("`{choose}` has no option `{name}`")


class E0310(Fault):
    """a yearly rate without the hours per year

    `0.8 Mt/y` counts the hours that the plant runs in a year: a year has 8766 h, and no plant runs
    in all of them. So the plant has to state its hours and, if it is below 100 %, the share of them
    in which it runs at its rates. In the block of a case, and in a requirement of one case, the
    hours of the case count.

    Wrong: feed pit { rate 0.8 Mt/y }
    Right: operation { hours_per_year 4000 h; availability 85 % }
    """

    no_hours = Message[str](
        "`{unit}` needs the plant's hours per year, but it states none",
        "add `operation {{ hours_per_year 4000 h; availability 85 % }}` to the plant, "
        "or write the rate in `t/h`",
    )
    open_hours = Message[str](
        "`{unit}` needs the plant's hours per year, but they are left open",
        "write one value for the hours and for the availability, or write the rate in `t/h`",
    )
