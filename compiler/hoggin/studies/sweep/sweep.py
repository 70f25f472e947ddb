"""A sweep from its question to its document."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from hoggin import __version__
from hoggin.balance.result import Array
from hoggin.check.checker import Checked
from hoggin.errors import HogginError
from hoggin.rating.requirements import slack
from hoggin.schema.plant import Requirement
from hoggin.schema.results import Judgement
from hoggin.studies.runner.keeping import keeping
from hoggin.studies.runner.opening import Opened, opened, opened_with
from hoggin.studies.runner.outputs import Outputs, of_reading, of_requirements, outputs, verdicts
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.running import batch_cases, batches, joined, run
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
from hoggin.syntax.settings import Setting
from hoggin.world import World

MOST_CASES = 1_000_000


@dataclass(frozen=True)
class SweepQuestion:
    """A plant, what to run over, and which results to read (the plant's own where none)."""

    world: World
    checked: Checked
    over: tuple[str, ...]
    read: tuple[str, ...] = ()
    folder: Path | None = None  # where a long sweep keeps its finished batches
    resume: bool = False
    case: str = ""


@dataclass(frozen=True)
class WordRun:
    """The plant at one word, and the values of the settings that are numbers."""

    opened: Opened
    outputs: Outputs
    values: Batch
    cases: int


@dataclass(frozen=True)
class PreparedSweep:
    """A sweep ready to be run: all that can be wrong with the question has been reported."""

    runs: tuple[WordRun, ...]  # one for each word of a setting that is swept over words
    overs: tuple[Over, ...]
    cases: int

    @property
    def opened(self) -> Opened:
        return self.runs[0].opened


def prepared(question: SweepQuestion) -> PreparedSweep:
    """Raises HogginError, SourceError and UnreadableError."""
    count = len(question.over)
    if not 1 <= count <= 2:
        raise HogginError("a sweep varies one setting, or two as a grid")
    closed = opened(question.checked, question.case)
    overs = tuple(over(text, closed.freedom, count) for text in question.over)
    if count == 2 and overs[0].name == overs[1].name:
        raise HogginError(f"`{overs[0].name}` is given twice")
    worded = [one for one in overs if one.words]
    numeric = [one for one in overs if not one.words]
    if len(worded) > 1:
        raise HogginError("a sweep runs over the words of one setting; the other has numbers")
    cases = math.prod(one.values.size for one in overs)
    if cases > MOST_CASES:
        raise HogginError(f"the grid has {cases:,} cases; the limit is {MOST_CASES:,}")
    stated = [
        o for o in numeric if declared_name(o.name, closed.freedom) in closed.freedom.variables
    ]
    for one in stated:
        hold(one, closed.freedom)
    free = [one for one in numeric if one not in stated]
    at_words = [[one.worded(word)] for one in worded for word in one.words] or [[]]
    runs = tuple(
        _run(_opened(question, free, words) if free or words or question.read else closed, numeric)
        for words in at_words
    )
    return PreparedSweep(runs, overs, cases)


def _run(found: Opened, numeric: Sequence[Over]) -> WordRun:
    names = [_variable(one, found) for one in numeric]
    grid = np.meshgrid(*(one.si for one in numeric), indexing="ij")
    asked = list(found.asked)
    if not asked:
        asked = [of_reading("product", p.tag, "rate") for p in found.plant.products]
        asked += of_requirements(found.plant)
    return WordRun(
        found,
        outputs(found.plant, asked),
        {name: axis.ravel() for name, axis in zip(names, grid, strict=True)},
        math.prod(one.values.size for one in numeric),
    )


def swept(
    question: SweepQuestion, sweep: PreparedSweep, spread: Spread, progress: Progress
) -> Sweep:
    """Run a sweep. Raises HogginError."""
    parts = []
    for one in sweep.runs:
        plant = one.opened.plant
        wanted = batches(one.values, one.cases, batch_cases(plant))
        work = Work(plant, one.opened.freedom, one.outputs.expressions, plant.requirements)
        # The runs of several words are not kept apart: one that is interrupted begins again.
        folder = question.folder if len(wanted) > 1 and len(sweep.runs) == 1 else None
        with keeping(folder, _key(sweep), resume=question.resume) as kept:
            parts.append(run(work, wanted, spread, progress, kept))
    return _document(sweep, _in_order(sweep, joined(parts)))


def _in_order(sweep: PreparedSweep, part: Part) -> Part:
    """The cases as a grid has them, the last setting's fastest: words were run one by one."""
    if len(sweep.overs) == 1 or not sweep.overs[1].words:
        return part
    order = np.arange(sweep.cases).reshape(len(sweep.runs), -1).T.ravel()
    place = {int(case): at for at, case in enumerate(order)}
    return Part(
        part.values[:, order],
        part.margins[:, order],
        part.void[:, order],
        part.overloaded[:, order],
        part.settled[order],
        {place[case]: reason for case, reason in part.refused.items()},
    )


def _opened(question: SweepQuestion, free: Sequence[Over], words: Sequence[Setting]) -> Opened:
    """The plant with its settings free, checked at both ends, where a rule of a class may apply."""
    for start in (0, -1) if free else ():
        ends = [one.freed(start=start) for one in free]
        opened_with(question.world, [*ends, *words], question.read, question.case)
    middles = [*(one.freed(start=len(one.values) // 2) for one in free), *words]
    return opened_with(question.world, middles, question.read, question.case)


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
        "read": [output.name for output in sweep.runs[0].outputs.outputs],
    }


def _document(sweep: PreparedSweep, part: Part) -> Sweep:
    found, plant = sweep.opened, sweep.opened.plant
    judged = verdicts(plant, part)
    line = _line(sweep)
    rows = zip(plant.requirements, part.margins, judged.by_requirement, strict=True)
    runs = np.where(part.overloaded.any(axis=0), np.nan, part.margins)
    return Sweep(
        title=plant.title,
        revision=plant.revision,
        source_file=found.file,
        compiler_version=__version__,
        settings=tuple(_setting(one) for one in sweep.overs),
        outputs=tuple(_outputs(sweep.runs[0].outputs, part)),
        requirements=tuple(_requirement(*row, line) for row in rows),
        refused=tuple(part.refused.get(case, "") for case in range(sweep.cases)),
        overloaded=judged.overloaded,
        all_met=judged.all_met,
        feasible=_feasible(plant.requirements, runs, line),
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
        words=one.words,
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
    one: Requirement, margin: Array, judged: tuple[Judgement, ...], line: Array | None
) -> SweptRequirement:
    return SweptRequirement(
        text=one.text,
        unit=one.unit,
        slack=slack(one),
        margins=_plain(margin),
        verdicts=judged,
        feasible=_feasible([one], margin[None], line),
    )


def _plain(row: Array) -> tuple[float | None, ...]:
    """Numbers as in a document: None for a missing one."""
    return tuple(None if not np.isfinite(v) else float(v) for v in row)
