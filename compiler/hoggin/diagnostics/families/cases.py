"""The cases of a plant."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.fault import Fault, Message, Unknown


class E0212(Fault):
    """a case that can't be applied to the plant

    A case is another state of the same plant. Each of its lines names something that the plant's
    file states, and gives it another value: `secondary.css` a setting, `sorting.top` an aperture,
    `shot_rock.rate` a fact of a feed, `granite.moisture` a fact of a material,
    `rocks.granite.moisture` that of a library's material, `operation.shifts` what the plant states
    of its operation, a `let` by its name, and the option of a `choose`. It may extend another case,
    and a requirement may name the cases it applies to.

    Wrong: case wet { secndary.css 45 mm }
    Right: case wet { secondary.css 45 mm }
    """

    no_case = Unknown[str]("the plant has no case `{name}`")
    circle = Message[Iterable[str]](
        "cases extend each other in a circle: {names:chain}",
        "write one of them without `: CASE`, so that it starts from the plant",
    )
    of_nothing = Unknown[str]("the plant's file has no `{name}`")
    no_option = Unknown[str, str]("`{choose}` has no option `{name}`")
    no_material = Unknown[str, str]("the library `{library}` has no material `{name}`")
    year = Message[()](
        "a case states its hours per year as `hours`",
        "write `hours 600 h` in the case",
    )
    one_value = Message[str]("`{name}` needs one value", "write a value, not a list")
    of_template = Message[()](
        "a requirement of a template applies to every case",
        "write the requirement in the plant, as `require SECTION.NAME.rate >= 50 t/h in wet`",
    )
    hours = Message[str, str](
        "the hours of the cases add up to {all}, but the plant has {year} per year",
        "reduce the `hours` of a case, or increase `hours_per_year`",
    )


class W0104(Fault):
    """a case that changes nothing

    The case is the same as the plant or case it extends, and has no hours and no requirement of its
    own. Often a value was forgotten, or the plant already has it.
    """

    same_plant = Message[str](
        "case `{name}` is the same as the plant as written",
        "change a value in it, give it `hours`, or remove it",
    )
    same_case = Message[str, str](
        "case `{name}` is the same as case `{of}`",
        "change a value in it, give it `hours`, or remove it",
    )
