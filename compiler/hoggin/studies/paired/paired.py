"""Many rows of settings: those that differ in numbers alone are balanced in one batch."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoggin import __version__
from hoggin.balance.result import Array
from hoggin.check.checker import Checked
from hoggin.errors import HogginError, SourceError
from hoggin.models.model import ModelError
from hoggin.pool import PoolError
from hoggin.schema.kinds import DECK_ORDER
from hoggin.schema.rounding import nine_digits
from hoggin.schema.tracing import Bound, Freedom
from hoggin.schema.units import in_unit
from hoggin.studies.paired.columns import CaseColumn, case_columns
from hoggin.studies.paired.document import Paired, PairedOutput, PairedRequirement, PairedSetting
from hoggin.studies.paired.values import Stated
from hoggin.studies.runner.formulas import beyond
from hoggin.studies.runner.opening import Opened, opened, opened_with
from hoggin.studies.runner.outputs import Output, of_reading, verdicts
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.running import batch_cases, batches, run
from hoggin.studies.runner.spread import Part, Spread, Work
from hoggin.syntax.given import setting, source_name
from hoggin.syntax.settings import Setting
from hoggin.world import World

_BESIDE = 1e-6  # of a number, to leave it open


@dataclass(frozen=True)
class PairedQuestion:
    """A plant, in a case where one is named, and which results to read (the rates of its products
    where none)."""

    world: World
    checked: Checked
    read: tuple[str, ...] = ()
    case: str = ""


@dataclass(frozen=True)
class _Solved:
    """Some of the rows: numbers (E, n), margins and judgements (R, n), and of each row the machines
    that are overloaded, whether all is met, and why it has no balance."""

    numbers: Array
    margins: Array
    judgements: NDArray[np.object_]
    overloaded: list[tuple[str, ...]]
    all_met: NDArray[np.bool_]
    refused: list[str]

    @staticmethod
    def without(outputs: int, requirements: int, refused: Sequence[str]) -> _Solved:
        """Rows that have no balance, or none yet."""
        count = len(refused)
        return _Solved(
            np.full((outputs, count), np.nan),
            np.full((requirements, count), np.nan),
            np.full((requirements, count), "not met", dtype=np.object_),
            [()] * count,
            np.zeros(count, dtype=bool),
            list(refused),
        )

    def place(self, rows: Sequence[int], found: _Solved) -> None:
        """Put in what was found of some of the rows."""
        self.numbers[:, rows], self.margins[:, rows] = found.numbers, found.margins
        self.judgements[:, rows], self.all_met[rows] = found.judgements, found.all_met
        for row, tags, reason in zip(rows, found.overloaded, found.refused, strict=True):
            self.overloaded[row], self.refused[row] = tags, reason


@dataclass(frozen=True)
class PreparedPaired:
    """A study ready to be run: all that can be wrong with the question has been reported.
    `opened` is the plant as its file states it, with the results asked of it."""

    question: PairedQuestion
    opened: Opened
    stated: Stated
    columns: tuple[CaseColumn, ...]

    @property
    def rows(self) -> int:
        return len(self.columns[0].texts)


def prepared(question: PairedQuestion, cases: Any) -> PreparedPaired:
    """cases: a frame, a mapping of columns, mappings by row, or the path of a CSV file. Raises
    SourceError for errors in the plant, HogginError for what can't be read."""
    found = opened(question.checked, question.case)
    stated = Stated.of(question.checked.source)
    columns = case_columns(cases, stated)
    if question.read:
        found = opened_with(question.world, (), question.read, question.case)
    return PreparedPaired(question, found, stated, columns)


