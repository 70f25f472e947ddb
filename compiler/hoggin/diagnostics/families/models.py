"""E0406 to E0408: the process models of classes."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.fault import Fault, Message, Unknown


class E0406(Fault):
    """no such model

    A class names process models that the compiler has, by role and name, and gives the
    coefficients each one takes.
    """

    role = Unknown[str, str]("a {kind} has no model for `{role}`")
    unknown = Unknown[str, str]("there is no {role} model `{name}`")
    of_other_kind = Message[str, str, str, str](
        "`{name}` is not a {role} model of a {kind}", "write one of {listed}"
    )
    not_in_class = Unknown[str, str]("the class has no {role} model `{name}`")
    nothing_to_choose = Message[str]("the class has no {role} model", "remove this line")

    pick = Message[str, str](
        "`{role}` is the role of a model", "write `model {role}: {name}`", "rewrite"
    )
    coefficients_of_machine = Message[()](
        "a machine can't change the coefficients of a model",
        "remove the braces; coefficients belong in the class",
    )

    coefficient = Unknown[str, str]("model `{model}` has no coefficient `{name}`")


class E0407(Fault):
    """a model's coefficient is missing

    The model can't be computed without it.
    """

    missing = Message[str, str, str, str](
        "model `{model}` needs `{name}`: {meaning}", "add `{name} ...{unit:spaced}`"
    )

    no_table = Message[str, str, str]("model `{model}` needs the table `{name}`", "add `{sample}`")

    partner = Message[str, str, str, str](
        "`{name}` needs `{other}`, {meaning}", "add `{other} ...{unit:spaced}`"
    )


class E0408(Fault):
    """a class without a needed model

    A crusher class needs models for breakage, capacity and power; a screen class for partition;
    a feeder class for capacity; a conveyor class for capacity and belt_power. If the flakiness of a
    product is required, the crushers upstream also need a model for flakiness. For its flat and
    elongated share they need a model for flat_elongated, with the ratio that the plant counts.
    """

    missing = Message[str, str, Iterable[str]](
        "class `{name}` names no {role} model",
        "add `model {role}: ... {{ }}`, one of {known:words}",
    )

    shape = Message[str, str, str, str](
        "`{asked}` can't be computed: the class of {crushers} names no {role} model",
        "add `{sample} {{ css css; best 15 % }}` to the class",
    )

    other_ratio = Message[str, float, str, float](
        "`{asked}` can't be computed: the plant counts pieces {ratio:g} times as long as thick, "
        "the class of {crushers} uses another ratio",
        "ratios can't be converted: state the class's figures for `elongation_ratio {ratio:g}`, "
        "or leave the plant's ratio at {usual:g}",
    )
