"""A sweep from its question to its document."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from hoggin import __version__
from hoggin.balance.result import Array
from hoggin.errors import HogginError
from hoggin.rating.requirements import slack
from hoggin.schema.plant import Requirement
from hoggin.studies.runner.keeping import keeping
from hoggin.studies.runner.opening import Opened, opened
from hoggin.studies.runner.outputs import Outputs, met, of_reading, of_requirements, outputs
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.running import batch_cases, batches, run
from hoggin.studies.runner.spread import Batch, Part, Spread, Work
from hoggin.studies.sweep.document import (
    Stretch,
    Sweep,
    SweptLimit,
    SweptOutput,
    SweptRequirement,
    SweptSetting,
)
from hoggin.studies.sweep.feasible import stretches
from hoggin.studies.sweep.ranges import MOST_APERTURES, Over, declared_name, hold, over

MOST_CASES = 1_000_000


@dataclass(frozen=True)
class SweepQuestion:
    """A plant's file, what to run over, and which results to read (the plant's own where none)."""

    file: Path
    over: tuple[str, ...]
    read: tuple[str, ...] = ()
    folder: Path | None = None  # where a long sweep keeps its finished batches
    resume: bool = False
    case: str = ""


@dataclass(frozen=True)
class PreparedSweep:
    """A sweep ready to run: every error of the question has been reported."""

    opened: Opened
    overs: tuple[Over, ...]
    outputs: Outputs
    values: Batch
    cases: int


def prepared(question: SweepQuestion) -> PreparedSweep:
    """Raises HogginError, SourceError and UnreadableError."""
    count = len(question.over)
    if not 1 <= count <= 2:
        raise HogginError("a sweep varies one setting, or two as a grid")
    closed = opened(question.file, case=question.case)
    overs = tuple(over(text, closed.freedom, count) for text in question.over)
    if count == 2 and overs[0].name == overs[1].name:
        raise HogginError(f"`{overs[0].name}` is given twice")
    stated = [o for o in overs if declared_name(o.name, closed.freedom) in closed.freedom.variables]
    for one in stated:
        hold(one, closed.freedom)
    free = [one for one in overs if one not in stated]
    found = _opened(question, free)
    names = [_variable(one, found) for one in overs]
    grid = np.meshgrid(*(one.si for one in overs), indexing="ij")
    cases = grid[0].size
    if cases > MOST_CASES:
        raise HogginError(f"the grid has {cases:,} cases; the limit is {MOST_CASES:,}")
    asked = list(found.asked)
    if not asked:
        asked = [of_reading("product", p.tag, "rate") for p in found.plant.products]
        asked += of_requirements(found.plant)
    return PreparedSweep(
        found,
        overs,
        outputs(found.plant, asked),
        {name: axis.ravel() for name, axis in zip(names, grid, strict=True)},
        cases,
    )


def swept(
    question: SweepQuestion, sweep: PreparedSweep, spread: Spread, progress: Progress
) -> Sweep:
    """Run a sweep. Raises HogginError."""
    plant = sweep.opened.plant
    wanted = batches(sweep.values, sweep.cases, batch_cases(plant))
    work = Work(plant, sweep.opened.freedom, sweep.outputs.expressions, plant.requirements)
    folder = question.folder if len(wanted) > 1 else None
    with keeping(folder, _key(sweep), resume=question.resume) as kept:
        return _document(sweep, run(work, wanted, spread, progress, kept))


def _opened(question: SweepQuestion, free: Sequence[Over]) -> Opened:
    """The plant with its settings free, checked at both ends, where a rule of a class may apply."""
    for start in (0, -1) if free else ():
        opened(
            question.file, [one.freed(start=start) for one in free], question.read, question.case
        )
    middles = [one.freed(start=len(one.values) // 2) for one in free]
    return opened(question.file, middles, question.read, question.case)


def _variable(one: Over, found: Opened) -> str:
    """What the opened plant calls a setting that is swept."""
    stated = declared_name(one.name, found.freedom)
    if stated in found.freedom.variables:
        if stated != one.name and one.values.size > MOST_APERTURES:
            raise HogginError(f"`{one.name}`: at most {MOST_APERTURES} apertures can be tried")
        return stated
    # A parameter of a section goes by the name of what it is handed to.
    given = [name for name, v in found.freedom.variables.items() if v.source == one.source]
    if len(given) == 1:
        return given[0]
    raise HogginError(f"no result depends on `{one.name}`")


def _key(sweep: PreparedSweep) -> dict[str, Any]:
    return {
        "study": "sweep",
        "plant": sweep.opened.digest,
        "over": [[one.name, one.unit.name, one.values.tolist()] for one in sweep.overs],
        "read": [output.name for output in sweep.outputs.outputs],
    }


def _document(sweep: PreparedSweep, part: Part) -> Sweep:
    found, plant = sweep.opened, sweep.opened.plant
    judged = met(plant.requirements, part.margins)
    all_met = judged.all(axis=0) & part.settled
    line = _line(sweep)
    rows = zip(plant.requirements, part.margins, judged, strict=True)
    return Sweep(
        title=plant.title,
        revision=plant.revision,
        source_file=found.file,
        compiler_version=__version__,
        settings=tuple(_setting(one) for one in sweep.overs),
        outputs=tuple(_outputs(sweep.outputs, part)),
        requirements=tuple(_requirement(*row, line) for row in rows),
        refused=tuple(part.refused.get(case, "") for case in range(sweep.cases)),
        all_met=tuple(all_met.tolist()),
        feasible=_feasible(plant.requirements, part.margins, line),
    )


def _line(sweep: PreparedSweep) -> Array | None:
    """The values of the one setting that is swept over a range; None for a list or a grid."""
    first = sweep.overs[0]
    return first.values if len(sweep.overs) == 1 and first.is_range else None


def _feasible(
    requirements: Sequence[Requirement], margins: Array, line: Array | None
) -> tuple[Stretch, ...]:
    if line is None or not requirements:
        return ()
    forgiven = margins + np.array([[slack(requirement)] for requirement in requirements])
    return stretches(line, forgiven)


def _setting(one: Over) -> SweptSetting:
    return SweptSetting(
        name=one.name,
        unit=one.unit.sign,
        values=tuple(one.values.tolist()),
        scale="range" if one.is_range else "steps",
    )


def _outputs(wanted: Outputs, part: Part) -> list[SweptOutput]:
    return [
        SweptOutput(
            name=output.name,
            unit=output.unit,
            values=_plain(row),
            limits=tuple(
                SweptLimit(requirement=limit.requirement, low=limit.low, high=limit.high)
                for limit in wanted.limits
                if limit.output == place
            ),
        )
        for place, (output, row) in enumerate(zip(wanted.outputs, wanted.values(part), strict=True))
    ]


def _requirement(
    one: Requirement, margin: Array, is_met: Array, line: Array | None
) -> SweptRequirement:
    return SweptRequirement(
        text=one.text,
        unit=one.unit,
        slack=slack(one),
        margins=_plain(margin),
        met=tuple(bool(m) for m in is_met),
        feasible=_feasible([one], margin[None], line),
    )


def _plain(row: Array) -> tuple[float | None, ...]:
    """Numbers as in a document: None for a missing one."""
    return tuple(None if not np.isfinite(v) else float(v) for v in row)
