"""Libraries of machine classes that packages bring: `use NAME.file` reads `file.hog` of the package
that offers NAME."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from hoggin.errors import PluginError
from hoggin.plugins.offers import clash, find, offers


def folder(name: str) -> Path | None:
    """The folder of a package's `.hog` files; None where no package offers the name. Raises
    PluginError."""
    offer = find("libraries", name)
    return None if offer is None else offer.folder()


def names() -> tuple[str, ...]:
    """Every library of every package that can be used, by its full name, in order."""
    found = []
    for name, same in offers("libraries").items():
        with suppress(PluginError):  # `hoggin plugins` says what is wrong with it
            if clash(same) is not None:
                continue
            base = same[0].folder()
            paths = (path.relative_to(base) for path in sorted(base.rglob("*.hog")))
            found += [".".join((name, *path.with_suffix("").parts)) for path in paths]
    return tuple(found)
