"""What a folder of pages must keep to: every link leads somewhere, nothing is asked of the network,
and nothing tells on which machine it was made."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from urllib.parse import unquote, urlsplit

_MACHINE = re.compile(r"(?<![\w.])/(?:work|home|root|tmp|usr|opt|Users)/\S*")
_ASKED = re.compile(r"""(?:@import\s|url\(\s*)["']?(?:https?:)?//[^)"']*""")
_TEXTS = (".html", ".js", ".css", ".svg", ".txt", ".hog")
_LOADED = {"script": "src", "img": "src", "link": "href", "iframe": "src", "source": "src"}


def faults(files: Mapping[str, bytes]) -> list[str]:
    """Everything that is wrong with a set of pages, by file name."""
    texts = {n: content.decode() for n, content in files.items() if n.endswith(_TEXTS)}
    pages = {name: _Page.of(text) for name, text in texts.items() if name.endswith(".html")}
    found = []
    for name, text in texts.items():
        found += [f"{name}: a path of a machine: {path}" for path in _MACHINE.findall(text)]
        found += [f"{name}: asks the network: {one}" for one in _ASKED.findall(text)]
    for name, page in pages.items():
        found += [f"{name}: asks the network: {one}" for one in page.loaded if _is_away(one)]
        found += [f"{name}: {one}" for one in _broken(name, page, pages, files)]
    return found


class _Page(HTMLParser):
    """The anchors of a page, its links, and what a browser loads for it."""

    def __init__(self) -> None:
        super().__init__()
        self.anchors = {""}  # the page itself
        self.links: list[str] = []
        self.loaded: list[str] = []

    @classmethod
    def of(cls, text: str) -> _Page:
        page = cls()
        page.feed(text)
        return page

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if given.get("id"):
            self.anchors.add(given["id"] or "")
        if tag == "a" and given.get("href"):
            self.links.append(given["href"] or "")
        if tag in _LOADED and given.get(_LOADED[tag]):
            self.loaded.append(given[_LOADED[tag]] or "")


def _broken(
    name: str, page: _Page, pages: Mapping[str, _Page], files: Mapping[str, bytes]
) -> Iterator[str]:
    for link in (*page.links, *page.loaded):
        address = urlsplit(link)
        if _is_away(link) or address.scheme:
            continue
        path = unquote(address.path)
        target = posixpath.normpath(posixpath.join(posixpath.dirname(name), path)) if path else name
        if target not in files:
            yield f"a link to a file that is not there: {link}"
        elif target in pages and unquote(address.fragment) not in pages[target].anchors:
            yield f"a link to an anchor that is not there: {link}"


def _is_away(link: str) -> bool:
    return link.startswith(("http:", "https:", "//"))
