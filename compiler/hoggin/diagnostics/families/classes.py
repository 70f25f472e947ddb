"""E04: classes and settings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Self

from hoggin.diagnostics.fault import Fault
from hoggin.diagnostics.suggest import did_you_mean


class E0401(Fault):
    title = "the wrong kind of thing"
    why = (
        "A crusher is made from a crusher class, a section from a template, a feed from a material."
    )
    wrong = "screen s: cones.high_pivot(head: 1300 mm)"
    right = "crusher s: cones.high_pivot(head: 1300 mm) { ... }"

    @classmethod
    def has_no_class(cls, kind: str, path: str) -> Self:
        return cls(f"a {kind} has no class", f"remove `: {path}`")

    @classmethod
    def class_missing(cls, kind: str, name: str) -> Self:
        return cls(
            f"{kind} `{name}` names no machine class",
            f"write `{kind} {name}: LIBRARY.CLASS(...)`; `hoggin classes` lists them",
        )

    @classmethod
    def not_a_class(cls, path: str) -> Self:
        return cls(f"`{path}` is not a machine class", "`hoggin classes` lists the classes")

    @classmethod
    def class_of_other_kind(cls, path: str, is_of: str, wanted: str, name: str) -> Self:
        return cls(
            f"`{path}` is a {is_of} class, not a {wanted} class",
            f"declare it as `{is_of} {name}`",
        )

    @classmethod
    def template_missing(cls, name: str) -> Self:
        return cls(f"section `{name}` names no template", f"write `section {name}: TEMPLATE(...)`")

    @classmethod
    def not_a_template(cls, path: str) -> Self:
        return cls(f"`{path}` is not a template", "a section is made from a `template`")

    @classmethod
    def not_a_material(cls, path: str) -> Self:
        return cls(f"`{path}` is not a material", "declare it as `material NAME { ... }`")

    @classmethod
    def not_a_grading(cls, path: str) -> Self:
        return cls(
            f"`{path}` is not a grading",
            "declare it as `grading NAME { passing { 63 mm: 100 % ... } }` at the top of a file",
        )

    @classmethod
    def not_a_band(cls, path: str) -> Self:
        return cls(
            f"`{path}` is not a grading band", "declare it as `band NAME { passing { ... } }`"
        )

    @classmethod
    def not_a_series(cls, path: str) -> Self:
        return cls(f"`{path}` is not a sieve series", "name a series, such as `sieves.iso_r20_3`")

    @classmethod
    def not_a_product(cls, name: str, is_a: str) -> Self:
        return cls(
            f"`{name}` is a {is_a}, not a product",
            f"write `-> {name}`, or give the product another name",
        )

    @classmethod
    def text_without_quotes(cls, name: str, written: str) -> Self:
        return cls(f"`{name}` is a text in quotes", f'write `{name} "{written}"`', "quote")

    @classmethod
    def not_a_text(cls, name: str) -> Self:
        return cls(f"`{name}` is a text in quotes", f'write `{name} "..."`')

    @classmethod
    def currency(cls, longest: int) -> Self:
        return cls(
            f"a currency is a text of 1 to {longest} letters in quotes", 'write `currency "EUR"`'
        )

    @classmethod
    def revision(cls) -> Self:
        return cls("a revision is a mark and a text", 'write `"MARK": "what changed"`')

    @classmethod
    def revision_text(cls) -> Self:
        return cls("expected a text in quotes", 'write `"MARK": "what changed"`')


class E0402(Fault):
    title = "something needed is missing"
    why = "The class or feed can't do without this."
    wrong = "crusher secondary: cones.high_pivot(head: 1300 mm)"
    right = "crusher secondary: cones.high_pivot(head: 1300 mm) { duty secondary; css 32 mm }"

    @classmethod
    def choice(cls, what: str, name: str, words: Sequence[str]) -> Self:
        return cls(
            f"the {what} `{name}` is missing",
            f"choose `{name}` from " + " | ".join(words),
            "add a setting" if what == "setting" else "add an argument",
            note="declared",
        )

    @classmethod
    def setting(cls, name: str, sample: str, limits: str) -> Self:
        return cls(
            f"the setting `{name}` is missing",
            f"add `{name} {sample}`{limits}",
            "add a setting",
            note="declared",
        )

    @classmethod
    def parameter(cls, name: str, sample: str, limits: str) -> Self:
        return cls(
            f"the parameter `{name}` is missing",
            f"add `{name}: {sample}`{limits}",
            "add an argument",
            note="declared",
        )

    @classmethod
    def fact_of_feed(cls, feed: str, fact: str, sample: str) -> Self:
        return cls(f"feed `{feed}` has no {fact}", f"add `{sample}`", "add a line")

    @classmethod
    def fact_of_material(cls, material: str, fact: str, sample: str) -> Self:
        return cls(f"material `{material}` has no `{fact}`", f"add `{fact} {sample}`", "add a line")

    @classmethod
    def sieves(cls) -> Self:
        return cls(
            "the plant names no sieves to report on",
            "add `use std.sieves` and `sieves sieves.iso_r20_3`, or a list of sizes in { }",
            "add sieves",
        )

    @classmethod
    def revision_unlisted(cls, mark: str) -> Self:
        return cls(
            f"the plant is at revision `{mark}`, which its history does not list",
            f'add `"{mark}": "what changed"`',
        )

    @classmethod
    def revision_missing(cls) -> Self:
        return cls(
            "the plant has a history, but no `revision`",
            'add `revision "MARK"`, one of those listed',
        )

    @classmethod
    def repair(cls) -> Self:
        return cls(
            "`availability` has no effect without `repair`",
            "add the mean time of a repair: `repair 2 h`",
            "add a line",
        )

    @classmethod
    def availability(cls) -> Self:
        return cls(
            "`repair` has no effect without `availability`",
            "add the share of the shift it can run: `availability 92 %`",
            "add a line",
        )

    @classmethod
    def campaign(cls) -> Self:
        return cls(
            "`changeover` has no effect without `campaign`",
            "add the time of a round through all outlets: `campaign 40 h`",
            "add a line",
        )

    @classmethod
    def shape_of_feed(cls, asked: str, feeds: str, measure: str, fact: str, standard: str) -> Self:
        return cls(
            f"`{asked}` can't be computed: {feeds} states no {measure}",
            f"add `{fact} 20 %` to the feed, from a test of the rock ({standard})",
        )

    @classmethod
    def price_of_liners(cls, asked: str, crusher: str) -> Self:
        return cls(
            f"`{asked}` can't be computed: the liners of `{crusher}` have no price",
            "add `liner_price 4.2 per_kg` to the crusher, at your price",
        )


class E0403(Fault):
    title = "no such setting"
    why = "The class, feed, material or plant has no setting or fact of this name."
    wrong = "closed_setting 32 mm"
    right = "css 32 mm"

    @classmethod
    def unknown(cls, owner: str, name: str, known: Iterable[str]) -> Self:
        return cls(f"{owner} has no `{name}`", did_you_mean(name, known), "replace")

    @classmethod
    def unknown_here(cls, what: str, name: str, known: Iterable[str]) -> Self:
        return cls(f"unknown {what} `{name}`", did_you_mean(name, known), "replace")

    @classmethod
    def is_a_setting(cls, name: str) -> Self:
        return cls(
            f"unknown parameter `{name}`",
            "it is a setting: write it in { }, as in `{ css 100 mm }`",
        )

    @classmethod
    def is_a_parameter(cls, name: str) -> Self:
        return cls(
            f"unknown setting `{name}`",
            "it belongs to the machine's size: write it in ( ), as in `(width: 1000 mm)`",
        )

    @classmethod
    def no_value(cls, name: str) -> Self:
        return cls(f"`{name}` has no value", "give it a value")

    @classmethod
    def no_value_such_as(cls, name: str, sample: str) -> Self:
        return cls(f"`{name}` has no value", f"write `{name} {sample}`")

    @classmethod
    def no_share(cls, name: str) -> Self:
        return cls(
            f"`{name}` has no value",
            f"write `{name} 20 %`, or by size `{name} {{ 31.5 mm: 25 %  8 mm: 18 % }}`",
        )

    @classmethod
    def no_history(cls) -> Self:
        return cls("`history` lists no revision", 'write `"MARK": "what changed"`')

    @classmethod
    def maintenance(cls) -> Self:
        return cls(
            "`maintenance` lists how often the machine stops, and for how long",
            "write `maintenance { 168 h: 8 h }`: a stop of 8 h every 168 h of shift time",
        )

    @classmethod
    def hours_of_day(cls, word: str) -> Self:
        return cls(
            f"`{word}` lists hours of the day, each part with a name",
            f"write `{word} {{ early: 6 h to 14 h  late: 14 h to 22 h }}`",
        )


class E0404(Fault):
    title = "out of the class's range"
    why = (
        "The class of machine can't be set so. A closed-side setting below the range means contact "
        "of the liners or overload; above it the crusher no longer crushes. A speed out of range "
        "is a hazard: rotating energy grows with its square."
    )
    wrong = "css 2 mm"
    right = "css 12 mm"

    @classmethod
    def below(cls, name: str, shown: str, low: str, high: str) -> Self:
        return cls(
            f"`{name}` {shown} is below the class's limit of {low}",
            f"choose it from {low} to {high}, or another class of machine",
            note="declared",
        )

    @classmethod
    def above(cls, name: str, shown: str, low: str, high: str) -> Self:
        return cls(
            f"`{name}` {shown} is above the class's limit of {high}",
            f"choose it from {low} to {high}, or another class of machine",
            note="declared",
        )

    @classmethod
    def coefficient(cls, name: str, shown: str, low: float, high: float, unit: str) -> Self:
        return cls(
            f"`{name}` {shown} is outside the model's range",
            f"it must be between {low:g} and {high:g} {unit}".rstrip(),
            note="for this machine",
        )

    @classmethod
    def not_above(cls, upper: str, lower: str, more: str, less: str, reason: str) -> Self:
        return cls(
            f"`{upper}` {more} is not above `{lower}` {less}",
            f"{reason}: `{upper}` is the larger",
            note="for this machine",
        )

    @classmethod
    def set_not_above(cls, upper: str, lower: str, more: str, less: str, reason: str) -> Self:
        """Of coefficients that follow a setting of the machine."""
        return cls(
            f"with this setting, the class's `{upper}` {more} is not above its `{lower}` {less}",
            f"change the setting, or the class; {reason}",
            note="what the class gives",
        )


class E0405(Fault):
    title = "a rule of the class is broken"
    why = (
        "The class says what may not be combined, for instance a coarse chamber in a tertiary "
        "machine. The rule's own place is shown."
    )

    @classmethod
    def rule(cls, reason: str) -> Self:
        """`reason`: as the class words it."""
        return cls(
            reason,
            "change the setting, or choose another class of machine",
            note="the class's rule",
        )

    @classmethod
    def slot_ratio(cls, deck: str, shape: str) -> Self:
        return cls(
            f"deck `{deck}` has a `slot_ratio`, but its openings are {shape}",
            "write `slotted`, or leave out the ratio",
        )

    @classmethod
    def spray_on_dry_screen(cls, deck: str) -> Self:
        return cls(
            f"deck `{deck}` is sprayed, but the screen is set to work dry",
            "set the screen to `water spray`, or leave out the spray",
        )


class E0418(Fault):
    title = "a price without a currency"
    why = (
        "A crusher or its class states what its liner metal costs, but the plant does not say in "
        "which money. A document that shows a sum has to name it; nothing is converted."
    )
    wrong = 'plant "Hill" { ...; crusher c: ours { css 12 mm; liner_price 4.2 per_kg } }'
    right = (
        'plant "Hill" { currency "EUR"; ...; crusher c: ours { css 12 mm; liner_price 4.2 per_kg } '
        "}"
    )

    @classmethod
    def missing(cls, crusher: str) -> Self:
        return cls(
            f"the liners of `{crusher}` have a price, but the plant names no currency",
            'add `currency "EUR"`, or what the price is in, to the plant',
            "add a line to the plant",
        )
