"""A sweep from its question to its document."""

from __future__ import annotations

import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from hoggin import __version__
from hoggin.balance.result import Array
from hoggin.check.checker import Checked
from hoggin.errors import HogginError, SourceError
from hoggin.rating.requirements import slack
from hoggin.schema.plant import Requirement
from hoggin.schema.results import Judgement
from hoggin.studies.runner.keeping import StudyFile, keeping
from hoggin.studies.runner.opening import Opened, opened, opened_with
from hoggin.studies.runner.outputs import Outputs, of_reading, of_requirements, outputs, verdicts
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.rows import RowColumn, Rows
from hoggin.studies.runner.running import batch_cases, batches, joined, run
from hoggin.studies.runner.spread import Batch, Part, Spread, Work
from hoggin.studies.runner.values import Stated
from hoggin.studies.sweep.document import (
    Stretch,
    Sweep,
    SweptLimit,
    SweptOutput,
    SweptRequirement,
    SweptSetting,
)
from hoggin.studies.sweep.feasible import stretches
from hoggin.studies.sweep.ranges import MOST_APERTURES, BeyondError, Over, declared_name, hold, over
from hoggin.syntax.given import setting
from hoggin.syntax.settings import Setting
from hoggin.world import World

MOST_CASES = 1_000_000
_NO_WORD = "E0304"
_TRIED = 17  # steps of a sweep of which one has to be sound


@dataclass(frozen=True)
class SweepQuestion:
    """A plant, what to run over, and which results to read (the plant's own where none)."""

    world: World
    checked: Checked
    over: tuple[str, ...]
    read: tuple[str, ...] = ()
    folder: Path | None = None  # where a long sweep keeps its finished batches
    case: str = ""


@dataclass(frozen=True)
class WordRun:
    """The plant at one word, and the values of the settings that are numbers."""

    word: str
    opened: Opened
    outputs: Outputs
    values: Batch
    cases: int


@dataclass(frozen=True)
class PreparedSweep:
    """A sweep ready to be run: all that can be wrong with the question has been reported.

    runs: one for each word of a setting that is swept over words. columns: in place of runs, the
    settings of every step as rows, where some steps are not allowed.
    """

    opened: Opened
    outputs: Outputs
    overs: tuple[Over, ...]
    cases: int
    runs: tuple[WordRun, ...] = ()
    columns: tuple[RowColumn, ...] = ()

    @property
    def each(self) -> int:
        """The number of cases in a batch."""
        return batch_cases(self.opened.plant)


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
    free = [one for one in numeric if one not in stated]
    at_words = [word for one in worded for word in one.words] or [""]
    try:
        for one in stated:
            hold(one, closed.freedom)
        runs = []
        for word in at_words:
            words = [one.worded(word) for one in worded]
            is_changed = free or words or question.read
            runs.append(
                _run(_opened(question, free, words) if is_changed else closed, numeric, word)
            )
    except (SourceError, BeyondError) as fault:
        columns = _columns(overs)
        if _is_misspelt(fault) or not _stands_anywhere(question, columns):
            raise
        found = opened_with(question.world, (), question.read, question.case)
        return PreparedSweep(found, _told(found), overs, cases, columns=columns)
    return PreparedSweep(runs[0].opened, runs[0].outputs, overs, cases, tuple(runs))


def _columns(overs: Sequence[Over]) -> tuple[RowColumn, ...]:
    """The settings of every step, the last one's value changing fastest."""
    places = np.meshgrid(*(np.arange(one.values.size) for one in overs), indexing="ij")
    return tuple(
        RowColumn(
            one.name,
            tuple(one.texts[place] for place in axis.ravel()),
            None if one.words else one.unit,
            None if one.words else tuple(one.values[axis.ravel()].tolist()),
        )
        for one, axis in zip(overs, places, strict=True)
    )


def _is_misspelt(fault: HogginError) -> bool:
    """Whether a word is none that its setting takes: that is no value to be refused."""
    return any(one.code == _NO_WORD for one in fault.diagnostics)


def _stands_anywhere(question: SweepQuestion, columns: Sequence[RowColumn]) -> bool:
    """Whether the plant is sound at one of some steps: if not, the question is wrong."""
    steps = len(columns[0].texts)
    for step in np.unique(np.linspace(0, steps - 1, _TRIED).round().astype(int)):
        settings = [setting(one.name, one.texts[step]) for one in columns]
        with suppress(SourceError):
            opened_with(question.world, settings, question.read, question.case)
            return True
    return False


def _told(found: Opened) -> Outputs:
    asked = list(found.asked)
    if not asked:
        asked = [of_reading("product", p.tag, "rate") for p in found.plant.products]
        asked += of_requirements(found.plant)
    return outputs(found.plant, asked)


def _run(found: Opened, numeric: Sequence[Over], word: str) -> WordRun:
    names = [_variable(one, found) for one in numeric]
    grid = np.meshgrid(*(one.si for one in numeric), indexing="ij")
    return WordRun(
        word,
        found,
        _told(found),
        {name: axis.ravel() for name, axis in zip(names, grid, strict=True)},
        math.prod(one.values.size for one in numeric),
    )


def swept(
    question: SweepQuestion,
    sweep: PreparedSweep,
    spread: Spread,
    progress: Progress,
    resume: bool = False,
) -> Sweep:
    """Run a sweep. A step that is not allowed, or has no balance, has a reason and no numbers.
    Raises HogginError."""
    is_long = sweep.cases > sweep.each or len(sweep.runs) != 1
    folder = question.folder if is_long else None
    with keeping(folder, _key(sweep), resume=resume) as kept:
        progress.start(kept.cases if kept else 0)
        if sweep.columns:
            part = _by_rows(question, sweep, spread, progress, kept)
        else:
            parts = []
            for one in sweep.runs:
                plant = one.opened.plant
                wanted = batches(one.values, one.cases, sweep.each)
                work = Work(plant, one.opened.freedom, one.outputs.expressions, plant.requirements)
                parts.append(run(work, wanted, spread, progress, kept, f"{one.word} "))
            part = _in_order(sweep, joined(parts))
    return _document(sweep, part)


def _by_rows(
    question: SweepQuestion,
    sweep: PreparedSweep,
    spread: Spread,
    progress: Progress,
    kept: StudyFile | None,
) -> Part:
    """Every step by itself where it has to be, as some are not allowed."""
    stated = Stated.of(question.checked.source)
    rows = Rows(
        question.world,
        question.case,
        question.read,
        sweep.opened,
        stated,
        sweep.columns,
        lambda _: sweep.outputs.outputs,
        spread,
        progress,
        kept,
    )
    solved = list(rows.solved(range(sweep.cases)))
    order = np.argsort(np.concatenate([one.rows for one in solved]))
    return joined([one.part for one in solved]).taken(order)


def _in_order(sweep: PreparedSweep, part: Part) -> Part:
    """The cases as a grid has them, the last setting's fastest: words were run one by one."""
    if len(sweep.overs) == 1 or not sweep.overs[1].words:
        return part
    return part.taken(np.arange(sweep.cases).reshape(len(sweep.runs), -1).T.ravel())


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
        "read": [output.name for output in sweep.outputs.outputs],
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
        outputs=tuple(_outputs(sweep.outputs, part)),
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
