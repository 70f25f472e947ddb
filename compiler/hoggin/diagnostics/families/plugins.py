"""E0210 to E0211: what other installed packages add to the compiler."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Message


class E0210(Fault):
    """a check that is not installed

    `checks { NAME }` asks for checks that other packages add to the compiler. A plant that names
    them is never balanced without them, so a missing check is an error and not a silence.
    `hoggin plugins` lists what is installed.

    Wrong: checks { headroon }
    Right: checks { headroom }
    """

    unknown = Message[str](
        "no installed package has the check `{name}`",
        "install the package that has it, or correct the name; `hoggin plugins` lists what is "
        "installed",
    )
    not_names = Message[()]("`checks` lists names", "write `checks {{ headroom }}`")


class E0211(Fault):
    """a plug-in package that can't be used

    A package that adds to the compiler is broken, was written for another version of it, or has a
    name that another package has too. The message says which package it is. Until it is mended or
    removed, a plant that needs it can't be checked.
    """

    broken = Message[str](
        "{reason}",
        "install a version of the package that works with this compiler, or remove what needs it",
    )
