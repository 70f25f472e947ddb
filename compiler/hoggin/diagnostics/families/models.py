"""E0406 to E0409: the process models of classes, and names that they take."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Self

from hoggin.diagnostics.fault import Fault, Message, Unknown


class E0406(Fault):
    title = "no such model"
    why = """A class names process models that the compiler has, by role and name, and gives the
    coefficients each one takes."""

    role = Unknown[str, str]("a {kind} has no model for `{role}`")
    unknown = Unknown[str, str]("there is no {role} model `{name}`")
    of_other_kind = Message[str, str, str, str](
        "`{name}` is not a {role} model of a {kind}", "write one of {listed}"
    )
    not_in_class = Unknown[str, str]("the class has no {role} model `{name}`")
    nothing_to_choose = Message[str]("the class has no {role} model", "remove this line")

    @classmethod
    def not_a_model_name(cls, role: str, known: Sequence[str]) -> Self:
        return cls(f"`{role}` is chosen by a model's name", "write one of " + ", ".join(known))

    coefficient = Unknown[str, str]("model `{model}` has no coefficient `{name}`")


class E0407(Fault):
    title = "a model's coefficient is missing"
    why = "The model can't be computed without it."

    @classmethod
    def missing(cls, model: str, name: str, meaning: str, unit: str) -> Self:
        return cls(
            f"model `{model}` needs `{name}`: {meaning}", f"add `{f'{name} ... {unit}'.rstrip()}`"
        )

    @classmethod
    def partner(cls, name: str, other: str, meaning: str, unit: str) -> Self:
        return cls(
            f"`{name}` needs `{other}`, {meaning}", f"add `{f'{other} ... {unit}'.rstrip()}`"
        )


class E0408(Fault):
    title = "a class without a needed model"
    why = """A crusher class needs models for breakage, capacity and power; a screen class for
    partition; a feeder class for capacity; a conveyor class for capacity and belt_power. Where the
    flakiness of a product is asked for, the crushers before it need a model for shape as well; for
    its flat and elongated share a model for elongation, of pieces of the ratio that the plant
    counts."""

    @classmethod
    def missing(cls, name: str, role: str, known: Sequence[str]) -> Self:
        return cls(
            f"class `{name}` names no {role} model",
            f"add `model {role}: ... {{ }}`, one of " + ", ".join(known),
        )

    shape = Message[str, str, str, str](
        "`{asked}` can't be computed: the class of {crushers} names no {role} model",
        "add `{sample} {{ css css; best 15 % }}` to the class",
    )

    @classmethod
    def other_ratio(cls, asked: str, crushers: str, ratio: float, usual: float) -> Self:
        return cls(
            f"`{asked}` can't be computed: the plant counts pieces {ratio:g} times as long as "
            f"thick, the class of {crushers} uses another ratio",
            f"ratios can't be converted: give the class its figures for `elongation_ratio "
            f"{ratio:g}`, or leave the plant's ratio at {usual:g}",
        )


class E0409(Fault):
    title = "a setting with a name that every machine has"
    why = """A machine's block also says how it is run (`availability`, `repair`, `pace`,
    `maintenance`, `campaign`, `changeover`), what its liners cost (`liner_price`) and which of its
    class's models it takes (`breakage`, `partition` ...). A setting of that name could not be told
    from these, and would silently be read as the other."""
    wrong = "class feeder ours(width: mm) { setting pace: m/s; ... }"
    right = "class feeder ours(width: mm) { setting belt_pace: m/s; ... }"

    taken = Message[str, str, str](
        "a setting can't be named `{name}`: in a machine's block that says {by}",
        "give the setting another name, as `{owner}_{name}`",
    )
