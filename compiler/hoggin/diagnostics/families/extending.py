"""E0410, E0411 and W0103: classes and materials that extend others, and parameters that stand for
classes."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.fault import Fault, Message


class E0410(Fault):
    """a class or material can't extend this

    A class extends another class of its kind, and a material another material: what it does not
    state, it inherits. None can extend itself, directly or through others.

    Wrong: class crusher ours: screens.inclined { ... }
    Right: class crusher ours: cones.high_speed { ... }
    """

    circle = Message[str, Iterable[str]](
        "a {word} extends itself: {names:chain}", "remove the `: ...` of one of them"
    )
    not_a_material = Message[str, str](
        "`{path}` is not a material: it is a {word}",
        "name a material, as in `material ours: rocks.granite`, with `use std.rocks` above",
    )
    of_other = Message[str]("a {word} can't extend another", "write all its lines here")
    not_a_class = Message[str, str](
        "`{path}` is not a machine class: it is a {word}",
        "name a class; `hoggin classes` lists those of the library",
    )
    other_kind = Message[str, str, str](
        "`{path}` is a {kind} class, which a {own} class can't extend",
        "extend a {own} class; `hoggin classes` lists them",
    )


class E0411(Fault):
    """the wrong class for a parameter

    A template's parameter `cone: class crusher` accepts any crusher class; each section of the
    template names one. The machines' lines are checked against that class.

    Wrong: section a: line(cone: screens.inclined)
    Right: section a: line(cone: cones.high_speed)
    """

    not_a_class = Message[str, str, str](
        "`{name}` needs a {kind} class, but `{given}` is not a class",
        "name a class, as in `{name}: LIBRARY.CLASS`; `hoggin classes` lists them",
    )
    other_kind = Message[str, str, str, str](
        "`{name}` needs a {kind} class, but `{given}` is a {own} class",
        "name a {kind} class; `hoggin classes` lists them by kind",
    )
    no_classes = Message[str, Iterable[str]](
        "a {kind} has no class", "write `class` and one of {known:words}"
    )
    in_a_class = Message[()](
        "only a parameter of a template can be a class",
        "extend a class instead: `class crusher ours: cones.high_speed`",
    )


class W0103(Fault):
    """a new line that looks like one of the extended class

    The class has a line that the extended class does not have, but the extended class has one with
    a similar name. The inherited line then still applies.

    Wrong: class crusher ours: cones.high_speed { let instaled = 250 kW }
    Right: class crusher ours: cones.high_speed { let installed = 250 kW }
    """

    new = Message[str, str, str]("`{path}` has no `{name}` to replace", "{hint}")
