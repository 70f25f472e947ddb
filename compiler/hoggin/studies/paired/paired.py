"""Rows of settings, each balanced with its own: the question, and its results as a document."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from hoggin import __version__
from hoggin.balance.result import Array
from hoggin.check.checker import Checked
from hoggin.schema.rounding import nine_digits
from hoggin.studies.paired.columns import CaseTable, case_table
from hoggin.studies.paired.document import (
    NOT_ASKED,
    Paired,
    PairedLabel,
    PairedOutput,
    PairedRequirement,
    PairedSetting,
    PairedVerdict,
)
from hoggin.studies.runner.keeping import keeping
from hoggin.studies.runner.opening import Opened, opened, opened_with
from hoggin.studies.runner.outputs import Output, of_reading, verdicts
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.rows import RowColumn, Rows, SolvedRows
from hoggin.studies.runner.spread import Spread
from hoggin.studies.runner.values import Stated
from hoggin.studies.unfinished import NOT_COMPUTED
from hoggin.world import World


@dataclass(frozen=True)
class PairedQuestion:
    """A plant, in a case where one is named, and which results to read (the rates of its products
    where none). folder: where a long study keeps its finished batches."""

    world: World
    checked: Checked
    read: tuple[str, ...] = ()
    case: str = ""
    folder: Path | None = None


@dataclass(frozen=True)
class PreparedPaired:
    """A study ready to be run: all that can be wrong with the question has been reported.
    `opened` has the plant in each case that a row names, with the results asked of it."""

    opened: Mapping[str, Opened]
    stated: Stated
    table: CaseTable
    cases: tuple[str, ...]  # the plant's case of each row

    @property
    def rows(self) -> int:
        return self.table.rows


def prepared(question: PairedQuestion, cases: Any) -> PreparedPaired:
    """cases: a frame, a mapping of columns, mappings by row, or the path of a CSV or XLSX file.
    Raises SourceError for errors in the plant, HogginError for what can't be read."""
    first = opened(question.checked, question.case)
    stated = Stated.of(question.checked.source)
    table = case_table(cases, stated, tuple(question.checked.cases))
    own = tuple(name or question.case for name in table.cases or ("",) * table.rows)
    found = {
        name: opened_with(question.world, (), question.read, name)
        if question.read or name != question.case
        else first
        for name in dict.fromkeys(own)
    }
    return PreparedPaired(found, stated, table, own)


def studied(
    question: PairedQuestion,
    study: PreparedPaired,
    spread: Spread,
    progress: Progress,
    resume: bool = False,
) -> Paired:
    """Run a study. A row that the plant or its classes do not allow, or that has no balance, has a
    reason and no numbers. Raises HogginError."""
    found = _Found(study.rows)
    with keeping(question.folder, _key(question, study), resume=resume) as kept:
        progress.start(kept.cases if kept else 0)
        for name, base in study.opened.items():
            work = Rows(
                question.world,
                name,
                question.read,
                base,
                study.stated,
                study.table.columns,
                lambda one: _outputs(one, question.read),
                spread,
                progress,
                kept,
                f"{name} ",
            )
            rows = [row for row, case in enumerate(study.cases) if case == name]
            for solved in work.solved(rows):
                found.put(solved, _outputs(solved.opened, question.read))
    return found.document(study)


def _outputs(found: Opened, read: Sequence[str]) -> tuple[Output, ...]:
    if read:
        return found.asked
    return tuple(of_reading("product", one.tag, "rate") for one in found.plant.products)


def _key(question: PairedQuestion, study: PreparedPaired) -> dict[str, Any]:
    return {
        "study": "rows",
        "plants": {name: one.digest for name, one in study.opened.items()},
        "columns": [[one.name, *one.texts] for one in study.table.columns],
        "cases": study.cases,
        "read": question.read,
    }


@dataclass
class _Found:
    """What has been found of the rows. Cases of a plant may have other requirements and products:
    a row has no value of what its own case has not."""

    rows: int
    numbers: dict[tuple[str, str], Array] = field(default_factory=dict)
    margins: dict[tuple[str, str], tuple[Array, list[PairedVerdict]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.overloaded: list[tuple[str, ...]] = [()] * self.rows
        self.all_met = [False] * self.rows
        self.refused = [NOT_COMPUTED] * self.rows

    def put(self, solved: SolvedRows, outputs: Sequence[Output]) -> None:
        rows, part, plant = list(solved.rows), solved.part, solved.opened.plant
        judged = verdicts(plant, part)
        for one, values in zip(outputs, part.values, strict=True):
            column = self.numbers.setdefault((one.name, one.unit), np.full(self.rows, np.nan))
            column[rows] = values * one.scale
        for asked, own, words in zip(
            plant.requirements, part.margins, judged.by_requirement, strict=True
        ):
            nothing: list[PairedVerdict] = [NOT_ASKED] * self.rows
            empty = np.full(self.rows, np.nan), nothing
            margins, verdicts_ = self.margins.setdefault((asked.text, asked.unit), empty)
            margins[rows] = own
            for row, word in zip(rows, words, strict=True):
                verdicts_[row] = word
        for place, row in enumerate(rows):
            self.overloaded[row] = judged.overloaded[place]
            self.all_met[row] = judged.all_met[place]
            self.refused[row] = part.refused.get(place, "")

    def document(self, study: PreparedPaired) -> Paired:
        first, table = next(iter(study.opened.values())), study.table
        return Paired(
            title=first.plant.title,
            revision=first.plant.revision,
            source_file=first.file,
            compiler_version=__version__,
            given=table.given,
            labels=tuple(PairedLabel(name=name, texts=texts) for name, texts in table.labels),
            settings=tuple(map(_setting, table.columns)),
            outputs=tuple(
                PairedOutput(name=name, unit=unit, values=_plain(row))
                for (name, unit), row in self.numbers.items()
            ),
            requirements=tuple(
                PairedRequirement(
                    text=text, unit=unit, margins=_plain(margins), verdicts=tuple(words)
                )
                for (text, unit), (margins, words) in self.margins.items()
            ),
            places=table.places,
            refused=tuple(self.refused),
            overloaded=tuple(self.overloaded),
            all_met=tuple(self.all_met),
        )


def _setting(column: RowColumn) -> PairedSetting:
    unit = "" if column.unit is None else column.unit.sign
    return PairedSetting(name=column.name, unit=unit, values=column.numbers or column.texts)


def _plain(row: Array) -> tuple[float | None, ...]:
    return tuple(None if np.isnan(value) else nine_digits(float(value)) for value in row)
