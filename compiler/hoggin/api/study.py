"""Many cases of a plant: those that differ in numbers alone are balanced in one batch."""

from __future__ import annotations

import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal, overload

import numpy as np

from hoggin.api.cases import CaseColumn, case_columns
from hoggin.api.frames import Column, Library, frame
from hoggin.api.values import Stated, setting, source_name
from hoggin.balance.result import Array
from hoggin.check.machines import DECK_ORDER
from hoggin.errors import HogginError, SourceError
from hoggin.models.model import ModelError
from hoggin.pool import PoolError
from hoggin.schema.plant import Plant
from hoggin.schema.rounding import nine_digits
from hoggin.schema.tracing import Bound, Freedom
from hoggin.schema.units import in_unit
from hoggin.studies.runner.formulas import beyond
from hoggin.studies.runner.opening import Opened, opened_in
from hoggin.studies.runner.outputs import Output, met, of_reading
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.running import batch_cases, batches, run
from hoggin.studies.runner.spread import Here, Part, Work
from hoggin.syntax.settings import Setting
from hoggin.world import World

if TYPE_CHECKING:
    import pandas as pd
    import polars as pl

_BESIDE = 1e-6  # of a number, to leave it open
_SHOWN = 20  # rows in a notebook


@dataclass(frozen=True, eq=False, repr=False)
class Study:
    """The results of cases, in their order.

    readings: by the name that was asked for, in the unit that `units` gives; shares in per cent.
    margins: by a requirement's text, how far inside (+) or outside (-) its limits a case is, in
    that requirement's unit. Both are NaN where a case has no balance, and `refused` says why; it is
    "" for the others. met: whether a case has a balance and meets every requirement.
    """

    settings: Mapping[str, tuple[float | str, ...]]
    readings: Mapping[str, tuple[float, ...]]
    margins: Mapping[str, tuple[float, ...]]
    units: Mapping[str, str]
    met: tuple[bool, ...]
    refused: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.met)

    def __getitem__(self, name: str) -> tuple[float, ...]:
        """A reading or a margin of all cases. Raises HogginError for another name."""
        found = self.readings.get(name) or self.margins.get(name)
        if found is None:
            known = ", ".join(f"`{one}`" for one in (*self.readings, *self.margins))
            raise HogginError(f"`{name}` was not read in this study; it has {known}")
        return found

    @overload
    def frame(self, library: Literal["pandas"]) -> pd.DataFrame: ...
    @overload
    def frame(self, library: Literal["polars"]) -> pl.DataFrame: ...
    @overload
    def frame(self, library: None = None) -> Any: ...
    def frame(self, library: Library | None = None) -> Any:
        """A row a case: settings, readings, `margin: ` of each requirement, `met`, `refused`.

        A value that is not there is NaN in pandas and null in polars. Raises HogginError where the
        library is not installed.
        """
        return frame(list(self._columns()), library)

    def __repr__(self) -> str:
        refused = sum(map(bool, self.refused))
        without = f", {refused} without a balance" if refused else ""
        return f"<Study: {len(self)} cases, {sum(self.met)} meet every requirement{without}>"

    def _repr_html_(self) -> str:
        columns = list(self._columns())
        heads = "".join(f"<th>{escape(self._heading(one.name))}</th>" for one in columns)
        rows = "".join(
            f"<tr>{''.join(f'<td>{_cell(one.values[case])}</td>' for one in columns)}</tr>"
            for case in range(min(len(self), _SHOWN))
        )
        more = f"<p>The first {_SHOWN} of {len(self)} cases.</p>" if len(self) > _SHOWN else ""
        return f"<p>{escape(repr(self)[1:-1])}</p><table><tr>{heads}</tr>{rows}</table>{more}"

    def _columns(self) -> Iterator[Column]:
        for name, values in self.settings.items():
            yield Column(name, str if isinstance(values[0], str) else float, values)
        for name, numbers in self.readings.items():
            yield Column(name, float, _without_nan(numbers))
        for text, numbers in self.margins.items():
            yield Column(f"margin: {text}", float, _without_nan(numbers))
        yield Column("met", bool, self.met)
        yield Column("refused", str, self.refused)

    def _heading(self, name: str) -> str:
        unit = self.units.get(name, "")
        return f"{name} ({unit})" if unit else name


@dataclass(frozen=True)
class _Solved:
    """Some of the cases: numbers (E, n), margins (R, n), verdicts (n,) and reasons."""

    numbers: Array
    margins: Array
    met: Array
    refused: tuple[str, ...]


