"""Which pages there are, in which sections: what `docs/index.md` lists."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from hoggin.world import read_text, shipped

_FOLDER = "docs"  # of the pages, as pages from outside it name it
_INDEX = "index.md"
_REMARK = re.compile(r"\A<!--.*?-->\n", re.DOTALL)
_SECTION = re.compile(r"## (.+)")
_ENTRY = re.compile(r"- \[([^\]]+)\]\(([\w./]+\.md)\): ((?:.+\n?)(?: {2}.+\n?)*)")


@dataclass(frozen=True, slots=True)
class Page:
    """`name` is what a user calls it, `language`; `file` is its path, seen from the index."""

    name: str
    file: str
    title: str
    about: str

    def target(self, link: str) -> str:
        """The path of what the page links to, seen from the index."""
        path = posixpath.join(_FOLDER, posixpath.dirname(self.file), link)
        return posixpath.relpath(posixpath.normpath(path), _FOLDER)


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    pages: tuple[Page, ...]


@dataclass(frozen=True)
class Handbook:
    """The pages of a folder."""

    folder: Path

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """The sections of the index. What the folder does not have is left out: an installed
        package has no pages for contributors."""
        _, *parts = re.split(r"^(?=## )", self.text(_INDEX), flags=re.MULTILINE)
        found = (Section(_title(part), tuple(self._pages(part))) for part in parts)
        return tuple(section for section in found if section.pages)

    @cached_property
    def pages(self) -> dict[str, Page]:
        """Every page by its name, the index first."""
        index = Page("index", _INDEX, "Contents", "all pages")
        listed = (page for section in self.sections for page in section.pages)
        return {page.name: page for page in (index, *listed)}

    def text(self, file: str) -> str:
        """The Markdown of a page, without the remark on where a page made by a program is from."""
        return _REMARK.sub("", read_text(self.folder / file))

    def _pages(self, part: str) -> Iterator[Page]:
        for title, file, about in _ENTRY.findall(part):
            if (self.folder / file).is_file():
                yield Page(Path(file).stem.lower(), file, title, " ".join(about.split()))


def handbook() -> Handbook:
    """The pages that come with the compiler."""
    return Handbook(shipped(_FOLDER))


def _title(part: str) -> str:
    found = _SECTION.match(part)
    assert found is not None, "it was split there"
    return found[1].strip()
