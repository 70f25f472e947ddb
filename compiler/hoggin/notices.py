"""Whose work Hoggin is made with, and under which licences: what its own package contains
(`NOTICE`), and the packages that it is installed with, by their own metadata."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import Distribution, PackageNotFoundError, distribution

from hoggin.world import read_text, shipped

_NAME = re.compile(r"[\w.-]+")
_EXTRA = re.compile(r"""extra\s*==\s*["']([\w-]+)""")
_FOR_DEVELOPERS = frozenset({"mutation", "notebook", "site", "standalone", "test"})
_TEXT = re.compile(r"(?i)licenses/.+|(LICEN[CS]E|COPYING|NOTICE)[^/]*")
_TITLE = "License :: OSI Approved :: "
_LONGEST = 60  # characters of a licence's name; some packages put its whole text there


@dataclass(frozen=True, slots=True)
class Package:
    """An installed package."""

    name: str
    version: str
    licence: str
    files: tuple[str, ...]  # of its licence, in the folder of its metadata

    def text(self) -> str:
        """Its licence in full, and its notices."""
        found = distribution(self.name)
        texts = (found.read_text(file) or "" for file in self.files)
        return "\n".join(f"{text.strip()}\n" for text in texts)


def own() -> str:
    """What Hoggin's own package contains. Raises UnreadableError."""
    return read_text(shipped("NOTICE"))


def packages() -> tuple[Package, ...]:
    """The packages that Hoggin needs and those of its extras that are installed, by name; none
    where Hoggin itself is not installed."""
    found: dict[str, Package] = {}
    _follow("hoggin", found, extras=True)
    found.pop("hoggin", None)
    return tuple(found[name] for name in sorted(found))


def _follow(name: str, found: dict[str, Package], *, extras: bool) -> None:
    try:
        package = distribution(name)
    except PackageNotFoundError:  # an extra, or for another system
        return
    if package.name.lower() in found:
        return
    found[package.name.lower()] = _described(package)
    for needed in _needs(package, extras=extras):
        _follow(needed, found, extras=False)


def _needs(package: Distribution, *, extras: bool) -> Iterator[str]:
    for needed in package.requires or ():
        name, extra = _NAME.match(needed), _EXTRA.search(needed)
        if name and (extra is None or (extras and extra[1] not in _FOR_DEVELOPERS)):
            yield name[0]


def _described(package: Distribution) -> Package:
    said = package.metadata
    titles = (line.removeprefix(_TITLE) for line in said.get_all("Classifier") or ())
    titled = ", ".join(title for title in titles if "::" not in title)
    written = (said["License"] or "").strip()
    short = written if "\n" not in written and len(written) <= _LONGEST else ""
    beside = (file for file in package.files or () if file.parts[0].endswith(".dist-info"))
    files = ("/".join(file.parts[1:]) for file in beside)
    return Package(
        package.name,
        package.version,
        said["License-Expression"] or short or titled or "see its licence text",
        tuple(sorted(file for file in files if _TEXT.fullmatch(file))),
    )
