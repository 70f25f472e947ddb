"""The folder that the bench works in: its `.hog` files, new ones, and examples to copy into it.

Nothing outside of it is opened or written."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from hoggin.editor.project import on_disk
from hoggin.errors import HogginError
from hoggin.world import UnreadableError, read_text, standard_library

_MOST_FILES = 500
_NAME = re.compile(r"[^\W_][\w. -]*\.hog")  # that every usual file system takes, and no hidden one
_TITLE = re.compile(r'^plant "([^"\n]*)"', re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Example:
    """A plant that comes with the compiler. `about` is its first comment."""

    name: str
    title: str
    about: str


class Folder:
    """Files have numbers, by which pages name them: in the order in which they were seen."""

    def __init__(self, root: Path) -> None:
        self.root = root.resolve()
        self._numbers: dict[Path, int] = {}

    def files(self) -> list[tuple[int, str]]:
        """The number and the name of every file, by the names."""
        paths = [path for path in islice(on_disk(self.root), _MOST_FILES) if self.holds(path)]
        return [(self.number(path), self.name(path)) for path in sorted(paths)]

    def holds(self, path: Path) -> bool:
        """Whether it is a `.hog` file of this folder, where links lead to as well."""
        inside = path.resolve().is_relative_to(self.root)
        return inside and path.suffix == path.resolve().suffix == ".hog" and path.is_file()

    def number(self, path: Path) -> int:
        return self._numbers.setdefault(path.resolve(), len(self._numbers) + 1)

    def path(self, number: int) -> Path | None:
        return next((path for path, its in self._numbers.items() if its == number), None)

    def name(self, path: Path) -> str:
        return path.relative_to(self.root).as_posix()

    def new(self, name: str) -> Path:
        """Where a new file of that name goes. Raises HogginError with a plain sentence."""
        if _NAME.fullmatch(name) is None:
            raise HogginError(
                "a file's name has letters, digits, `-` and `_`, and ends in `.hog`, as `plant.hog`"
            )
        path = self.root / name
        if path.exists() or path.is_symlink():
            raise HogginError(f"`{name}` already exists and is not changed; give another name")
        return path

    def free(self, name: str) -> Path:
        """Where a copy called so goes: the first of `quarry.hog`, `quarry_2.hog` ... that is free.
        Raises HogginError."""
        stem = Path(name).stem
        names = (name, *(f"{stem}_{count}.hog" for count in range(2, _MOST_FILES)))
        found = next((one for one in names if not (self.root / one).exists()), name)
        return self.new(found)


def examples() -> list[Example]:
    """The examples that are one file each, by name."""
    return [_example(path) for path in sorted(_examples().glob("*.hog"))]


def example_text(name: str) -> str:
    """Raises UnreadableError."""
    if name not in {one.name for one in examples()}:
        raise UnreadableError(f"there is no example `{name}`")
    return read_text(_examples() / name)


def _examples() -> Path:
    """Beside the standard library: in the package of a wheel, at the top of a clone."""
    return standard_library().parent / "examples"


def _example(path: Path) -> Example:
    text = read_text(path)
    title = _TITLE.search(text)
    comment = []
    for line in text.splitlines():
        if not line.startswith("#"):
            break
        comment.append(line.lstrip("# "))
    return Example(path.name, title[1] if title else path.stem, " ".join(comment))