def studied(study: PreparedPaired, spread: Spread, progress: Progress) -> Paired:
    """Run a study. A row that the plant or its classes do not allow, or that has no balance, has a
    reason and no numbers. Raises HogginError."""
    base, columns = study.opened, study.columns
    outputs = _outputs(base, study.question.read)
    asked = base.plant.requirements
    found = _Solved.without(len(outputs), len(asked), [""] * study.rows)
    work = _Run(study.question, base, study.stated, columns, spread)
    progress.start(0)
    for group in _groups(columns):
        for chosen, part in work.solved(group):
            found.place(chosen, part)
            progress.step(len(chosen))
    requirements = zip(asked, found.margins, found.judgements, strict=True)
    return Paired(
        title=base.plant.title,
        revision=base.plant.revision,
        source_file=base.file,
        compiler_version=__version__,
        settings=tuple(map(_setting, columns)),
        outputs=tuple(
            PairedOutput(name=one.name, unit=one.unit, values=_plain(row))
            for one, row in zip(outputs, found.numbers, strict=True)
        ),
        requirements=tuple(
            PairedRequirement(
                text=one.text,
                unit=one.unit,
                margins=_plain(margins),
                verdicts=tuple(judgements.tolist()),
            )
            for one, margins, judgements in requirements
        ),
        refused=tuple(found.refused),
        overloaded=tuple(found.overloaded),
        all_met=tuple(found.all_met.tolist()),
    )


def _outputs(found: Opened, read: Sequence[str]) -> tuple[Output, ...]:
    if read:
        return found.asked
    return tuple(of_reading("product", one.tag, "rate") for one in found.plant.products)


def _setting(column: CaseColumn) -> PairedSetting:
    unit = "" if column.unit is None else column.unit.sign
    return PairedSetting(name=column.name, unit=unit, values=column.numbers or column.texts)


def _groups(columns: Sequence[CaseColumn]) -> Iterator[list[int]]:
    """Rows with the same words and apertures: each such plant is checked on its own, as words
    choose other models and an aperture another grid of sizes."""
    apart = [one for one in columns if _is_apart(one)]
    groups: dict[tuple[str, ...], list[int]] = {}
    for row in range(len(columns[0].texts)):
        groups.setdefault(tuple(one.texts[row] for one in apart), []).append(row)
    yield from groups.values()


def _is_apart(column: CaseColumn) -> bool:
    return column.numbers is None or column.name.rpartition(".")[2] in DECK_ORDER


def _varies(column: CaseColumn, chosen: Sequence[int]) -> bool:
    """Whether a number differs among rows of one group."""
    return not _is_apart(column) and len({column.texts[row] for row in chosen}) > 1


