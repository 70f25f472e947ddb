"""The one door to files: the plant's own folder, and the library that comes with the compiler.

A `use` reaches an installed library, the compiler's own or that of a plug-in package, or a file
under the project root, and nothing else.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import cache, lru_cache
from pathlib import Path

from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError

LARGEST_FILE = 16_000_000  # bytes
_SKIPPED = ("out", "node_modules", "__pycache__")


class UnreadableError(HogginError):
    """A file can't be read; the message says why, in a plain sentence."""


@contextmanager
def named(name: Path | str) -> Iterator[None]:
    """What can't be read while it lasts is called by this name in the message."""
    try:
        yield
    except UnreadableError as fault:
        raise UnreadableError(f"`{name}`: {fault}") from None


@lru_cache(maxsize=256)
def _source(name: str, text: str) -> Source:
    """One source for a text of a name, so that it is parsed once."""
    return Source(name, text)


class OutsideRootError(UnreadableError):
    """A path leads out of the project root."""


def shipped(name: str) -> Path:
    """A folder or file that comes with the compiler: in the package in a wheel, at the repository's
    top in a clone that is installed editable."""
    package = Path(__file__).resolve().parent
    installed = package / name
    return installed if installed.exists() else package.parents[1] / name


def standard_library() -> Path:
    """The folder of the standard library's `.hog` files."""
    return shipped("stdlib")


class World:
    """Reads sources for one plant file from the disk. The project root is the nearest folder above
    the file that holds a `.git`, or else the file's own folder."""

    def __init__(self, main: Path) -> None:
        self.main = self._resolve(main.parent) / main.name
        self.root = self._find_root()
        self.main = self._followed(self.main)
        self._sources: dict[str, Source] = {}
        self._paths: dict[str, Path] = {}  # of what is under the root, by the name it is shown by

    def _find_root(self) -> Path:
        above = (folder for folder in self.main.parents if (folder / ".git").exists())
        return next(above, self.main.parent)

    def _followed(self, path: Path) -> Path:
        """The `.hog` file that a path leads to. Raises OutsideRootError where it leaves the project
        root, and UnreadableError where a link leads to another kind of file: messages would print
        its lines."""
        found = self._resolve(path)
        if not found.is_relative_to(self.root):
            raise OutsideRootError("it lies outside the project root")
        if path.suffix == ".hog" != found.suffix:
            raise UnreadableError("it is a link to a file whose name does not end in `.hog`")
        return found

    # The three below are all that another kind of store has to do its own way (`revisions`).

    def _resolve(self, path: Path) -> Path:
        """The path with `..` and links followed. Raises UnreadableError."""
        try:
            return path.resolve()
        except (OSError, RuntimeError, ValueError) as fault:
            raise UnreadableError("the path can't be followed") from fault

    def _bytes(self, path: Path) -> bytes:
        """A file's content. Raises UnreadableError."""
        return read_bytes(path)

    def open_main(self) -> Source:
        return self._read(self.main, self._shown(self.main))

    def open_library(self, name: str) -> Source:
        """A library of the compiler or of a plug-in package, by its full name. Raises
        UnreadableError, and PluginError for a package that can't be used."""
        path = library_path(name)
        return self._keep(name, lambda: read_bytes(path))

    def open_relative(self, written: str, used_in: Source) -> Source:
        """A user's own library file, by its path from the file that uses it.

        Raises OutsideRootError where the path (links followed) leaves the project root.
        """
        own = used_in.name in self._paths  # though it were called `std.hog`
        if not own and is_library(used_in.name):
            raise UnreadableError("an installed library uses other installed libraries only")
        if "\0" in written or not written.endswith(".hog"):
            raise UnreadableError("a library file's name ends in `.hog`")
        base = self._paths.get(used_in.name, self.root / used_in.name).parent
        path = self._followed(base / written)
        return self._read(path, self._shown(path))

    @property
    def sources(self) -> Mapping[str, Source]:
        """Every source read so far, by the name it is shown by."""
        return self._sources

    def _shown(self, path: Path) -> str:
        """By its path from the root. A name that is no text is shown as one that any file can
        hold."""
        name = path.relative_to(self.root).as_posix()
        shown = name.encode(errors="backslashreplace").decode()
        self._paths[shown] = path
        return shown

    def _read(self, path: Path, name: str) -> Source:
        return self._keep(name, lambda: self._bytes(path))

    def _keep(self, name: str, read: Callable[[], bytes]) -> Source:
        if name not in self._sources:
            self._sources[name] = _source(name, decoded(read()))
        return self._sources[name]


