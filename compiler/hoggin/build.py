"""Which build of the compiler this is, for what is kept from one run to the next.

The version alone does not say: a clone changes from day to day under one version.
"""

from __future__ import annotations

import hashlib
import importlib.util
import platform
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from hoggin.plugins.offers import all_offers
from hoggin.world import standard_library

_COMPUTES_WITH = ("numpy", "pydantic", "lark")
_BESIDE = ("docs", "editor_support", "examples", "stdlib")
"""Folders that a wheel has in the package and a clone has at its top. No result depends on them,
except on the standard library, which is counted wherever it is."""
_SUFFIXES = frozenset({".py", ".lark", ".hog", ".txt"})


@cache
def build() -> str:
    """A hash of the compiler's own source files and of its standard library. The same sources give
    the same hash on every machine."""
    package, library = Path(__file__).resolve().parent, standard_library()
    own = (path for path in package.rglob("*") if path.relative_to(package).parts[0] not in _BESIDE)
    return digest([*_contents(package, own), *_contents(library, library.rglob("*"))])


@cache
def fingerprint() -> str:
    """A hash of all that a result depends on besides the plant's sources: this build, what it
    computes with on this machine, and the plug-in packages."""
    return digest((build(), *_versions(), *plugins()))


def plugins() -> list[str]:
    """The plug-in packages that are installed, with the hash of the source files that each offers
    things from: a package may change under one version, too."""
    found: list[str] = []
    for offer in all_offers():
        found += [offer.group, offer.name, offer.package, offer.version]
        with suppress(ImportError, ValueError, AttributeError):
            spec = importlib.util.find_spec(offer.entry.module.partition(".")[0])
            folders = [] if spec is None else spec.submodule_search_locations or ()
            for folder in map(Path, folders):
                found += _contents(folder, folder.rglob("*"))
            if spec is not None and not folders and spec.origin is not None:
                module = Path(spec.origin)
                found += _contents(module.parent, [module])
    return found


def digest(parts: Iterable[str]) -> str:
    """A hash of texts that depends on where each one ends: each is preceded by its length."""
    whole = hashlib.sha256()
    for part in parts:
        data = part.encode("utf-8", "surrogatepass")
        whole.update(b"%d:" % len(data) + data)
    return whole.hexdigest()


def _contents(folder: Path, paths: Iterable[Path]) -> Iterator[str]:
    """The name and the hash of every source file, line ends as `\\n`."""
    files = (path for path in paths if path.suffix in _SUFFIXES)
    for name, path in sorted((path.relative_to(folder).as_posix(), path) for path in files):
        yield name
        yield hashlib.sha256(path.read_bytes().replace(b"\r\n", b"\n")).hexdigest()


def _versions() -> list[str]:
    found = [platform.python_implementation(), platform.python_version(), platform.machine()]
    for name in _COMPUTES_WITH:
        try:
            found.append(f"{name} {version(name)}")
        except PackageNotFoundError:
            found.append(f"{name} of unknown version")
    return found