def studied(world: World, stated: Stated, cases: Any, read: Sequence[str], processes: int) -> Study:
    """Run a study. Raises HogginError and SourceError."""
    if isinstance(read, str):
        raise HogginError(f"`read` is a list of results: read=[{read!r}]")
    columns = case_columns(cases, stated)
    base = opened_in(world, (), read)
    outputs = _outputs(base, read)
    count = len(columns[0].texts)
    numbers = np.full((len(outputs), count), np.nan)
    margins = np.full((len(base.plant.requirements), count), np.nan)
    all_met = np.zeros(count, dtype=bool)
    refused = [""] * count
    question = _Question(world, stated, tuple(read), processes)
    for chosen in _groups(columns):
        found = question.solved(columns, chosen)
        numbers[:, chosen], margins[:, chosen] = found.numbers, found.margins
        all_met[chosen] = found.met
        for case, reason in zip(chosen, found.refused, strict=True):
            refused[case] = reason
    return Study(
        MappingProxyType({one.name: one.numbers or one.texts for one in columns}),
        MappingProxyType(
            {one.name: _plain(row) for one, row in zip(outputs, numbers, strict=True)}
        ),
        MappingProxyType(
            {one.text: _plain(r) for one, r in zip(base.plant.requirements, margins, strict=True)}
        ),
        MappingProxyType(
            {
                **{one.name: one.unit.sign for one in columns if one.unit is not None},
                **{one.name: one.unit for one in outputs},
                **{f"margin: {one.text}": one.unit for one in base.plant.requirements},
            }
        ),
        tuple(all_met.tolist()),
        tuple(refused),
    )


def _outputs(opened: Opened, read: Sequence[str]) -> tuple[Output, ...]:
    if read:
        return opened.asked
    return tuple(of_reading("product", one.tag, "rate") for one in opened.plant.products)


def _groups(columns: Sequence[CaseColumn]) -> Iterator[list[int]]:
    """Cases with the same words and apertures: each such plant is checked on its own, as words
    choose other models and an aperture another grid of sizes."""
    apart = [one for one in columns if _is_apart(one)]
    groups: dict[tuple[str, ...], list[int]] = {}
    for case in range(len(columns[0].texts)):
        groups.setdefault(tuple(one.texts[case] for one in apart), []).append(case)
    yield from groups.values()


def _is_apart(column: CaseColumn) -> bool:
    return column.numbers is None or column.name.rpartition(".")[2] in DECK_ORDER


def _varies(column: CaseColumn, chosen: Sequence[int]) -> bool:
    """Whether a number differs among cases of one group."""
    return not _is_apart(column) and len({column.texts[case] for case in chosen}) > 1


