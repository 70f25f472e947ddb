"""The pages as HTML files that link to one another and need nothing else than the pictures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape
from pathlib import PurePosixPath
from urllib.parse import urlsplit

from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token

from hoggin.handbook.colours import coloured
from hoggin.handbook.contents import Handbook, Page
from hoggin.handbook.formulas import typeset
from hoggin.report.templating import render
from hoggin.world import read_bytes

_PICTURES = ("*.svg", "*.png")
_PLANT = "hog"  # the language of a fence with text of a plant
_LEVELS = ("h2", "h3")  # of the headings that a page's own contents list


def rendered(book: Handbook) -> dict[str, bytes]:
    """Every page, and every picture, by file name."""
    files = {f"{page.name}.html": _page(book, page).encode() for page in book.pages.values()}
    for pattern in _PICTURES:
        for path in sorted(book.folder.rglob(pattern)):
            files[path.relative_to(book.folder).as_posix()] = read_bytes(path)
    return files


def _page(book: Handbook, page: Page) -> str:
    reader = MarkdownIt("commonmark", {"html": False, "highlight": _highlighted}).enable("table")
    reader.add_render_rule("text", _text)
    tokens = reader.parse(book.text(page.file))
    _number_headings(tokens)
    for token in _all(tokens):
        if token.type == "link_open":
            _lead(token, book, page)
        if token.type == "image" and not urlsplit(str(token.attrs["src"])).scheme:
            token.attrs["src"] = page.target(str(token.attrs["src"]))
    return render(
        "page.html.j2",
        {},
        package=__package__,
        title=_titles(tokens)[0],
        page=page,
        sections=book.sections,
        within=[
            (token.tag, token.attrs["id"], _plain(tokens[place + 1]))
            for place, token in enumerate(tokens)
            if token.type == "heading_open" and token.tag in _LEVELS
        ],
        content=reader.renderer.render(tokens, reader.options, {}),
    )


def _titles(tokens: Sequence[Token]) -> list[str]:
    return [
        _plain(tokens[place + 1])
        for place, token in enumerate(tokens)
        if token.type == "heading_open"
    ]


def _number_headings(tokens: Sequence[Token]) -> None:
    """Give each heading the anchor that links in the pages name."""
    used: dict[str, int] = {}
    for place, token in enumerate(tokens):
        if token.type == "heading_open":
            name = anchor(_plain(tokens[place + 1]))
            again = used[name] = used.get(name, -1) + 1
            token.attrSet("id", f"{name}-{again}" if again else name)


def anchor(heading: str) -> str:
    """A heading's anchor by the rule of Markdown's hosts: letters and digits in small letters,
    blanks as hyphens."""
    kept = "".join(sign for sign in heading.lower() if sign.isalnum() or sign in " -_")
    return kept.replace(" ", "-")


def _lead(link: Token, book: Handbook, page: Page) -> None:
    """Let a link to a page lead to its HTML. One to what the handbook does not have is text."""
    address = urlsplit(str(link.attrs["href"]))
    if address.scheme or not address.path:
        return
    file = page.target(address.path)
    for other in book.pages.values():
        if other.file == file:
            hash = f"#{address.fragment}" if address.fragment else ""
            link.attrs["href"] = f"{other.name}.html{hash}"
            return
    del link.attrs["href"]
    link.attrs["title"] = f"in the repository: {PurePosixPath(file)}"


def _text(_: RendererHTML, tokens: Sequence[Token], place: int, *_how: object) -> str:
    return "".join(
        f"<sup>{escape(part)}</sup>" if raised else escape(part)
        for raised, part in typeset(tokens[place].content)
    )


def _highlighted(text: str, language: str, _: str) -> str:
    if language != _PLANT:
        return ""
    return "".join(
        f'<span class="{kind}">{escape(part)}</span>' if kind else escape(part)
        for kind, part in coloured(text)
    )


def _all(tokens: Sequence[Token]) -> Iterator[Token]:
    for token in tokens:
        yield token
        yield from _all(token.children or ())


def _plain(inline: Token) -> str:
    return "".join(token.content for token in inline.children or ())
