"""Which build of the compiler this is, for what is kept from one run to the next.

The version alone does not say: a clone changes from day to day under one version.
"""

from __future__ import annotations

import hashlib
import platform
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from hoggin.world import standard_library

_COMPUTES_WITH = ("numpy", "pydantic", "lark")
_SUFFIXES = frozenset({".py", ".lark", ".hog", ".txt"})


@cache
def build() -> str:
    """A hash of the compiler's own source files and of its standard library. The same sources give
    the same hash on every machine."""
    package, library = Path(__file__).resolve().parent, standard_library()
    own = (path for path in package.rglob("*") if not path.is_relative_to(library))
    return digest([*_contents(package, own), *_contents(library, library.rglob("*"))])


@cache
def fingerprint() -> str:
    """A hash of all that a result depends on besides the plant's sources: this build, and what it
    computes with on this machine."""
    return digest((build(), *_versions()))


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
