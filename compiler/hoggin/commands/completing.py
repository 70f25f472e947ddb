"""`hoggin completion`: the words a shell offers at the Tab key, read from the commands themselves
and from the plant that is on the line."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TypeAlias

from hoggin.commands.shells import script
from hoggin.errors import Exit, HogginError

ASKED_BY = "_ARGCOMPLETE"  # set in the environment where a shell asks

Completer: TypeAlias = "Callable[..., Iterable[str]]"  # a mapping says what each word is


def completion(options: argparse.Namespace) -> int:
    """Print the script that a shell reads at its start."""
    print(script(options.shell), end="")
    return Exit.DONE


def answer_shell(parser: argparse.ArgumentParser) -> None:
    """Tell the shell which words fit where the cursor is, and end."""
    import argcomplete

    for action in _actions(parser):
        action.completer = _completer(action)  # type: ignore[attr-defined]
    argcomplete.autocomplete(parser, always_complete_options=False)


def _actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """Every argument of the command line and of its commands that is not one of a few words."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                yield from _actions(command)
        elif action.choices is None:
            yield action


def _completer(action: argparse.Action) -> Completer:
    """What fits an argument, by its metavar."""
    from hoggin.commands.plant_names import NAMES, NAMES_IN_QUOTES

    shown = str(action.metavar)
    if shown in NAMES:
        return _of_plant((NAMES_IN_QUOTES if _in_quotes() else NAMES)[shown])
    if shown in _ENDINGS:
        return _paths(*_ENDINGS[shown])
    return _LISTED.get(shown, _nothing)


def _in_quotes() -> bool:
    """Whether the cursor is after a quotation mark that nothing has closed."""
    from argcomplete.lexers import split_line

    quote, *_ = split_line(os.environ["COMP_LINE"], int(os.environ["COMP_POINT"]))
    return bool(quote)


def _paths(*endings: str) -> Completer:
    """Files with these endings, and folders."""

    def found(prefix: str, **_: object) -> Iterator[str]:
        folder, slash, begun = prefix.rpartition("/")
        folder += slash
        with suppress(OSError):
            for one in sorted(Path(folder or ".").expanduser().iterdir()):
                hidden = one.name.startswith(".") and not begun
                if one.is_dir() and not hidden:
                    yield f"{folder}{one.name}/"
                elif one.name.endswith(endings) and not hidden:
                    yield f"{folder}{one.name}"

    return found


def _of_plant(names: Callable[[Path, str], Mapping[str, str]]) -> Completer:
    """Names of the plant that is on the line before the cursor."""

    def found(prefix: str, parsed_args: argparse.Namespace, **_: object) -> Mapping[str, str]:
        for place in ("file", "after", "before"):
            named = getattr(parsed_args, place, None)
            if named is not None and Path(named).is_file():
                with suppress(HogginError, OSError):
                    return names(Path(named), prefix)
        return {}

    return found


def _nothing(**_: object) -> Iterable[str]:
    """For a number, a date, and whatever else only the user knows."""
    return ()


def _codes(**_: object) -> list[str]:
    from hoggin.diagnostics.codes import CODES

    return list(CODES)


def _bands(**_: object) -> list[str]:
    from hoggin.check.bands import library_bands

    return list(library_bands())


def _classes(**_: object) -> list[str]:
    from hoggin.check.library import load_library
    from hoggin.world import library_names

    return [
        f"{library}.{name}" for library in library_names() for name in load_library(library).classes
    ]


def _breakage(**_: object) -> Iterable[str]:
    from hoggin.models import catalog

    return catalog.names("breakage")


_LISTED: Mapping[str, Completer] = {
    "BAND": _bands,
    "CLASS": _classes,
    "CODE": _codes,
    "MODEL": _breakage,
}
_PLANT = (".hog",)
_ENDINGS: Mapping[str, tuple[str, ...]] = {
    "FOLDER": (),
    "FILE": ("",),
    "FILE.hog": _PLANT,
    "NEW.hog": _PLANT,
    "BEFORE": (*_PLANT, ".json"),
    "AFTER": (*_PLANT, ".json"),
    "DATA.csv": (".csv", *_PLANT),
    "FILE.csv": (".csv",),
    "FILE.md": (".md",),
    "FILE.xml": (".xml",),
    "FILE.sarif": (".sarif",),
    "SHEET": (".csv", ".xlsx"),
}
