"""What was taken in, as text of the language."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hoggin.intake.gradings import Grading
from hoggin.intake.sheet import Sheet
from hoggin.report.wording import clean

_WIDEST = 96


def gradings_text(gradings: Sequence[Grading], sheet: Sheet) -> str:
    """A library of gradings. It carries no date of its own: the same sheet gives the same bytes."""
    lines = [
        f"# Written by `hoggin take-in gradings` from {quotable(sheet.name)}; yours to change.",
        '# A feed calls one of them as `grading NAME`, after `use "FILE.hog" as NAME_OF_YOURS`.',
    ]
    for grading in gradings:
        lines += ["", *_grading(grading, sheet)]
    return "\n".join(lines) + "\n"


def quotable(text: str) -> str:
    """A text as it may stand in quotes or a comment of the language."""
    return clean(text).replace('"', "'")


def _grading(grading: Grading, sheet: Sheet) -> Iterator[str]:
    about = [f"sample {grading.sample}" if grading.sample else "", grading.date]
    told = ", ".join(filter(None, map(quotable, about)))
    yield f"grading {grading.name} {{"
    if told:
        yield f'  about  "{told}"'
    yield f'  source "{quotable(sheet.name)}, {grading.place}: {grading.measured}"'
    yield "  passing {"
    yield from listed(f"{number(mm, 6)} mm: {number(part, 4)} %" for mm, part in grading.points)
    yield "  }"
    yield "}"


def listed(entries: Iterator[str]) -> Iterator[str]:
    """Entries of a list on lines that a page holds."""
    line = ""
    for entry in entries:
        if line and len(line) + len(entry) + 2 > _WIDEST - 4:
            yield f"    {line}"
            line = ""
        line = f"{line}  {entry}" if line else entry
    if line:
        yield f"    {line}"


def number(value: float, digits: int) -> str:
    """A number in plain notation, to so many digits behind the point at most."""
    text = f"{value:.{digits}f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) or "0"
