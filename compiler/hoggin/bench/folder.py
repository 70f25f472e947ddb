"""The folder that the bench works in: its `.hog` files, new ones, and examples to copy into it.

Nothing outside of it is opened or written."""

from __future__ import annotations

import re
from itertools import islice
from pathlib import Path

from hoggin.editor.project import on_disk
from hoggin.errors import HogginError
from hoggin.examples import examples, files

_MOST_FILES = 500
_NAME = re.compile(r"[^\W_][\w. -]*\.hog")  # that every usual file system takes, and no hidden one


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
        """Where a new file of that name goes; its ending may be left out. Raises HogginError with a
        plain sentence."""
        if "." not in name:
            name += ".hog"
        if _NAME.fullmatch(name) is None:
            raise HogginError(
                f"`{name}` can't be the name of a plant's file: use letters, digits, spaces, `-` "
                "and `_`; it ends in `.hog`, as `plant.hog`"
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


def offered() -> list[dict[str, str]]:
    """The examples that are one file each: the name of the file, what it is, and its group."""
    return [
        {"name": one.path.name, "title": one.title, "group": one.heading}
        for one in examples().values()
        if len(files(one)) == 1
    ]


def example_text(name: str) -> str:
    """Raises HogginError."""
    found = examples().get(Path(name).stem)
    contents = {} if found is None or found.path.name != name else files(found)
    if len(contents) != 1:
        raise HogginError(f"there is no example `{name}`")
    (content,) = contents.values()
    return content.decode()
