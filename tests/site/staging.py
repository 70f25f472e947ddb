"""The site's sources, laid out as in the repository: the pages of `docs/`, those for contributors
beside them, the API's pages, and what the pages link to."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

from hoggin.handbook.contents import Handbook, handbook

ROOT = Path(__file__).parents[2]
_API = Path(__file__).parent / "api"
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
        if page.file.startswith("../"):
            text = re.sub(r"(?<=\]\()(?=[\w.])", "../", book.text(page.file))
            (pages / f"{page.name}.md").write_text(text.replace("(../docs/", "("), "utf-8")
    index = pages / "index.md"
    index.write_text(_led(book.text(index.name), book) + "".join(_trees(book)), "utf-8")
    return pages


def _led(text: str, book: Handbook) -> str:
    """A text with its links to pages outside `docs/` leading to their copies."""
    for page in book.pages.values():
        text = text.replace(f"]({page.file}", f"]({page.name}.md")
    return text


def _trees(book: Handbook) -> Iterator[str]:
    """A tree of navigation for each section of the index."""
    for section in book.sections:
        pages = [page.name for page in section.pages]
        if "python" in pages:
            pages.insert(pages.index("python") + 1, "api/index")
        yield f"\n```{{toctree}}\n:hidden:\n:caption: {section.title}\n\n"
        yield "\n".join(pages) + "\n```\n"
