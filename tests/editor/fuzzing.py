"""Random edits of an example, after each of which everything is asked at a random place.

A run of any length:  python -m tests.editor.fuzzing EDITS SEED
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from hoggin.balancing import rated
from hoggin.editor.colouring import coloured
from hoggin.editor.completion import completions
from hoggin.editor.faults import faults_of
from hoggin.editor.finding import (
    CannotRenameError,
    definition,
    highlights,
    renamable,
    renamed,
    uses,
)
from hoggin.editor.fixes import fixes, tried
from hoggin.editor.formatting import formatting
from hoggin.editor.hints import hints, verdicts
from hoggin.editor.hover import hover
from hoggin.editor.outline import folds, outline
from hoggin.editor.places import offset_of, position_of
from hoggin.editor.project import Project
from hoggin.editor.snapshot import Snapshot

EXAMPLE = Path(__file__).parents[2] / "examples" / "quarry.hog"
_EXAMPLES = (EXAMPLE, EXAMPLE.with_name("gravel.hog"))  # a large plant and a small one
_PIECES = [*'{}();:,.|=+-*/^%<>#"\n\t 0189eExmt_', "->", "mm", "t/h", "by ", "let x = ", "\r\n"]
_PIECES += ["use std.", "template t(a: mm) {", "class crusher c() {", "section s: t()\n", "\ufeff"]
_PIECES += ["\U0001f600", "ü", "\x00", "\u2028", "\x0c", "free(1 mm to 2 mm)", "any(coarse, fine)"]
_PIECES += ["choose c { option a {", "require ", "maximize ", "product ", "-" * 200, "(" * 70]
_RENAMES = 8  # one edit of so many
_NEW = ("new", "chips", "in")
_LONGEST = 6000  # characters; past it the text begins anew, or checks would grow slow
_SLOW = 5.0  # seconds of a processor for one edit: more is a hang


def edited(text: str, chance: random.Random) -> str:
    """One edit: a piece put in, a stretch taken out, doubled or moved, or a letter changed."""
    place = chance.randrange(len(text) + 1)
    size = chance.choice((1, 1, 1, 2, 5, 20, 80))
    match chance.randrange(6):
        case 0 | 1:
            return f"{text[:place]}{chance.choice(_PIECES)}{text[place:]}"
        case 2 | 3:
            return text[:place] + text[place + size :]
        case 4:
            return text[:place] + text[place : place + size] * 2 + text[place + size :]
    letter = chr(chance.choice((chance.randrange(128), 0xE9)))
    return f"{text[:place]}{letter}{text[place + 1 :]}"


def ask_everything(project: Project, snapshot: Snapshot, chance: random.Random) -> int:
    """Every request at one random place. Returns how many answers were not empty."""
    source = snapshot.source
    offset = chance.randrange(len(source.text) + 1)
    position = position_of(source, offset)
    if offset_of(source, position) != offset:
        raise AssertionError(f"{offset} is {position}, and that {offset_of(source, position)}")
    reader = project.reader
    answers: list[object] = [
        completions(snapshot, offset, reader),
        hover(snapshot, offset),
        definition(snapshot, offset),
        uses(project, snapshot, offset),
        highlights(snapshot, offset),
        outline(snapshot.file),
        folds(snapshot),
        coloured(snapshot),
        hints(snapshot),
        verdicts(snapshot),
        formatting(snapshot),
        [fixes(snapshot, found) for found in faults_of(snapshot)],
    ]
    if chance.randrange(_RENAMES) == 0:  # it checks the plant for each of its proposals
        answers += [tried(project, snapshot, found) for found in faults_of(snapshot)[:1]]
    with suppress(CannotRenameError):
        answers.append(renamable(snapshot, offset))
    if chance.randrange(_RENAMES) == 0:  # it checks the plant three times more
        with suppress(CannotRenameError):
            answers.append(renamed(project, snapshot, offset, chance.choice(_NEW)))
    return sum(bool(answer) for answer in answers)


def faults(edits: int, seed: int, folder: Path) -> Iterator[str]:
    """Edit the example so many times, its results at hand; what goes wrong is told."""
    chance = random.Random(seed)
    path = folder.resolve() / "plant.hog"
    project = Project()
    good = _EXAMPLES[seed % len(_EXAMPLES)].read_text(encoding="utf-8")
    project.put(path, good)
    checked = project.snapshot(path).checked
    project.keep(path, checked, rated(checked))
    text, since = good, 0
    for count in range(edits):
        since += 1
        if since > chance.choice((5, 20, 60)) or len(text) > _LONGEST:
            text, since = good, 0  # near a whole plant more of the answers have work to do
        text = edited(text, chance)
        began = time.process_time()
        try:
            project.put(path, text)
            answers = ask_everything(project, project.snapshot(path), chance)
        except Exception:
            yield f"seed {seed}, edit {count}:\n{traceback.format_exc()}"
            (folder / f"fault_{seed}_{count}.txt").write_text(text, "utf-8", "surrogatepass")
            continue
        took = time.process_time() - began
        if took > _SLOW:
            yield f"seed {seed}, edit {count}: {took:.1f} s"
        if not answers:
            yield f"seed {seed}, edit {count}: every answer is empty"


def main() -> None:
    edits, seed = int(sys.argv[1]), int(sys.argv[2])
    folder = Path(tempfile.mkdtemp(prefix=f"editor_fuzz_{seed}_"))
    began = time.perf_counter()
    found = 0
    step = min(edits, 1000)
    for part in range(edits // step):
        for fault in faults(step, seed * 1_000_000 + part, folder):
            found += 1
            print(fault, flush=True)
        done = (part + 1) * step
        print(f"{done} edits, {found} faults, {time.perf_counter() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