def is_library(name: str) -> bool:
    """Whether a source is an installed library, by the name it is shown by: `std.cones`."""
    return re.fullmatch(r"\w+(\.\w+)+", name) is not None and not name.endswith(".hog")


def library_path(name: str) -> Path:
    """Where an installed library stands. Raises UnreadableError, and PluginError."""
    namespace, *rest = name.split(".")
    base: Path | None = standard_library()
    if namespace != "std":
        from hoggin.plugins.libraries import folder  # most plants use none

        base = folder(namespace)
    if base is None:
        raise UnreadableError(f"no installed package has the library `{namespace}`")
    return base.joinpath(*rest).with_suffix(".hog")


def installed_libraries() -> tuple[str, ...]:
    """The standard libraries, and those of plug-in packages."""
    from hoggin.plugins.libraries import names

    return (*library_names(), *names())


@cache
def library_names() -> tuple[str, ...]:
    """Every standard library by its full name, in order: `std.cones`, `std.gradings.astm` ..."""
    base = standard_library()
    paths = (path.relative_to(base).with_suffix("") for path in sorted(base.rglob("*.hog")))
    return tuple("std." + ".".join(path.parts) for path in paths)


def read_bytes(path: Path) -> bytes:
    """A file's content. Raises UnreadableError with a plain sentence."""
    try:
        if not path.is_file():
            raise UnreadableError(
                "there is no such file" if not path.exists() else "it is not a file"
            )
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)  # its stated size may be another
        if len(content) > LARGEST_FILE:
            raise UnreadableError(f"it is larger than {LARGEST_FILE // 1_000_000} MB")
        return content
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise UnreadableError(f"it can't be read: {reason}") from fault


def walk(folder: Path) -> Iterator[tuple[Path, list[str], list[str]]]:
    """Every folder from this one down, with the names of the folders and files in it, as `os.walk`
    gives them. Raises UnreadableError for a folder that can't be read: its contents would be left
    out silently."""

    def refuse(fault: OSError) -> None:
        raise UnreadableError(f"`{fault.filename}`: it can't be read: {fault.strerror}") from fault

    for here, folders, names in os.walk(folder, onerror=refuse):
        yield Path(here), folders, names


def files_below(folder: Path) -> list[Path]:
    """Every file in a folder and below, in order. Hidden folders, and those that this and other
    programs write, are left out. Raises UnreadableError."""
    found: list[Path] = []
    for here, folders, names in walk(folder):
        folders[:] = [name for name in folders if name[0] != "." and name not in _SKIPPED]
        found += [here / name for name in names]
    return sorted(found, key=lambda path: path.parts)


def sources_below(folder: Path) -> list[Path]:
    """Every `.hog` file in a folder and below, in order, as `files_below`."""
    return [path for path in files_below(folder) if path.suffix == ".hog" and path.is_file()]


def refuse_link_out(path: Path, folder: Path) -> None:
    """Raises OutsideRootError where a file in a folder is a link to one that is not in it."""
    if not path.resolve().is_relative_to(folder.resolve()):
        raise OutsideRootError(f"`{path}`: it is a link out of `{folder}`")


def read_text(path: Path) -> str:
    """A source's text, line ends as `\\n`. Raises UnreadableError."""
    return decoded(read_bytes(path))


def decoded(data: bytes) -> str:
    """Bytes as a source's text. Raises UnreadableError where they are not UTF-8."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise UnreadableError(f"byte {fault.start} is not UTF-8 text") from fault
    return text.replace("\r\n", "\n").replace("\r", "\n")
