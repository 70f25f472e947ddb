"""Three texts in, one out: the facts of both sides, whatever their order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.diagnostics.source import Source
from hoggin.revise.merge.choices import Choices, choose
from hoggin.revise.merge.facts import facts_of, read
from hoggin.revise.merge.page import Page
from hoggin.revise.merge.products import declared_once
from hoggin.revise.merge.writing import written
from hoggin.revise.why.lines import Path


@dataclass(frozen=True, slots=True)
class Labels:
    """What the sides are called on the marker lines of a conflict, and how long those signs are."""

    ours: str = "ours"
    theirs: str = "theirs"
    length: int = 7


@dataclass(frozen=True, slots=True)
class Merged:
    """conflicts: what both changed differently, in words; each is marked in the text."""

    text: str
    conflicts: tuple[str, ...]


def merge(
    base: str, ours: str, theirs: str, labels: Labels, by_lines: str | None = None
) -> Merged | None:
    """The merged text; None where one of the three can't be read whole, or what it states can't be
    put into our text.

    by_lines: what a merge of lines gives, where it finds no conflict. It keeps comments of both
    sides, so it is taken where it states what the merge of facts does.
    """
    files = [
        read(Source(name, _ended(text)))
        for name, text in (("base", base), ("ours", ours), ("theirs", theirs))
    ]
    whole = [file for file in files if file is not None]
    if len(whole) < len(files):
        return None
    facts = facts_of(whole)
    choices = choose(*facts)
    wanted = choices.merged()
    if by_lines is not None and not choices.conflicts and _stated(by_lines, base) == wanted:
        return Merged(by_lines, ())
    pages = Page(whole[1], facts[1]), Page(whole[2], facts[2])
    page = _page(written(*pages, choices, lambda ours, _: ours), base)
    settled = None if page is None else declared_once(page, wanted, (facts[1], facts[2]))
    if settled is None or _stated(settled, base) != wanted:
        return None
    if not choices.conflicts:
        return Merged(settled, ())
    text = written(*pages, choices, lambda our, their: _marked(our, their, labels))
    return Merged(text, tuple(_told(path, choices) for path in choices.conflicts))


def _marked(ours: str, theirs: str, labels: Labels) -> str:
    first, middle, last = (sign * labels.length for sign in "<=>")
    return f"{first} {labels.ours}\n{ours}{middle}\n{theirs}{last} {labels.theirs}\n"


def _told(path: Path, choices: Choices) -> str:
    """`css of crusher secondary: 12 mm with ours, 14 mm with theirs`."""
    sides = (choices.ours.get(path), choices.theirs.get(path))
    label = next(fact.line.label for fact in (choices.base.get(path), *sides) if fact is not None)
    said = ["removed" if fact is None else fact.line.said or "changed" for fact in sides]
    return f"{label}: {said[0]} on our side, {said[1]} on theirs"


def _ended(text: str) -> str:
    return text if text.endswith("\n") or not text else f"{text}\n"


def _page(text: str, base: str) -> Page | None:
    files = [read(Source("base", base)), read(Source("merged", text))]
    if files[0] is None or files[1] is None:
        return None
    return Page(files[1], facts_of([files[0], files[1]])[1])


def _stated(text: str, base: str) -> Mapping[Path, str] | None:
    """The words of every fact of a text that was made from another."""
    page = _page(text, base)
    return None if page is None else {path: fact.words for path, fact in page.facts.items()}
