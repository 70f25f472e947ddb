"""The tutorial typed as its reader types it: each edit that the page tells, each command, in an
empty folder.

To write today's output into the page, and the finished steps into `examples/tutorial`:

    python -m tests.docs.tutorial

A line of the page's output is replaced by the printed line that is most like it, and `...` still
stands for the lines that are left out. Read the difference before you commit it.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "tutorial.md"
STEPS = ROOT / "examples" / "tutorial"
GAP = "..."
_LEAST_LIKE = 0.5  # share of the words of both lines; below, the page has to be written anew
_FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_NAME = r"`([^`]+)`"
_NOTE = (
    "# Cold Beck, step {} of the tutorial (docs/tutorial.md). The place, the rock and all figures "
    "are invented.\n\n"
)


class PageError(Exception):
    """What the page tells can't be done."""


@dataclass(frozen=True)
class Ran:
    """A command of the page: what the page shows, what it printed, and its exit code."""

    step: int
    command: str
    shown: tuple[str, ...]
    printed: tuple[str, ...]
    code: int

    @property
    def today(self) -> tuple[str, ...]:
        """What the page should show: the lines that it picks, as they are printed, with a gap
        wherever others are between them."""
        lines: list[str] = []
        place, gap = 0, False
        for shown in self.shown:
            if shown == GAP:
                gap = True
                continue
            passed = _most_alike(shown, self.printed[place:])
            lines += [GAP] if passed or gap else []
            place, gap = place + passed + 1, False
            lines.append(self.printed[place - 1])
        return (*lines, GAP) if place < len(self.printed) else tuple(lines)


@dataclass
class Typed:
    """All that happened in the reader's folder."""

    ran: list[Ran] = field(default_factory=list)
    steps: dict[int, str] = field(default_factory=dict)  # the plant at the end of each step
    files: tuple[str, ...] = ()  # that are in the folder in the end


def _most_alike(line: str, among: Sequence[str]) -> int:
    def likeness(other: str) -> float:
        return SequenceMatcher(None, line.split(), other.split()).ratio()

    best = max(range(len(among)), key=lambda place: likeness(among[place]), default=None)
    if best is None or likeness(among[best]) < _LEAST_LIKE:
        raise PageError(f"nothing like this is printed: {line}")
    return best


# The edits that the page may tell, each by a sentence before a block or by one alone. A line is
# named by its first words.


def _place(lines: Sequence[str], named: str) -> int:
    found = [n for n, line in enumerate(lines) if " ".join(line.split()).startswith(named)]
    if len(found) != 1:
        raise PageError(f"{len(found)} lines begin with `{named}`")
    return found[0]


def _written(_lines: list[str], block: list[str], *_: str) -> list[str]:
    return block


def _above(lines: list[str], block: list[str], named: str) -> list[str]:
    place = _place(lines, named)
    return [*lines[:place], *block, *lines[place:]]


def _below(lines: list[str], block: list[str], named: str) -> list[str]:
    place = _place(lines, named) + 1
    return [*lines[:place], *block, *lines[place:]]


def _replaced(lines: list[str], block: list[str], first: str, last: str = "") -> list[str]:
    start = _place(lines, first)
    end = _place(lines, last or first) + 1
    return [*lines[:start], *block, *lines[end:]]


_WITH_BLOCK: Sequence[tuple[str, Callable[..., list[str]]]] = (
    (r"new file `plant\.hog` and write this into it:$", _written),
    (rf"[Aa]bove the line {_NAME}, add:$", _above),
    (rf"[Bb]elow the line {_NAME}, add:$", _below),
    (rf"[Rr]eplace the line {_NAME} by:$", _replaced),
    (rf"[Rr]eplace the lines from {_NAME} to {_NAME} by:$", _replaced),
)
_CHANGE = re.compile(rf"[Cc]hange {_NAME} (?:back )?to {_NAME}")
_COPY = re.compile(rf"[Ss]ave a copy of the plant as {_NAME}")


def _edited(text: str, told: str, block: str) -> str:
    """The plant after the edit that is told before a block."""
    for pattern, edit in _WITH_BLOCK:
        found = re.search(pattern, told)
        if found is not None:
            lines = edit(text.splitlines(), block.splitlines(), *found.groups())
            return "\n".join([*lines, ""])
    raise PageError(f"the page does not say where this goes:\n{block}")


def _changed(text: str, told: str) -> str:
    """The plant after the changes of words that a paragraph tells."""
    for old, new in _CHANGE.findall(told):
        if text.count(old) != 1:
            raise PageError(f"`{old}` is in the plant {text.count(old)} times")
        text = text.replace(old, new)
    return text


def typed(page: str, folder: Path) -> Typed:
    """Do in an empty folder what the page says. Raises PageError."""
    session, plant = Typed(), folder / "plant.hog"
    for step, chapter in enumerate(re.split(r"^## Step ", page, flags=re.MULTILINE)):
        for told, kind, block in _parts(chapter):
            text = plant.read_text(encoding="utf-8") if plant.exists() else ""
            changed = _changed(text, told)
            if kind == "hog":
                changed = _edited(changed, told, block)
            if changed != text:
                plant.write_text(changed, encoding="utf-8")
            for copy in _COPY.findall(told):
                (folder / copy).write_text(changed, encoding="utf-8")
            if kind == "console":
                session.ran += [_ran(step, *one, folder) for one in commands(block)]
        if plant.exists():
            session.steps[step] = plant.read_text(encoding="utf-8")
    session.files = tuple(sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*.*")))
    return session


def _parts(chapter: str) -> Iterator[tuple[str, str, str]]:
    """What is told, then the kind and the text of the block after it; no block at the end."""
    pieces = _FENCE.split(chapter)
    for number in range(0, len(pieces) - 1, 3):
        told, kind, block = pieces[number : number + 3]
        yield " ".join(told.split()), kind, block
    yield " ".join(pieces[-1].split()), "", ""


def commands(block: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each command of a console block, with the lines below it."""
    for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
        command, *lines = part.splitlines()
        yield command, tuple(lines)


def _ran(step: int, command: str, shown: tuple[str, ...], folder: Path) -> Ran:
    program, *arguments = shlex.split(command)
    if program != "hoggin":
        raise PageError(f"not a command of the tutorial: {command}")
    environment = {name: value for name, value in os.environ.items() if name != "COLUMNS"}
    done = subprocess.run(
        [sys.executable, "-m", "hoggin", *arguments],
        cwd=folder,
        env={**environment, "PYTHONUNBUFFERED": "1", "PYTHONIOENCODING": "utf-8"},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        check=False,
    )
    printed = tuple(line.rstrip() for line in done.stdout.splitlines())
    return Ran(step, command, shown, printed, done.returncode)


def rewritten(page: str, session: Typed) -> str:
    """The page with today's output."""
    ran = iter(session.ran)

    def block(found: re.Match[str]) -> str:
        if found[1] != "console":
            return found[0]
        lines = ["```console"]
        for command, _ in commands(found[2]):
            lines += [f"$ {command}", *next(ran).today]
        return "\n".join([*lines, "```"])

    return _FENCE.sub(block, page)


def finished(step: int, text: str) -> str:
    """The file of a step in `examples/tutorial`."""
    return _NOTE.format(step) + text


def main() -> None:
    page = PAGE.read_text(encoding="utf-8")
    with TemporaryDirectory() as folder:
        session = typed(page, Path(folder))
    PAGE.write_text(rewritten(page, session), encoding="utf-8")
    for step, text in session.steps.items():
        (STEPS / f"step_{step}.hog").write_text(finished(step, text), encoding="utf-8")


if __name__ == "__main__":
    main()
