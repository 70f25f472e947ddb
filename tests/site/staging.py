"""The site's sources, laid out as in the repository: the pages of `docs/`, those for contributors
beside them, the API's pages, and what the pages link to."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

from hoggin.handbook.contents import Handbook, Page, handbook

ROOT = Path(__file__).parents[2]
_API = Path(__file__).parent / "api"
_PATH = re.compile(r"(?<=\]\()[\w./-]+(?=[)#])")  # of a link to a file
_LINKED = ("examples", "stdlib")  # folders of the repository that pages link into


def stage(folder: Path) -> Path:
    """Copy everything to a folder; the folder of the pages, whose index gets its trees."""
    book = handbook()
    pages = folder / "docs"
    shutil.copytree(book.folder, pages)
    shutil.copytree(_API, pages / "api")
    for name in _LINKED:
        shutil.copytree(ROOT / name, folder / name)
    for page in book.pages.values():
        (pages / f"{page.name}.md").write_text(_led(book, page), encoding="utf-8")
    with (pages / "index.md").open("a", encoding="utf-8") as index:
        index.writelines(_trees(book))
    return pages


def _led(book: Handbook, page: Page) -> str:
    """A page with its links as they are from the site's folder of pages."""
    copies = {other.file: f"{other.name}.md" for other in book.pages.values()}

    def led(link: re.Match[str]) -> str:
        path = page.target(link[0])
        return copies.get(path, path)

    return _PATH.sub(led, book.text(page.file))


def _trees(book: Handbook) -> Iterator[str]:
    """A tree of navigation for each section of the index."""
    for section in book.sections:
        pages = [page.name for page in section.pages]
        if "python" in pages:
            pages.insert(pages.index("python") + 1, "api/index")
        yield f"\n```{{toctree}}\n:hidden:\n:caption: {section.title}\n\n"
        yield "\n".join(pages) + "\n```\n"