@dataclass(frozen=True)
class _Question:
    world: World
    stated: Stated
    read: tuple[str, ...]
    processes: int

    def solved(self, columns: Sequence[CaseColumn], chosen: Sequence[int]) -> _Solved:
        """Cases of one group: in one batch where they can be, else each half on its own, down to a
        case that says for itself what is wrong."""
        if len(chosen) == 1:
            return self._alone(columns, chosen[0])
        try:
            return self._together(columns, chosen)
        except PoolError:  # not the fault of a case
            raise
        except (HogginError, ModelError):
            pass
        middle = len(chosen) // 2
        return _joined([self.solved(columns, h) for h in (chosen[:middle], chosen[middle:])])

    def _alone(self, columns: Sequence[CaseColumn], case: int) -> _Solved:
        """One case as `balance` has it. Raises HogginError for a setting that is not there."""
        try:
            opened = opened_in(
                self.world, [setting(one.name, one.texts[case]) for one in columns], self.read
            )
            work = self._work(opened)
            return self._read_off(opened, work.done({}), [""])
        except SourceError as fault:
            reason = next(one.message for one in fault.diagnostics if one.is_error)
        except ModelError as fault:
            reason = str(fault)
        base = opened_in(self.world, (), self.read)
        shape = len(_outputs(base, self.read)), len(base.plant.requirements)
        numbers, margins = (np.full((rows, 1), np.nan) for rows in shape)
        return _Solved(numbers, margins, np.zeros(1, dtype=bool), (reason,))

    def _together(self, columns: Sequence[CaseColumn], chosen: Sequence[int]) -> _Solved:
        """Raises HogginError and ModelError where the cases can't be balanced in one batch."""
        opened = self._left_open(columns, chosen)
        values = {
            source_name(one.name): np.array([one.si[case] for case in chosen])
            for one in columns
            if _varies(one, chosen)
        }
        batch = {
            name: values[variable.source]
            for name, variable in opened.freedom.variables.items()
            if variable.source in values
        }
        reasons = _outside(opened.freedom, batch, len(chosen))
        inside = [place for place, reason in enumerate(reasons) if not reason]
        if not inside or not batch:
            raise HogginError("no case of these can be balanced in a batch")
        self._check_ends(columns, [chosen[place] for place in inside])
        work = self._work(opened)
        wanted = batches(
            {name: value[inside] for name, value in batch.items()},
            len(inside),
            batch_cases(opened.plant),
        )
        silent = Progress(len(inside), io.StringIO(), terminal=False)
        part = run(work, wanted, Here(self.processes), silent)
        return self._read_off(opened, part, reasons)

    def _left_open(self, columns: Sequence[CaseColumn], chosen: Sequence[int]) -> Opened:
        """The plant with what varies left open. A number is left open at what the plant states,
        where that is known, and hardly beyond it to one side: the checker refuses a range with an
        end that is not allowed, and a case that is not allowed has to spoil no other."""
        for side in (1, -1):
            settings = [
                self._freed(one, chosen[0], side)
                if _varies(one, chosen)
                else setting(one.name, one.texts[chosen[0]])
                for one in columns
            ]
            try:
                return opened_in(self.world, settings, self.read)
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

    def _check_ends(self, columns: Sequence[CaseColumn], chosen: Sequence[int]) -> None:
        """Check the cases with the least and the largest of each number: not all that the checker
        asks is a bound of one number. Raises SourceError."""
        ends: set[int] = set()
        for one in columns:
            if not _is_apart(one):
                ends |= {min(chosen, key=one.si.__getitem__), max(chosen, key=one.si.__getitem__)}
        for case in sorted(ends):
            opened_in(self.world, [setting(one.name, one.texts[case]) for one in columns])

    def _work(self, opened: Opened) -> Work:
        asked = (one.expression for one in _outputs(opened, self.read))
        expressions = tuple(one for one in asked if one is not None)
        return Work(opened.plant, opened.freedom, expressions, opened.plant.requirements)

    def _read_off(self, opened: Opened, part: Part, reasons: Sequence[str]) -> _Solved:
        """The numbers of a part among cases of which some were left out for a reason."""
        inside = [place for place, reason in enumerate(reasons) if not reason]
        scales = np.array([one.scale for one in _outputs(opened, self.read)])[:, None]
        refused = list(reasons)
        for place, reason in part.refused.items():
            refused[inside[place]] = reason
        return _Solved(
            _placed(part.values * scales, inside, len(reasons)),
            _placed(part.margins, inside, len(reasons)),
            _all_met(opened.plant, part, inside, len(reasons)),
            tuple(refused),
        )


def _outside(freedom: Freedom, batch: Mapping[str, Array], count: int) -> list[str]:
    """Why a case is outside a range of its class, its model or nature; "" for one that is not."""
    reasons = [""] * count
    for bound in freedom.bounds:
        outside = np.broadcast_to(beyond(bound, freedom, batch), count)
        for case in np.flatnonzero(outside):
            reasons[case] = reasons[case] or _reason(bound)
    return reasons


def _reason(bound: Bound) -> str:
    if not np.isfinite(bound.low):  # a rule
        return f"its class asks for {bound.name}"
    return f"`{bound.name}` is outside {bound.by}"


def _placed(rows: Array, inside: Sequence[int], count: int) -> Array:
    found = np.full((len(rows), count), np.nan)
    found[:, inside] = rows
    return found


def _all_met(plant: Plant, part: Part, inside: Sequence[int], count: int) -> Array:
    found = np.zeros(count, dtype=bool)
    found[inside] = met(plant.requirements, part.margins).all(axis=0) & part.settled
    return found


def _joined(found: Sequence[_Solved]) -> _Solved:
    return _Solved(
        np.concatenate([one.numbers for one in found], axis=1),
        np.concatenate([one.margins for one in found], axis=1),
        np.concatenate([one.met for one in found]),
        tuple(reason for one in found for reason in one.refused),
    )


def _plain(row: Array) -> tuple[float, ...]:
    return tuple(nine_digits(float(value)) for value in row)


def _without_nan(numbers: Sequence[float]) -> list[float | None]:
    return [None if np.isnan(number) else number for number in numbers]


def _cell(value: Any) -> str:
    if value is None:
        return "-"
    return f"{value:.6g}" if isinstance(value, float) else escape(str(value))
