"""A long study in batches: bounded memory, saved progress, and the same result wherever it runs."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing

import numpy as np

from hoggin.balance.grid import common_edges
from hoggin.errors import HogginError
from hoggin.schema.plant import Plant
from hoggin.studies.runner.keeping import StudyFile
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.spread import Batch, Nowhere, Part, Spread, Work, without_balance

BATCH_BYTES = 64_000_000
"""The memory a batch may use. Measured on examples/quarry.hog: a case takes some 9 times its
streams by size class (28 x 64 numbers), 0.12 MB."""
_COPIES = 9
_MOST_CASES = 500  # of a batch: more are no faster, and fewer would be lost with a worker


def batch_cases(plant: Plant) -> int:
    """The number of cases in a batch of this plant. It depends only on the plant, so that a study
    is always split the same way."""
    classes = len(common_edges([plant])) - 1
    bytes_of_one = _COPIES * 8 * max(1, len(plant.streams)) * classes
    return max(1, min(_MOST_CASES, BATCH_BYTES // bytes_of_one))


def batches(values: Batch, cases: int, each: int) -> list[Batch]:
    """Values of `cases` cases, cut into batches of at most `each`."""
    starts = range(0, cases, each)
    return [{name: v[start : start + each] for name, v in values.items()} for start in starts]


def run(
    work: Work,
    wanted: Sequence[Batch],
    spread: Spread,
    progress: Progress,
    kept: StudyFile | None = None,
    name: str = "",
) -> Part:
    """All cases of all batches in order, as one part.

    Batches in `kept` are not computed again, and finished ones are added to it, under `name` with
    their number. What the spread does not give is marked as not computed. The caller starts the
    progress. Raises HogginError, and whatever interrupts it; then `kept` has the finished batches.
    """
    parts: dict[int, Part] = {}
    sizes = [_size(batch) for batch in wanted]
    rows = len(work.expressions), len(work.requirements), len(work.plant.machines)
    if kept is not None:
        for number, size in enumerate(sizes):
            part = kept.parts.get(f"{name}{number}")
            if part is None:
                continue
            found = len(part.values), len(part.margins), len(part.overloaded), part.settled.size
            if found != (*rows, size):
                why = "does not fit the study: remove the file to start again"
                raise HogginError(f"`{kept.path}` {why}")
            parts[number] = part
    open_ = [number for number in range(len(wanted)) if number not in parts]
    chosen = spread if open_ else Nowhere()
    # Closed, so that its processes have ended when an interruption is reported: the study file is
    # open in them too, and is locked as long as they run.
    with closing(chosen.parts(work, [wanted[number] for number in open_])) as finished:
        for place, part in finished:
            number = open_[place]
            parts[number] = part
            if kept is not None:
                kept.keep(f"{name}{number}", part)
            progress.step(sizes[number])
    missing = [number for number in open_ if number not in parts]
    if missing and kept is not None:
        kept.is_lacking = True
    parts |= {number: without_balance(*rows, sizes[number]) for number in missing}
    return joined([parts[number] for number in range(len(wanted))])


def _size(batch: Batch) -> int:
    return len(next(iter(batch.values()), np.empty(1)))


def joined(parts: Sequence[Part]) -> Part:
    """The cases of several parts, one after another."""
    refused: dict[int, str] = {}
    before = 0
    for part in parts:
        refused |= {before + case: reason for case, reason in part.refused.items()}
        before += part.settled.size
    return Part(
        values=np.concatenate([part.values for part in parts], axis=1),
        margins=np.concatenate([part.margins for part in parts], axis=1),
        void=np.concatenate([part.void for part in parts], axis=1),
        overloaded=np.concatenate([part.overloaded for part in parts], axis=1),
        settled=np.concatenate([part.settled for part in parts]),
        refused=refused,
    )
