"""A plant over a span of time: its sections in many runs, and its bottleneck."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import fsum

import numpy as np
from numpy.typing import NDArray

from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.studies.simulate.building import Built, built
from hoggin.studies.simulate.calendar import Clock, clock
from hoggin.studies.simulate.cautions import cautions
from hoggin.studies.simulate.document import (
    STATES,
    Cause,
    LevelCourse,
    Operation,
    ProductOperation,
    RepairOperation,
    SectionOperation,
    Spread,
    StoreOperation,
    Stretch,
)
from hoggin.studies.simulate.line import Floats, Line
from hoggin.studies.simulate.simulate import HELD, STARVED, UNLOADED, Runs, Trace, simulate

FASTER = 1.1  # of its pace: at this a section is tried as the bottleneck
_LEAST_GAIN = 1e-3  # of all products: a smaller gain is not a bottleneck's
_KEPT = 200  # runs whose levels are kept for the spread in time
_MOST_STRETCHES = 3000  # of the shown run: more can't be distinguished on a page
_FEWEST_POINTS, _MOST_POINTS = 241, 2001  # of the spread in time ...
_POINT_H = 4.0  # ... about one for so many hours, to show what a day does


@dataclass(frozen=True, slots=True)
class Question:
    """asked: a span as `1 week`. runs: their number, if anything fails. failures: False to use
    availabilities as deratings. compared: whether each section is also tried at a higher pace."""

    asked: str
    runs: int = 200
    seed: int = 0
    failures: bool = True
    compared: bool = True


def operated(plant: Plant, results: Results, question: Question) -> Operation:
    """Run a plant through time. Raises HogginError."""
    time = clock(plant, question.asked)
    made = built(plant, results, time)
    line = made.line
    random = question.failures and bool(line.failing)
    count = question.runs if random else 1
    runs = simulate(line, time.hours, count, question.seed, failures=random, kept=_KEPT)
    gains = _gains(line, time, count, question.seed, random, runs) if question.compared else None
    total = runs.products_t.sum(axis=1)
    shown = _shown(total, len(runs.traces))
    sections = tuple(_section(made, n, runs, gains) for n in range(len(line.sections)))
    return Operation(
        compiler_version=results.compiler_version,
        title=results.title,
        revision=results.revision,
        source_file=results.source_file,
        asked=time.asked,
        hours=time.hours,
        runs=count,
        seed=question.seed,
        failures=random,
        fed_t=_spread(runs.fed_t.sum(axis=1)),
        made_t=_spread(total),
        stored_t=_spread(runs.end_t.sum(axis=1) - line.start_t.sum()),
        sections=sections,
        products=_products(plant, results, runs, time),
        stores=_stores(plant, line, runs),
        repairs=_repairs(line, runs),
        bottleneck=_bottleneck(sections, float(total.mean())),
        busiest=min(sections, key=_idle).name,
        inside=made.cut.inside,
        in_parallel=tuple(dict.fromkeys(unit.tag for unit in line.units)),
        overloaded=results.overloaded,
        hours_at=tuple(_hours_at(time).tolist()),
        shown_h=tuple(runs.traces[shown].hours.tolist()),
        levels=_levels(line, runs, shown, time),
        stretches=_stretches(line, runs.traces[shown]),
        cautions=cautions(plant, results, made),
    )


def _spread(values: Floats) -> Spread:
    p10, p50, p90 = np.percentile(values, (10, 50, 90)).tolist()
    return Spread(mean=float(values.mean()), p10=p10, p50=p50, p90=p90)


def _shown(total: Floats, kept: int) -> int:
    """The kept run whose products are nearest to the median."""
    return int(np.argmin(np.abs(total[:kept] - np.median(total))))


def _gains(
    line: Line, time: Clock, count: int, seed: int, random: bool, runs: Runs
) -> list[tuple[float, float]]:
    """For each section at a higher pace, with the same failures: the tonnes of products gained, and
    the part of them that only empties the stores."""
    gains = []
    for section in range(len(line.sections)):
        pace = line.pace.copy()
        pace[section] *= FASTER
        tried = simulate(replace(line, pace=pace), time.hours, count, seed, failures=random)
        gain = float((tried.products_t - runs.products_t).sum(axis=1).mean())
        drawn = float((runs.end_t - tried.end_t).sum(axis=1).mean())
        gains.append((gain, min(max(drawn, 0.0), max(gain, 0.0))))
    return gains


def _section(
    made: Built, number: int, runs: Runs, gains: list[tuple[float, float]] | None
) -> SectionOperation:
    line = made.line
    hours, lost = runs.hours_h[:, number].mean(axis=0), runs.lost_t[:, number].mean(axis=0)
    to_stores = line.gives_t_h[number, : len(line.stores)] > 0
    for one in line.campaigns:
        if one.section == number:
            to_stores |= (one.gives_t_h[:, : len(line.stores)] > 0).any(axis=0)
    return SectionOperation(
        name=line.sections[number],
        members=made.cut.sections[number],
        from_stores=_where(line.stores, line.takes_t_h[number] > 0),
        to_stores=_where(line.stores, to_stores),
        rate_t_h=float(line.through_t_h[number]),
        pace=float(line.pace[number]),
        availability=float(line.availability[number]),
        hours=dict(zip(STATES, hours.tolist(), strict=True)),
        slowed_h=float(runs.slowed_h[:, number].mean()),
        lost_t=dict(zip(STATES, lost.tolist(), strict=True)),
        taken_t=_spread(runs.taken_t[:, number]),
        utilisation=float(hours[0] / hours.sum()),
        gain_t=None if gains is None else gains[number][0],
        gain_from_stores_t=None if gains is None else gains[number][1],
    )


def _where(names: tuple[str, ...], held: NDArray[np.bool_]) -> tuple[str, ...]:
    return tuple(name for name, there in zip(names, held.tolist(), strict=True) if there)


def _idle(section: SectionOperation) -> float:
    """Hours without rock or room; slowed hours count in part."""
    missed = fsum(section.lost_t[STATES[state]] for state in (STARVED, HELD, UNLOADED))
    return missed / (section.pace * section.rate_t_h) if section.rate_t_h > 0 else 0.0


def _bottleneck(sections: tuple[SectionOperation, ...], made_t: float) -> str | None:
    """The section with the largest lasting gain; None if no single section has one."""

    def lasting(section: SectionOperation) -> float:
        return (section.gain_t or 0.0) - (section.gain_from_stores_t or 0.0)

    best = max(sections, key=lasting)
    return best.name if lasting(best) > _LEAST_GAIN * made_t else None


def _products(
    plant: Plant, results: Results, runs: Runs, time: Clock
) -> tuple[ProductOperation, ...]:
    steady = {product.tag: product.rate_t_h * time.hours for product in results.products}
    return tuple(
        ProductOperation(
            tag=product.tag,
            title=product.title,
            made_t=_spread(runs.products_t[:, place]),
            steady_t=steady[product.tag],
        )
        for place, product in enumerate(plant.products)
    )


def _stores(plant: Plant, line: Line, runs: Runs) -> tuple[StoreOperation, ...]:
    kinds = {machine.tag: machine.kind for machine in plant.machines}
    return tuple(
        StoreOperation(
            tag=tag,
            kind=kinds[tag],
            live_t=float(line.live_t[place]),
            start_t=float(line.start_t[place]),
            end_t=_spread(runs.end_t[:, place]),
            empty_h=float(runs.empty_h[:, place].mean()),
            full_h=float(runs.full_h[:, place].mean()),
        )
        for place, tag in enumerate(line.stores)
    )


def _repairs(line: Line, runs: Runs) -> tuple[RepairOperation, ...]:
    found = []
    places: dict[tuple[str, Cause], list[int]] = {}  # several of equal machines
    for place, one in enumerate(line.failing):
        places.setdefault((one.tag, one.cause), []).append(place)
    for of_machine in places.values() if runs.repairs_h.shape[1] else ():
        one = line.failing[of_machine[0]]
        found.append(
            RepairOperation(
                tag=one.tag,
                cause=one.cause,
                section=line.sections[one.section],
                availability=one.availability,
                repair_h=one.repair_h,
                failures=float(runs.failures[:, of_machine].sum(axis=1).mean()),
                down_h=float(runs.repairs_h[:, of_machine].sum(axis=1).mean()),
            )
        )
    return tuple(found)


def _hours_at(time: Clock) -> Floats:
    points = int(time.hours / _POINT_H) + 1
    return np.linspace(0.0, time.hours, min(max(points, _FEWEST_POINTS), _MOST_POINTS))


def _levels(line: Line, runs: Runs, shown: int, time: Clock) -> tuple[LevelCourse, ...]:
    at = _hours_at(time)
    found = []
    for place, tag in enumerate(line.stores):
        levels = np.array([np.interp(at, t.hours, t.levels_t[:, place]) for t in runs.traces])
        p10, p50, p90 = np.percentile(levels, (10, 50, 90), axis=0).tolist()
        found.append(
            LevelCourse(
                tag=tag,
                live_t=float(line.live_t[place]),
                p10_t=tuple(p10),
                p50_t=tuple(p50),
                p90_t=tuple(p90),
                shown_t=tuple(runs.traces[shown].levels_t[:, place].tolist()),
            )
        )
    return tuple(found)


def _stretches(line: Line, trace: Trace) -> tuple[Stretch, ...]:
    """The states of each section in the shown run; empty if there are too many to show."""
    found = []
    for section, name in enumerate(line.sections):
        states = trace.states[1:, section]
        starts = np.flatnonzero(np.concatenate(([True], states[1:] != states[:-1])))
        ends = np.concatenate((starts[1:], [len(states)]))
        for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
            found.append(
                Stretch(
                    section=name,
                    state=STATES[int(states[start])],
                    start_h=float(trace.hours[start]),
                    end_h=float(trace.hours[end]),
                )
            )
    return tuple(found) if len(found) <= _MOST_STRETCHES else ()
