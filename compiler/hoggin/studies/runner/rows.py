"""Rows of settings: those that differ in numbers alone are balanced in one batch.

A row that the plant or its classes do not allow, or that has no balance, has a reason and no
numbers. It spoils no other row.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.errors import HogginError, SourceError
from hoggin.models.model import ModelError
from hoggin.pool import PoolError
from hoggin.schema.kinds import DECK_ORDER
from hoggin.schema.units import Unit, in_unit
from hoggin.studies.runner.formulas import outside
from hoggin.studies.runner.keeping import KeepingError, StudyFile
from hoggin.studies.runner.opening import Opened, opened_with
from hoggin.studies.runner.outputs import Output
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.running import batch_cases, batches, run
from hoggin.studies.runner.spread import Batch, Nowhere, Part, Spread, Work, without_balance
from hoggin.studies.runner.values import Stated
from hoggin.syntax.given import setting, source_name
from hoggin.syntax.settings import Setting
from hoggin.world import World

_BESIDE = 1e-6  # of a number, to leave it open


@dataclass(frozen=True)
class RowColumn:
    """A setting's values, one a row. `texts` are of the language; `numbers` are the same in `unit`
    where all are quantities, else None."""

    name: str
    texts: tuple[str, ...]
    unit: Unit | None
    numbers: tuple[float, ...] | None

    @cached_property
    def si(self) -> tuple[float, ...]:
        assert self.unit is not None and self.numbers is not None
        return tuple(number * self.unit.size for number in self.numbers)

    @property
    def is_apart(self) -> bool:
        """Whether each value is another plant to be checked on its own: words choose other models,
        and an aperture another grid of sizes."""
        return self.numbers is None or self.name.rpartition(".")[2] in DECK_ORDER


@dataclass(frozen=True)
class SolvedRows:
    """Some rows, and what was found of them in their order. `opened`: the plant that they are."""

    rows: Sequence[int]
    opened: Opened
    part: Part


@dataclass(frozen=True)
class Rows:
    """Rows of one plant, in one of its cases.

    base: the plant as its file states it, with the results asked. outputs: what is read of a plant.
    name: what the finished batches are kept under.
    """

    world: World
    case: str
    asked: tuple[str, ...]
    base: Opened
    stated: Stated
    columns: tuple[RowColumn, ...]
    outputs: Callable[[Opened], Sequence[Output]]
    spread: Spread
    progress: Progress
    kept: StudyFile | None = None
    name: str = ""
    # What was refused with its numbers left open: so it is with half of its rows.
    _refused: dict[tuple[str, ...], SourceError] = field(default_factory=dict)

    def solved(self, rows: Sequence[int]) -> Iterator[SolvedRows]:
        """All that was found of these rows. Raises HogginError for a setting that is not there."""
        apart = [one for one in self.columns if one.is_apart]
        groups: dict[tuple[str, ...], list[int]] = {}
        for row in rows:
            groups.setdefault(tuple(one.texts[row] for one in apart), []).append(row)
        for group in groups.values():
            yield from self._group(group)

    def _group(self, chosen: Sequence[int]) -> Iterator[SolvedRows]:
        """Rows of one group: in one batch where they can be, else each half on its own, down to a
        row that says for itself what is wrong."""
        lost = isinstance(self.spread, Nowhere) and self._name(chosen) not in self._known
        if len(chosen) == 1:
            yield self._none(chosen, "") if lost else self._alone(chosen[0])
            return
        try:
            found = None if lost else self._together(chosen)
        except (PoolError, KeepingError):  # not the fault of a row
            raise
        except (HogginError, ModelError):
            found = None
        if found is not None:
            yield found
            return
        middle = len(chosen) // 2
        yield from self._group(chosen[:middle])
        yield from self._group(chosen[middle:])

    def _alone(self, row: int) -> SolvedRows:
        """One row as a balance has it. Raises HogginError for a setting that is not there."""
        try:
            found = self._opened(self._settings(row), self.asked)
            return self._run(found, [row], [{}])
        except SourceError as fault:
            reason = _said(next(one for one in fault.diagnostics if one.is_error))
        except ModelError as fault:
            reason = str(fault)
        self.progress.step(1)
        return self._none([row], reason)

    def _none(self, rows: Sequence[int], reason: str) -> SolvedRows:
        """Rows without a balance, for one reason; without a reason they were not computed."""
        if not reason and self.kept is not None:
            self.kept.is_lacking = True
        work = self._work(self.base)
        sizes = len(work.expressions), len(work.requirements), len(work.plant.machines), len(rows)
        reasons = (reason,) if reason else ()
        return SolvedRows(rows, self.base, without_balance(*sizes, *reasons))

    def _together(self, chosen: Sequence[int]) -> SolvedRows:
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
        reasons = outside(found.freedom, batch, len(chosen))
        inside = np.array([n for n in range(len(chosen)) if n not in reasons], dtype=np.intp)
        if not len(inside) or not batch:
            raise HogginError("none of these rows can be balanced in a batch")
        self._check_ends([chosen[place] for place in inside])
        numbers = {name: value[inside] for name, value in batch.items()}
        wanted = batches(numbers, len(inside), batch_cases(found.plant))
        solved = self._run(found, chosen, wanted)
        self.progress.step(len(reasons))
        return SolvedRows(chosen, found, solved.part.among(inside, len(chosen), reasons))

    def _run(self, found: Opened, chosen: Sequence[int], wanted: Sequence[Batch]) -> SolvedRows:
        name = f"{self._name(chosen)}:"
        part = run(self._work(found), wanted, self.spread, self.progress, self.kept, name)
        return SolvedRows(chosen, found, part)

    def _name(self, chosen: Sequence[int]) -> str:
        return f"{self.name}{chosen[0]}+{len(chosen)}"

    @cached_property
    def _known(self) -> frozenset[str]:
        """The names of what was finished before."""
        names = () if self.kept is None else self.kept.parts
        return frozenset(name.rpartition(":")[0] for name in names)

    def _left_open(self, chosen: Sequence[int]) -> Opened:
        """The plant with what varies left open. A number is left open at what the plant states,
        where that is known, and hardly beyond it to one side: the checker refuses a range with an
        end that is not allowed, and a row that is not allowed has to spoil no other."""
        for side in (1, -1):
            texts = tuple(
                self._freed(one, chosen[0], side) if _varies(one, chosen) else one.texts[chosen[0]]
                for one in self.columns
            )
            if texts in self._refused:
                refused = self._refused[texts]
                continue
            settings = [setting(c.name, text) for c, text in zip(self.columns, texts, strict=True)]
            try:
                return self._opened(settings, self.asked)
            except SourceError as fault:
                refused = self._refused[texts] = fault
        raise refused

    def _freed(self, column: RowColumn, first: int, side: int) -> str:
        assert column.unit is not None and column.numbers is not None
        own = self.stated.quantity(column.name)
        start = column.numbers[first] if own is None else in_unit(own.si, column.unit)
        beside = start + side * _BESIDE * (abs(start) or 1.0)
        ends = min(start, beside), max(start, beside), start
        low, high, middle = (column.unit.with_number(repr(end)) for end in ends)
        return f"free({low} to {high}, {middle})"

    def _check_ends(self, chosen: Sequence[int]) -> None:
        """Check the rows with the least and the largest of each number: not all that the checker
        asks is a bound of one number. Raises SourceError."""
        ends: set[int] = set()
        for one in self.columns:
            if not one.is_apart:
                ends |= {min(chosen, key=one.si.__getitem__), max(chosen, key=one.si.__getitem__)}
        for row in sorted(ends):
            self._opened(self._settings(row))

    def _settings(self, row: int) -> list[Setting]:
        return [setting(one.name, one.texts[row]) for one in self.columns]

    def _opened(self, settings: Iterable[Setting], asked: Sequence[str] = ()) -> Opened:
        return opened_with(self.world, tuple(settings), asked, self.case)

    def _work(self, found: Opened) -> Work:
        read = (one.expression for one in self.outputs(found))
        expressions = tuple(one for one in read if one is not None)
        return Work(found.plant, found.freedom, expressions, found.plant.requirements)


def _varies(column: RowColumn, chosen: Sequence[int]) -> bool:
    """Whether a number differs among rows of one group."""
    return not column.is_apart and len({column.texts[row] for row in chosen}) > 1


def _said(fault: Diagnostic) -> str:
    """What is wrong with a row: at which setting, or where in the plant's file."""
    source, owner = fault.span.source.name, source_name("")
    if source.startswith(owner):
        return f"`{source.removeprefix(owner)}`: {fault.message}"
    return f"{source}:{fault.span.line}:{fault.span.column}: {fault.message}"