@dataclass(frozen=True)
class _Run:
    question: PairedQuestion
    base: Opened  # as the file states it
    stated: Stated
    columns: tuple[CaseColumn, ...]
    spread: Spread

    def solved(self, chosen: Sequence[int]) -> Iterator[tuple[Sequence[int], _Solved]]:
        """Rows of one group: in one batch where they can be, else each half on its own, down to a
        row that says for itself what is wrong."""
        if len(chosen) == 1:
            yield chosen, self._alone(chosen[0])
            return
        try:
            found = self._together(chosen)
        except PoolError:  # not the fault of a row
            raise
        except (HogginError, ModelError):
            middle = len(chosen) // 2
            yield from self.solved(chosen[:middle])
            yield from self.solved(chosen[middle:])
        else:
            yield chosen, found

    def _alone(self, row: int) -> _Solved:
        """One row as a balance has it. Raises HogginError for a setting that is not there."""
        try:
            found = self._opened(self._settings(row), self.question.read)
            return self._read_off(found, self._work(found).done({}), [""])
        except SourceError as fault:
            reason = next(one.message for one in fault.diagnostics if one.is_error)
        except ModelError as fault:
            reason = str(fault)
        read, asked = _outputs(self.base, self.question.read), self.base.plant.requirements
        return _Solved.without(len(read), len(asked), [reason])

    def _together(self, chosen: Sequence[int]) -> _Solved:
        """Raises HogginError and ModelError where the rows can't be balanced in one batch."""
        found = self._left_open(chosen)
        values = {
            source_name(one.name): np.array([one.si[row] for row in chosen])
            for one in self.columns
            if _varies(one, chosen)
        }
        batch = {
            name: values[variable.source]
            for name, variable in found.freedom.variables.items()
            if variable.source in values
        }
        reasons = _outside(found.freedom, batch, len(chosen))
        inside = [place for place, reason in enumerate(reasons) if not reason]
        if not inside or not batch:
            raise HogginError("none of these rows can be balanced in a batch")
        self._check_ends([chosen[place] for place in inside])
        wanted = batches(
            {name: value[inside] for name, value in batch.items()},
            len(inside),
            batch_cases(found.plant),
        )
        part = run(self._work(found), wanted, self.spread, Progress.unseen(len(inside)))
        return self._read_off(found, part, reasons)

    def _left_open(self, chosen: Sequence[int]) -> Opened:
        """The plant with what varies left open. A number is left open at what the plant states,
        where that is known, and hardly beyond it to one side: the checker refuses a range with an
        end that is not allowed, and a row that is not allowed has to spoil no other."""
        for side in (1, -1):
            settings = [
                self._freed(one, chosen[0], side)
                if _varies(one, chosen)
                else setting(one.name, one.texts[chosen[0]])
                for one in self.columns
            ]
            try:
                return self._opened(settings, self.question.read)
            except SourceError as fault:
                refused = fault
        raise refused

    def _freed(self, column: CaseColumn, first: int, side: int) -> Setting:
        assert column.unit is not None and column.numbers is not None
        own = self.stated.quantity(column.name)
        start = column.numbers[first] if own is None else in_unit(own.si, column.unit)
        beside = start + side * _BESIDE * (abs(start) or 1.0)
        ends = min(start, beside), max(start, beside), start
        low, high, middle = (column.unit.with_number(repr(end)) for end in ends)
        return setting(column.name, f"free({low} to {high}, {middle})")

    def _check_ends(self, chosen: Sequence[int]) -> None:
        """Check the rows with the least and the largest of each number: not all that the checker
        asks is a bound of one number. Raises SourceError."""
        ends: set[int] = set()
        for one in self.columns:
            if not _is_apart(one):
                ends |= {min(chosen, key=one.si.__getitem__), max(chosen, key=one.si.__getitem__)}
        for row in sorted(ends):
            self._opened(self._settings(row))

    def _settings(self, row: int) -> list[Setting]:
        return [setting(one.name, one.texts[row]) for one in self.columns]

    def _opened(self, settings: Sequence[Setting], read: Sequence[str] = ()) -> Opened:
        return opened_with(self.question.world, settings, read, self.question.case)

    def _work(self, found: Opened) -> Work:
        asked = (one.expression for one in _outputs(found, self.question.read))
        expressions = tuple(one for one in asked if one is not None)
        return Work(found.plant, found.freedom, expressions, found.plant.requirements)

    def _read_off(self, found: Opened, part: Part, reasons: Sequence[str]) -> _Solved:
        """The numbers of a part among rows of which some were left out for a reason."""
        inside = [place for place, reason in enumerate(reasons) if not reason]
        plant, outputs = found.plant, _outputs(found, self.question.read)
        judged = verdicts(plant, part)
        whole = _Solved.without(len(outputs), len(plant.requirements), reasons)
        solved = _Solved(
            part.values * np.array([one.scale for one in outputs])[:, None],
            part.margins,
            np.array(judged.by_requirement, dtype=np.object_).reshape(part.margins.shape),
            list(judged.overloaded),
            np.array(judged.all_met, dtype=bool),
            [part.refused.get(place, "") for place in range(len(inside))],
        )
        whole.place(inside, solved)
        return whole


def _outside(freedom: Freedom, batch: Mapping[str, Array], count: int) -> list[str]:
    """Why a row is outside a range of its class, its model or nature; "" for one that is not."""
    reasons = [""] * count
    for bound in freedom.bounds:
        outside = np.broadcast_to(beyond(bound, freedom, batch), count)
        for row in np.flatnonzero(outside):
            reasons[row] = reasons[row] or _reason(bound)
    return reasons


def _reason(bound: Bound) -> str:
    if not np.isfinite(bound.low):  # a rule
        return f"its class asks for {bound.name}"
    return f"`{bound.name}` is outside {bound.by}"


def _plain(row: Array) -> tuple[float | None, ...]:
    return tuple(None if np.isnan(value) else nine_digits(float(value)) for value in row)
