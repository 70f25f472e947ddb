"""`hoggin regress`: plants against their requirements and their recorded results."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from hoggin.commands.output import paint_of, say, width_of
from hoggin.errors import Exit, HogginError
from hoggin.pool import spread
from hoggin.progress import Bar, watched
from hoggin.revise.regress.acceptance import Acceptance, acceptance
from hoggin.revise.regress.cache import Cache, FollowedWorld, open_cache
from hoggin.revise.regress.cases import Case, find_cases
from hoggin.revise.regress.drift import causes, drifts
from hoggin.revise.regress.measured import Failed, Measured
from hoggin.revise.regress.outcome import Outcome, State, visible
from hoggin.revise.regress.record import HEADER, read_record, record_text
from hoggin.revise.regress.report import details, summary
from hoggin.world import UnreadableError, read_bytes, read_text


@dataclass(frozen=True, slots=True)
class _Work:
    """One case to be run, in any process."""

    case: Case
    cache: Cache


def regress(options: argparse.Namespace) -> int:
    """Run all cases, print their outcomes and write the requested files.

    Raises HogginError; then no record is written.
    """
    gc.enable()  # many plants are checked in one process
    accepted = _acceptance(options)
    found = find_cases(options.paths)
    if not found.cases:
        raise HogginError("there is no `.hog` file to check")
    outcomes = _outcomes(found.cases, options)
    strays = (*found.strays, *_of_libraries(outcomes))
    if accepted is not None and not any(one.failed for one in outcomes):
        outcomes, strays = _accept(outcomes, strays, accepted)
    paint = paint_of(sys.stdout)
    told = details(outcomes, strays, width_of(sys.stdout), paint, full=options.all)
    say((told + summary(outcomes, strays, options.accept, paint)).rstrip("\n"))
    _write_reports(outcomes, strays, options)
    states = {state for outcome in outcomes for state in outcome.states}
    gravest = next((state.code for state in State if state in states), Exit.DONE)
    return gravest or (Exit.DIFFERENT if strays else Exit.DONE)


def _acceptance(options: argparse.Namespace) -> Acceptance | None:
    """Who accepts, when and why. Checked before the run, so that a missing reason wastes no run."""
    if options.accept:
        first = options.paths[0]
        folder = first if first.is_dir() else first.parent
        return acceptance(options.reason, options.by, options.date, folder)
    for name in ("reason", "by", "date"):
        if getattr(options, name) is not None:
            raise HogginError(f"`--{name}` goes with `--accept`")
    return None


def _outcomes(cases: Sequence[Case], options: argparse.Namespace) -> tuple[Outcome, ...]:
    cache = Cache(None) if options.no_cache else open_cache()
    known = [cache.get(case.path, case.varied) for case in cases]
    todo = [_Work(case, cache) for case, run in zip(cases, known, strict=True) if run is None]
    jobs = options.jobs or os.cpu_count() or 1
    if len(todo) > 1 and jobs > 1:
        import hoggin.balancing  # once, for the processes that begin from this one
        import hoggin.revise.regress.vary  # noqa: F401
    runs: dict[int, Measured | Failed] = {}
    with Bar(len(todo), sys.stderr, terminal=watched()) as bar:
        bar.show(0, f"0 of {len(todo)} done")
        for number, run in spread(_measure, todo, jobs):
            runs[number] = run
            name = visible(todo[number].case.name)
            bar.show(len(runs), f"{len(runs)} of {len(todo)} done  {name}")
    cache.prune()
    made = (runs[number] for number in range(len(todo)))
    return tuple(
        _outcome(case, run or next(made), known=run is not None)
        for case, run in zip(cases, known, strict=True)
    )


def _measure(work: _Work) -> Measured | Failed:
    """Check, balance and rate one case."""
    from hoggin.balancing import rated
    from hoggin.check.checker import check
    from hoggin.diagnostics.render import render_all
    from hoggin.revise.regress.measured import findings, library, measured
    from hoggin.revise.regress.vary import reader
    from hoggin.schema.results import Results

    case = work.case
    try:
        world = FollowedWorld(case.path)
        source = world.open_main()
    except UnreadableError as fault:
        return Failed("unreadable", str(fault))
    checked = check(world, source, reader(case.varied, source.name))
    found = findings(checked.diagnostics)
    if checked.has_errors:
        return Failed("errors", render_all(checked.diagnostics), found)
    if checked.plant is None and case.varied:
        return Failed("errors", "it is a library and has no plant to vary")
    if checked.plant is None:
        run = library(found)
    else:
        results = rated(checked.in_case(case.state))
        if not isinstance(results, Results):
            return Failed("unbalanced", render_all([results]), (*found, *findings([results])))
        run = measured(results, found)
    work.cache.put(world, case.varied, run)
    return run


def _outcome(case: Case, run: Measured | Failed, *, known: bool) -> Outcome:
    """A case's results compared with its record."""
    outcome = Outcome(case, run, known=known)
    if isinstance(run, Failed) or run.is_library or not os.path.lexists(case.record):
        return outcome
    try:
        record = read_record(read_bytes(case.record).decode("utf-8"))
    except UnicodeDecodeError as fault:
        return replace(outcome, has_record=True, record_fault=f"byte {fault.start} is not UTF-8")
    except HogginError as fault:
        return replace(outcome, has_record=True, record_fault=str(fault))
    return replace(
        outcome,
        has_record=True,
        recorded=record.accepted,
        drifts=drifts(record, run, case.tolerances),
        causes=causes(record, run),
    )


def _of_libraries(outcomes: Sequence[Outcome]) -> tuple[Path, ...]:
    """Records of files that no longer have a plant."""
    records = (outcome.case.record for outcome in outcomes if outcome.is_library)
    return tuple(record for record in records if record.exists())


def _accept(
    outcomes: Sequence[Outcome], strays: Sequence[Path], accepted: Acceptance
) -> tuple[tuple[Outcome, ...], tuple[Path, ...]]:
    """Write the records of cases that drifted or have none, all or none of them, and remove records
    without a plant or case. A case that holds keeps its record, so that small steps within
    tolerance are not accepted unnoticed."""
    from hoggin.writing import write

    texts = {
        outcome.case.record.absolute(): record_text(
            outcome.run, outcome.case.values, accepted
        ).encode()
        for outcome in outcomes
        if outcome.to_accept and isinstance(outcome.run, Measured)
    }
    if texts:
        base = Path(os.path.commonpath([record.parents[1] for record in texts]))
        write({path.relative_to(base).as_posix(): text for path, text in texts.items()}, base)
    kept = tuple(path for path in strays if not _removed(path))
    return tuple(replace(one, accepted=True) if one.to_accept else one for one in outcomes), kept


def _removed(stray: Path) -> bool:
    """Remove a record without a plant or case, unless the file is not a record."""
    try:
        if not read_text(stray).startswith(HEADER):
            return False
        stray.unlink()
    except (UnreadableError, OSError):
        return False
    print(f"removed {visible(str(stray))}, without a plant or case")
    return True


def _write_reports(
    outcomes: Sequence[Outcome], strays: Sequence[Path], options: argparse.Namespace
) -> None:
    if not (options.summary or options.junit or options.sarif):
        return
    from hoggin.revise.regress.junit import junit
    from hoggin.revise.regress.review import review
    from hoggin.revise.regress.sarif import sarif
    from hoggin.writing import write

    for file, made in (
        (options.summary, review),
        (options.junit, junit),
        (options.sarif, sarif),
    ):
        if file is not None:
            write({file.name: made(outcomes, strays)}, file.parent)
