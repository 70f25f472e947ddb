"""E0410, E0411 and W0103: classes and materials that extend others, and parameters that stand for
classes."""

from __future__ import annotations

from collections.abc import Iterable

from hoggin.diagnostics.fault import Fault, Message


class E0410(Fault):
    """a class or material can't extend this

    A class extends another class of its kind, and a material another material: what it does not
    state, it inherits. One that extends itself, directly or through others, would have no
    beginning.

    Wrong: class crusher ours: screens.inclined { ... }
    Right: class crusher ours: cones.high_speed { ... }
    """

    circle = Message[str, Iterable[str]](
        "a {word} extends itself: {names:chain}", "remove what stands behind the `:` of one of them"
    )
    not_a_material = Message[str, str](
        "`{path}` is not a material: it is a {word}",
        "name a material, as in `material ours: rocks.granite`, with `use std.rocks` above",
    )
    of_other = Message[str]("a {word} can't extend another", "state all its lines here")
    not_a_class = Message[str, str](
        "`{path}` is not a machine class: it is a {word}",
        "`hoggin classes` lists the classes of the library",
    )
    other_kind = Message[str, str, str](
        "`{path}` is a {kind} class, and can't be extended by a {own} class",
        "extend a {own} class; `hoggin classes` lists them",
    )


class E0411(Fault):
    """not what the parameter stands for

    A template's parameter `cone: class crusher` stands for any class of crushers; each section
    made from the template says which. What its machines state is checked against that class.

    Wrong: section a: line(cone: screens.inclined)
    Right: section a: line(cone: cones.high_speed)
    """

    not_a_class = Message[str, str, str](
        "`{name}` stands for a {kind} class, and `{given}` is not a class",
        "name a class, as in `{name}: LIBRARY.CLASS`; `hoggin classes` lists them",
    )
    other_kind = Message[str, str, str, str](
        "`{name}` stands for a {kind} class, and `{given}` is a {own} class",
        "`hoggin classes` lists the classes by kind",
    )
    no_classes = Message[str, Iterable[str]](
        "a {kind} has no class", "write `class` and one of {known:words}"
    )
    in_a_class = Message[()](
        "only a template's parameter can stand for a class",
        "a class takes over another by extending it: `class crusher ours: cones.high_speed`",
    )


class W0103(Fault):
    """a new line that looks like one of the extended class

    The class states something that the class it extends does not have, though that has something
    of nearly this name: the inherited line then still holds.

    Wrong: class crusher ours: cones.high_speed { let instaled = 250 kW }
    Right: class crusher ours: cones.high_speed { let installed = 250 kW }
    """

    new = Message[str, str, str]("`{path}` has no `{name}` that this could replace", "{hint}")
