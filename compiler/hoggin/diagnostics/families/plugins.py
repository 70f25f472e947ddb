"""E0210 and E0211: packages that add to the compiler."""

from __future__ import annotations

from hoggin.diagnostics.fault import Fault, Message


class E0210(Fault):
    """a check that is not installed

    `checks { NAME }` names checks that other packages add to the compiler. A plant that names a
    check is never balanced without it, so a missing check is an error. `hoggin plugins` lists what
    is installed.

    Wrong: checks { headroon }
    Right: checks { headroom }
    """

    unknown = Message[str](
        "no installed package has the check `{name}`",
        "install its package, or correct the name; `hoggin plugins` lists what is installed",
    )
    not_names = Message[()]("`checks` lists names", "write `checks {{ headroom }}`")


class E0211(Fault):
    """a plug-in package that can't be used

    A package that adds to the compiler is broken, was written for another version of it, or has a
    name that another package also has. The message names the package. A plant that needs it can't
    be checked until the package is repaired or removed.
    """

    broken = Message[str](
        "{reason}",
        "install a version of the package that works with this compiler, or remove what needs it",
    )
