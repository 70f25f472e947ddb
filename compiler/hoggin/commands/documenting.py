"""`hoggin docs`: the pages of the documentation, in the browser or in the terminal, offline."""

from __future__ import annotations

import argparse
import sys
import webbrowser

from hoggin.caches import cache_folder
from hoggin.commands.output import width_of
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import Exit, HogginError
from hoggin.folding import beside
from hoggin.handbook.contents import Handbook, Page, handbook
from hoggin.world import named
from hoggin.writing import write

_FOLDER = "docs"  # of the user's cache


def docs(options: argparse.Namespace) -> int:
    """List the pages, print one, or open one in the browser."""
    book = handbook()
    with named(book.folder):
        if options.page is None and not options.print:
            print(listing(book), end="")
            return Exit.DONE
        page = _page(book, options.page or "index")
        if options.print:
            print(book.text(page.file), end="")
            return Exit.DONE
        print(_opened(book, page))
    return Exit.DONE


def listing(book: Handbook) -> str:
    """Every page with a line that says what it is for, by section."""
    wide = max(map(len, book.pages)) + 4
    width, lines = width_of(sys.stdout), []
    for section in book.sections:
        lines += [f"{section.title}:"]
        lines += [beside(f"  {one.name}".ljust(wide), one.about, width) for one in section.pages]
        lines += [""]
    lines += ["`hoggin docs NAME` opens a page in the browser, `--print` prints it here."]
    return "".join(f"{line}\n" for line in lines)


def _page(book: Handbook, name: str) -> Page:
    found = book.pages.get(name.lower().removesuffix(".md"))
    if found is None:
        raise HogginError(f"there is no page `{name}`. {did_you_mean(name, book.pages)}")
    return found


def _opened(book: Handbook, page: Page) -> str:
    """Open a page in the browser; its address, for a browser that does not come up."""
    from hoggin.handbook.rendering import rendered

    folder = cache_folder(_FOLDER)
    if folder is None:
        raise HogginError("there is no folder for the pages: use --print, or set XDG_CACHE_HOME")
    write(rendered(book), folder)
    address = (folder / f"{page.name}.html").as_uri()
    webbrowser.open(address)
    return address
