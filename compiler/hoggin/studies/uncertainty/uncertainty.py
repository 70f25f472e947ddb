"""A study of uncertainty from its question to its document."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hoggin import __version__
from hoggin.balance.result import Array
from hoggin.errors import HogginError
from hoggin.schema.results import Results
from hoggin.schema.tracing import Variable
from hoggin.schema.units import Unit, in_unit, known, unit_of
from hoggin.studies.runner.keeping import keeping
from hoggin.studies.runner.opening import Opened
from hoggin.studies.runner.outputs import Output, Outputs, outputs, verdicts
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.running import batch_cases, batches, run
from hoggin.studies.runner.spread import Part, Spread, Work
from hoggin.studies.uncertainty.asked import foremost, told
from hoggin.studies.uncertainty.document import (
    Cause,
    Chance,
    Method,
    OutputSpread,
    Overloaded,
    Reason,
    UncertainNumber,
    Uncertainty,
)
from hoggin.studies.uncertainty.limits import Range, outside, ranges
from hoggin.studies.uncertainty.sampling import left_out, sample_pair, samples_of
from hoggin.studies.uncertainty.statistics import indices, mixed, percentiles, wilson
from hoggin.studies.unfinished import NOT_COMPUTED

MOST_REASONS = 5


@dataclass(frozen=True)
class UncertaintyQuestion:
    """The number of samples and the method; `ranked` also asks for the causes of the spread."""

    samples: int = 1024
    method: Method = "latin"
    seed: int = 0
    ranked: bool = True
    folder: Path | None = None  # where a long study keeps its finished batches


@dataclass(frozen=True)
class Samples:
    """Every sample: values of the uncertain numbers (n, numbers) in their units, of the outputs
    (n, outputs) in theirs, the verdicts on the requirements, (n, requirements), and the machines
    that are overloaded."""

    numbers: Array
    outputs: Array
    verdicts: NDArray[np.object_]
    overloaded: tuple[tuple[str, ...], ...]
    settled: NDArray[np.bool_]
    all_met: tuple[bool, ...]
    is_computed: NDArray[np.bool_]  # false of what an interrupted study has not done


@dataclass(frozen=True)
class PreparedStudy:
    """A study ready to run: every error of the question has been reported.

    values: of all cases by name, the samples first. standing: which cases are valid.
    """

    opened: Opened
    numbers: dict[str, Variable]
    ranges: dict[str, Range]
    outputs: Outputs
    values: dict[str, Array]
    standing: NDArray[np.bool_]
    reasons: dict[int, str]

    @property
    def cases(self) -> int:
        return int(self.standing.sum())


def prepared(question: UncertaintyQuestion, found: Opened, start: Results) -> PreparedStudy:
    """start: the results with every number at its start. Raises HogginError."""
    plant, freedom = found.plant, found.freedom
    uncertain = {name: v for name, v in freedom.variables.items() if not v.decided}
    if not uncertain:
        raise HogginError(
            "the plant has no uncertain number: write one as `rate normal(450 t/h, 5 %)`, "
            "`uniform(low to high)` or `triangle(low to high, likely)`"
        )
    limits = ranges(freedom)
    random = np.random.default_rng(question.seed)
    first, second = sample_pair(question.method, question.samples, len(uncertain), random)
    shares = [first, second, *mixed(first, second)] if question.ranked else [first]
    values = samples_of(uncertain, limits, np.concatenate(shares))
    reasons = outside(freedom, values)
    count = len(shares) * question.samples
    standing = np.ones(count, dtype=bool)
    standing[list(reasons)] = False
    if not standing[: question.samples].any():
        raise HogginError(f"no sample is a valid plant: {next(iter(reasons.values()))}")
    asked = outputs(plant, told(plant, start))
    return PreparedStudy(found, uncertain, limits, asked, values, standing, reasons)


def studied(
    question: UncertaintyQuestion,
    study: PreparedStudy,
    spread: Spread,
    progress: Progress,
    resume: bool = False,
) -> tuple[Uncertainty, Samples]:
    """Run a study. Raises HogginError."""
    plant, freedom = study.opened.plant, study.opened.freedom
    standing = {name: value[study.standing] for name, value in study.values.items()}
    wanted = batches(standing, study.cases, batch_cases(plant))
    work = Work(plant, freedom, study.outputs.expressions, plant.requirements)
    folder = question.folder if len(wanted) > 1 else None
    with keeping(folder, _key(question, study), resume=resume) as kept:
        progress.start(kept.cases if kept else 0)
        part = run(work, wanted, spread, progress, kept)
        whole = part.among(np.flatnonzero(study.standing), study.standing.size, study.reasons)
        return _document(question, study, whole, work.done({}))


def _key(question: UncertaintyQuestion, study: PreparedStudy) -> dict[str, Any]:
    return {
        "study": "uncertainty",
        "plant": study.opened.digest,
        "numpy": np.__version__,  # draws the samples
        "samples": question.samples,
        "method": question.method,
        "seed": question.seed,
        "ranked": question.ranked,
    }


def _document(
    question: UncertaintyQuestion, study: PreparedStudy, part: Part, start: Part
) -> tuple[Uncertainty, Samples]:
    count, plant = question.samples, study.opened.plant
    told_values = study.outputs.values(part)
    at_start = study.outputs.values(start)[:, 0]
    judged = verdicts(plant, part.first(count))
    missing = [case for case in range(count) if part.refused.get(case) == NOT_COMPUTED]
    standing = study.standing[:count].copy()
    standing[missing] = False
    settled = part.settled[:count]
    units = {name: _unit(variable) for name, variable in study.numbers.items()}
    samples = Samples(
        numbers=np.column_stack(
            [study.values[name][:count] / unit.size for name, unit in units.items()]
        ),
        outputs=told_values[:, :count].T,
        verdicts=np.array(judged.by_requirement, dtype=np.object_).reshape(-1, count).T,
        overloaded=judged.overloaded,
        settled=settled,
        all_met=judged.all_met,
        is_computed=~np.isin(np.arange(count), missing),
    )
    front = outputs(plant, foremost(plant)).outputs
    names = [study.opened.name_of(name) for name in study.numbers]
    random = np.random.default_rng([question.seed, 1])  # of its own: draws nothing from the samples
    tried = int(standing.sum())
    chances = tuple(
        _chance(requirement.text, row.count("met"), row.count("not judged"), tried)
        for requirement, row in zip(plant.requirements, judged.by_requirement, strict=True)
    )
    undecided = sum(
        bool(over) or "not judged" in column
        for over, column in zip(judged.overloaded, samples.verdicts, strict=True)
    )
    together = _chance("all of them together", sum(judged.all_met), undecided, tried)
    document = Uncertainty(
        title=plant.title,
        revision=plant.revision,
        source_file=study.opened.file,
        compiler_version=__version__,
        method=question.method,
        seed=question.seed,
        samples=count,
        cases=study.cases - sum(why == NOT_COMPUTED for why in part.refused.values()),
        missing=len(missing),
        left_out=count - tried - len(missing),
        unsettled=tried - int(settled.sum()),
        ranked=_ranked(question, part),
        reasons=_reasons(part.refused, count),
        numbers=tuple(
            _number(shown, study.numbers[name], units[name], study.ranges[name])
            for shown, name in zip(names, study.numbers, strict=True)
        ),
        outputs=tuple(
            _output(output, row, float(first), count, names, random, output in front)
            for output, row, first in zip(study.outputs.outputs, told_values, at_start, strict=True)
        ),
        chances=chances,
        all_together=together if chances else None,
        overloaded=tuple(
            Overloaded(tag=machine.tag, samples=int(row[:count].sum()))
            for machine, row in zip(plant.machines, part.overloaded, strict=True)
            if row[:count].any()
        ),
    )
    return document, samples


def _ranked(question: UncertaintyQuestion, part: Part) -> int:
    """Samples whose cases all have a balance."""
    if not question.ranked:
        return 0
    return int(part.settled.reshape(-1, question.samples).all(axis=0).sum())


def _output(
    output: Output,
    row: Array,
    at_start: float,
    count: int,
    names: list[str],
    random: np.random.Generator,
    foremost: bool,
) -> OutputSpread:
    own = row[:count]
    known = own[np.isfinite(own)]
    p10, p50, p90 = percentiles(own) or (None, None, None)
    return OutputSpread(
        name=output.name,
        unit=output.unit,
        at_start=at_start if np.isfinite(at_start) else None,
        count=int(known.size),
        mean=float(known.mean()) if known.size else None,
        deviation=float(known.std(ddof=1)) if known.size > 1 else None,
        p10=p10,
        p50=p50,
        p90=p90,
        causes=_causes(row, count, names, random),
        foremost=foremost,
    )


def _causes(
    row: Array, count: int, names: list[str], random: np.random.Generator
) -> tuple[Cause, ...]:
    if row.size == count:
        return ()
    blocks = row.reshape(-1, count)
    found = indices(blocks[0], blocks[1], blocks[2:], random)
    if found is None:
        return ()
    columns = (found.first, found.first_error, found.total, found.total_error)
    rows = zip(names, *(column.tolist() for column in columns), strict=True)
    causes = [
        Cause(number=name, first=first, first_error=off, total=total, total_error=total_off)
        for name, first, off, total, total_off in rows
    ]
    return tuple(sorted(causes, key=lambda cause: -cause.total))


def _chance(text: str, successes: int, not_judged: int, trials: int) -> Chance:
    low, high = wilson(successes, trials)
    share = successes / trials if trials else 0.0
    return Chance(
        text=text,
        met=successes,
        not_judged=not_judged,
        samples=trials,
        chance=share,
        low=low,
        high=high,
    )


def _reasons(found: Mapping[int, str], count: int) -> tuple[Reason, ...]:
    """Why samples have no balance, the most frequent reason first."""
    cases = (text for case, text in sorted(found.items()) if case < count)
    texts = Counter(text for text in cases if text != NOT_COMPUTED)
    return tuple(Reason(text=t, samples=n) for t, n in texts.most_common(MOST_REASONS))


def _unit(variable: Variable) -> Unit:
    return unit_of(variable.unit, variable.dimension) or known("number")


def _number(name: str, variable: Variable, unit: Unit, within: Range) -> UncertainNumber:
    low, high = (in_unit(si, unit) if np.isfinite(si) else None for si in (within.low, within.high))
    return UncertainNumber(
        name=name,
        kind=variable.kind,
        unit=unit.sign,
        numbers=tuple(in_unit(number, unit) for number in variable.numbers),
        start=in_unit(variable.start, unit),
        low=low,
        high=high,
        left_out=left_out(variable, within),
        limited_by=within.by,
    )
