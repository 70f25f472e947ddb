"""E04: classes and settings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Self

from hoggin.diagnostics.fault import Fault, Message, Unknown


class E0401(Fault):
    """the wrong kind of thing

    A crusher needs a crusher class, a section a template, a feed a material.

    Wrong: screen s: cones.high_speed(head: 1300 mm)
    Right: crusher s: cones.high_speed(head: 1300 mm) { ... }
    """

    has_no_class = Message[str, str]("a {kind} has no class", "remove `: {path}`")
    class_missing = Message[str, str](
        "{kind} `{name}` names no machine class",
        "write `{kind} {name}: LIBRARY.CLASS(...)`; `hoggin classes` lists them",
    )
    not_a_class = Message[str](
        "`{path}` is not a machine class", "name a class; `hoggin classes` lists them"
    )
    class_of_other_kind = Message[str, str, str, str](
        "`{path}` is a {is_of} class, not a {wanted} class", "declare it as `{is_of} {name}`"
    )
    template_missing = Message[str](
        "section `{name}` names no template", "write `section {name}: TEMPLATE(...)`"
    )
    not_a_template = Message[str](
        "`{path}` is not a template", "name a `template` of this file or of a library"
    )
    not_a_material = Message[str](
        "`{path}` is not a material", "declare it as `material NAME {{ ... }}`"
    )
    not_a_grading = Message[str](
        "`{path}` is not a grading",
        "declare it as `grading NAME {{ passing {{ 63 mm: 100 % ... }} }}` at the top of a file",
    )
    not_a_band = Message[str](
        "`{path}` is not a grading band", "declare it as `band NAME {{ passing {{ ... }} }}`"
    )
    not_a_series = Message[str](
        "`{path}` is not a sieve series", "name a series, such as `sieves.iso_r20_3`"
    )
    not_a_product = Message[str, str](
        "`{name}` is a {is_a}, not a product", "write `-> {name}`, or give the product another name"
    )
    rock_not_named = Message[()](
        "`rock` is the name of a material",
        "write a name without quotes, as in `rock granite`",
        "remove the quotes",
    )
    text_without_quotes = Message[str, str](
        "`{name}` is a text in quotes", 'write `{name} "{written}"`', "quote"
    )
    not_a_text = Message[str]("`{name}` is a text in quotes", 'write `{name} "..."`')
    currency = Message[()](
        "a currency is a word of three capital letters (as in ISO 4217)", "write `currency EUR`"
    )
    revision = Message[()](
        "a revision is a mark and a text",
        'write `"MARK": "what changed"`, or with its date `"MARK": {{ date: "2026-03-31", '
        'description: "what changed" }}`',
    )
    date = Message[str](
        '"{written}" is not a date', 'write year, month and day, as in `date: "2026-03-31"`'
    )
    revision_text = Message[()]("expected a text in quotes", 'write `"MARK": "what changed"`')


class E0402(Fault):
    """something required is missing

    The class or feed requires it.

    Wrong: crusher secondary: cones.high_speed(head: 1300 mm)
    Right: crusher secondary: cones.high_speed(head: 1300 mm) { duty secondary; css 32 mm }
    """

    @classmethod
    def choice(cls, what: str, name: str, words: Sequence[str]) -> Self:
        return cls(
            f"the {what} `{name}` is missing",
            f"choose `{name}` from " + " | ".join(words),
            "add a setting" if what == "setting" else "add an argument",
            note="declared",
        )

    setting = Message[str, str, str](
        "the setting `{name}` is missing",
        "add `{name} {sample}`{limits}",
        "add a setting",
        note="declared",
    )
    parameter = Message[str, str, str](
        "the parameter `{name}` is missing",
        "add `{name}: {sample}`{limits}",
        "add an argument",
        note="declared",
    )
    fact_of_feed = Message[str, str, str](
        "feed `{feed}` has no {fact}", "add `{sample}`", "add a line"
    )
    fact_of_material = Message[str, str, str](
        "material `{material}` has no `{fact}`", "add `{fact} {sample}`", "add a line"
    )
    sieves = Message[()](
        "the plant names no sieves to report on",
        "add `use std.sieves` and `sieves sieves.iso_r20_3`, or a list of sizes in {{ }}",
        "add sieves",
    )
    revision_unlisted = Message[str](
        "the plant is at revision `{mark}`, which its history does not list",
        'add `"{mark}": "what changed"`',
    )
    revision_missing = Message[()](
        "the plant has a history, but no `revision`", 'add `revision "MARK"`, one of those listed'
    )
    repair = Message[()](
        "`availability` has no effect without `repair`",
        "add the mean time of a repair: `repair 2 h`",
        "add a line",
    )
    availability = Message[()](
        "`repair` has no effect without `availability`",
        "add the share of the shift in which it can run: `availability 92 %`",
        "add a line",
    )
    campaign = Message[()](
        "`changeover` has no effect without `campaign`",
        "add the time of a round through all outlets: `campaign 40 h`",
        "add a line",
    )
    shape_of_feed = Message[str, str, str, str, str](
        "`{asked}` can't be computed: {feeds} states no {measure}",
        "add `{fact} 20 %` to the feed, from a test of the rock ({standard})",
    )
    price_of_liners = Message[str, str](
        "`{asked}` can't be computed: the liners of `{crusher}` have no price",
        "add `operation {{ liner_price 4.2 EUR/kg }}` to the crusher, at your price",
    )


class E0403(Fault):
    """no such setting

    The class, feed, material or plant has no setting or fact of this name.

    Wrong: closed_setting 32 mm
    Right: css 32 mm
    """

    unknown = Unknown[str, str]("{owner} has no `{name}`")
    unknown_here = Unknown[str, str]("unknown {what} `{name}`")
    away = Message[str, str](
        "`{name}` is stated outside its block",
        "write it in the block of `{owner}`, or in a `case` of the plant",
    )
    is_a_setting = Message[str](
        "unknown parameter `{name}`",
        "it is a setting: write it in {{ }}, as in `{{ css 100 mm }}`",
        "move to the block",
    )
    is_a_parameter = Message[str](
        "unknown setting `{name}`",
        "it is a parameter: write it in ( ), as in `(width: 1000 mm)`",
    )
    of_the_machine = Message[str](
        "each machine states its `{name}`; a class can't",
        "write it in the machine's block, or give the parameter or setting another name",
    )
    of_operation = Message[str](
        "`{name}` belongs in the `operation` block",
        "write `operation {{ {name} ... }}`",
    )
    stands_alone = Message[str]("`{name}` has a value", "write `{name}` alone, or remove the line")
    of_section = Message[str, Iterable[str]](
        "a section can't state `{name}` of what is in it",
        "it states {known:names}; make other values parameters of the template",
    )
    no_value = Message[str]("`{name}` has no value", "write a value after the name")
    no_value_such_as = Message[str, str]("`{name}` has no value", "write `{name} {sample}`")
    no_share = Message[str](
        "`{name}` has no value",
        "write `{name} 20 %`, or by size `{name} {{ 31.5 mm: 25 %, 8 mm: 18 % }}`",
    )
    no_history = Message[()]("`history` has no revisions", 'write `"MARK": "what changed"`')
    maintenance = Message[()](
        "`maintenance` lists how often the machine stops, and for how long",
        "write `maintenance {{ 168 h: 8 h }}`: a stop of 8 h every 168 h of shift time",
    )
    hours_of_day = Message[str](
        "`{word}` lists periods of the day, each with a name",
        "write `{word} {{ early: 6 h to 14 h, late: 14 h to 22 h }}`",
    )


class E0404(Fault):
    """out of the class's range

    The class does not allow this value. Below the range of a closed-side setting the liners touch
    or the crusher is overloaded; above it the crusher no longer crushes. A speed out of range is a
    hazard: rotating energy grows with its square.

    Wrong: css 2 mm
    Right: css 12 mm
    """

    below = Message[str, str, str, str](
        "`{name}` {shown} is below the class's limit of {low}",
        "write a value from {low} to {high}, or choose another class",
        note="declared",
    )

    above = Message[str, str, str, str](
        "`{name}` {shown} is above the class's limit of {high}",
        "write a value from {low} to {high}, or choose another class",
        note="declared",
    )

    coefficient = Message[str, str, str, str, float, float, str](
        "`{name}` {shown} is outside the range of the model `{model}` in class `{owner}`",
        "write a value from {low:g} to {high:g}{unit:spaced}",
        note="for this machine",
    )

    spread = Message[str, float, float](
        "`{name}` is not a range around 1",
        "write the least and the most of measured over computed, from {low:g} to {high:g}: "
        "`{name} between(0.8 to 1.25)`",
    )

    not_above = Message[str, str, str, str, str](
        "`{upper}` {more} is not above `{lower}` {less}",
        "{reason}: make `{upper}` the larger",
        note="for this machine",
    )

    # Of coefficients that follow a setting of the machine.
    set_not_above = Message[str, str, str, str, str](
        "with this setting, the class's `{upper}` {more} is not above its `{lower}` {less}",
        "change the setting, or the class; {reason}",
        note="what the class gives",
    )


class E0405(Fault):
    """a rule of the class is broken

    The class states which settings can't be combined, for instance a coarse chamber in a tertiary
    machine. The message shows where the rule is.
    """

    # `reason` is the text of the class.
    rule = Message[str](
        "{reason}",
        "change the setting, or choose another class of machine",
        note="the class's rule",
    )

    slot_ratio = Message[str, str](
        "deck `{deck}` has a `slot_ratio`, but its openings are {shape}",
        "write `slotted`, or leave out the ratio",
    )
    spray_on_dry_screen = Message[str](
        "deck `{deck}` is sprayed, but the screen is set to work dry",
        "set the screen to `water spray`, or leave out the spray",
    )


class E0418(Fault):
    """a price that is not in the plant's currency

    A plant states the currency of all its prices, including those of its libraries. Amounts in
    different currencies can't be added, and no price is converted.

    Wrong: plant "Hill" { currency EUR; ...; maximize 12 USD/t * chips.rate }
    Right: plant "Hill" { currency EUR; ...; maximize 11 EUR/t * chips.rate }
    """

    missing = Message[str](
        "this is a price in `{currency}`, but the plant states no currency",
        "add `currency {currency}` to the plant",
        "add a line to the plant",
    )
    other = Message[str, str](
        "this is a price in `{currency}`, but the plant's currency is `{own}`",
        "write the price in `{own}`; no price is converted",
    )
