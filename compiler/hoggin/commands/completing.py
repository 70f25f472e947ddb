"""`hoggin completion`: the words a shell offers at the Tab key, read from the commands themselves.

The shell's script runs `hoggin` again with `_ARGCOMPLETE` set, so it never goes stale.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable

ASKED_BY = "_ARGCOMPLETE"  # set in the environment where a shell asks


def completion(options: argparse.Namespace) -> int:
    """Print the script that a shell reads at its start."""
    from argcomplete.shell_integration import shellcode

    print(shellcode(["hoggin"], shell=options.shell).strip())
    return 0


def answer_shell(parser: argparse.ArgumentParser) -> None:
    """Tell the shell which words fit where the cursor is, and end."""
    import argcomplete

    for action in _actions(parser):
        _say_what_fits(action)
    argcomplete.autocomplete(parser)


def _actions(parser: argparse.ArgumentParser) -> Iterable[argparse.Action]:
    """Every argument of the command line and of its commands."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                yield from _actions(command)
        else:
            yield action


def _say_what_fits(action: argparse.Action) -> None:
    from argcomplete.completers import DirectoriesCompleter, FilesCompleter

    shown = action.metavar if isinstance(action.metavar, str) else ""
    fitting = {
        "FOLDER": DirectoriesCompleter(),
        "DATA.csv": FilesCompleter(("csv",)),
        **dict.fromkeys(("FILE", "FILE.hog", "BEFORE", "AFTER"), FilesCompleter(("hog",))),
        **_NAMED,
    }
    if shown in fitting:
        action.completer = fitting[shown]  # type: ignore[attr-defined]


def _codes(prefix: str, **_: object) -> list[str]:
    from hoggin.diagnostics.codes import CODES

    return [code for code in CODES if code.startswith(prefix.upper())]


def _bands(**_: object) -> list[str]:
    from hoggin.check.bands import library_bands

    return list(library_bands())


def _classes(**_: object) -> list[str]:
    from hoggin.check.library import load_library
    from hoggin.world import library_names

    return [
        f"{library}.{name}" for library in library_names() for name in load_library(library).classes
    ]


def _examples(**_: object) -> list[str]:
    from hoggin.examples import examples

    return list(examples())


def _editors(**_: object) -> list[str]:
    from hoggin.commands.editors import EDITORS

    return list(EDITORS)


_NAMED = {
    "BAND": _bands,
    "CLASS": _classes,
    "CODE": _codes,
    "EDITOR": _editors,
    "EXAMPLE": _examples,
}
