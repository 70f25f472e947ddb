"""Runs of a line through time, from event to event.

Between two events every rate is constant and every level changes linearly, so there is no time step
and no error from one. An event is a store that becomes full or empty, a failure, the end of a
repair, a change in the plan, or the end of a campaign. All runs advance at once, each with its own
clock.

Machines fail only while their section runs, at a rate that does not depend on its pace. Times to
failure and to repair are exponential. (With two sections, this is the fluid line of Gershwin and
Schick 1980 and of Mitra 1988, from memory.)
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from hoggin.errors import HogginError
from hoggin.studies.simulate.draws import Draws
from hoggin.studies.simulate.line import Floats, Line
from hoggin.studies.simulate.rates import BLOCKED, FREE, settled
from hoggin.studies.simulate.schedule import Schedule, schedule

RUNNING, STARVED, HELD, REPAIR, PLANNED, CHANGING, UNLOADED = range(7)
"""What a section does: runs, is short of feed, blocked, under repair, in a planned stop, changed
over to another product, or waits for its feeds' hours of loading. If several stops apply, the first
of these counts: REPAIR, PLANNED, CHANGING, UNLOADED, then what the stores cause."""
STATES = 7
_NEAR = 1e-9  # events this close, relative or in hours, are one
MOST_EVENTS = 50_000  # each takes some 0.3 ms, whatever the number of runs


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """Every event of a run: hours (N,), levels (N, J), states since the one before (N, K)."""

    hours: Floats
    levels_t: Floats
    states: NDArray[np.int8]


@dataclass(frozen=True, slots=True, eq=False)
class Runs:
    """R runs of the same plan. hours_h (R, K, STATES); slowed_h (R, K): running hours below the
    section's pace; lost_t (R, K, STATES): tonnes that were not taken in, by the cause; taken_t
    (R, K); products_t (R, P); levels at the end_t (R, J); empty_h, full_h (R, J);
    repairs_h (R, M) by machine; failures (R, M)."""

    hours_h: Floats
    slowed_h: Floats
    lost_t: Floats
    taken_t: Floats
    products_t: Floats
    fed_t: Floats
    end_t: Floats
    empty_h: Floats
    full_h: Floats
    repairs_h: Floats
    failures: Floats
    traces: tuple[Trace, ...] = ()


def simulate(
    line: Line, hours: float, runs: int = 1, seed: int = 0, *, failures: bool = True, kept: int = 0
) -> Runs:
    """Run a line for some hours of shift time.

    failures: False for one run in which each section's pace is derated by its availability.
    kept: for how many runs, from the first, traces are kept.

    Raises HogginError.
    """
    if not failures:
        line, runs = derated(line), 1
    run = _Run(line, schedule(line, hours), Draws(line, runs, seed), runs, kept)
    for _ in range(MOST_EVENTS):
        if not run.step():
            return run.result()
    raise HogginError(
        f"more than {MOST_EVENTS:,} failures, stops and changes of a store in {hours:g} h: "
        "simulate a shorter time"
    )


def derated(line: Line) -> Line:
    """The line without failures, each section's pace taken down to its availability."""
    return replace(line, pace=line.pace * line.availability, failing=())


@dataclass(eq=False)
class _Run:
    line: Line
    plan: Schedule
    draws: Draws
    runs: int
    kept: int
    events: list[tuple[Floats, Floats, NDArray[np.int8]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        line, runs = self.line, self.runs
        sections, stores = len(line.sections), len(line.stores)
        self.now = np.zeros(runs)
        self.mark = np.zeros(runs, dtype=np.int64)
        self.level = np.tile(line.start_t, (runs, 1))
        self.nth = np.zeros((runs, line.clocks), dtype=np.int64)
        self.life = self.draws.lives(self.nth)
        self.repair = np.zeros((runs, line.clocks))
        self.failed = np.zeros((runs, line.clocks), dtype=np.int64)
        self.turn = np.zeros((runs, len(line.campaigns)), dtype=np.int64)
        self.turn_left = np.tile([float(one.hours[0]) for one in line.campaigns], (runs, 1))
        self.changing = np.zeros((runs, len(line.campaigns)))
        self.gives = np.tile(line.gives_t_h, (runs, 1, 1))
        for one in line.campaigns:
            self.gives[:, one.section] += one.gives_t_h[0]
        self.sums = Runs(
            hours_h=np.zeros((runs, sections, STATES)),
            slowed_h=np.zeros((runs, sections)),
            lost_t=np.zeros((runs, sections, STATES)),
            taken_t=np.zeros((runs, sections)),
            products_t=np.zeros((runs, len(line.products))),
            fed_t=np.zeros((runs, sections)),
            end_t=self.level,
            empty_h=np.zeros((runs, stores)),
            full_h=np.zeros((runs, stores)),
            repairs_h=np.zeros((runs, len(line.failing))),
            failures=np.zeros((runs, len(line.failing))),
        )
        self._keep(np.full((runs, sections), RUNNING, dtype=np.int8))

    def step(self) -> bool:
        """Go to each run's next event; False if all runs have ended."""
        active = self.now < self.plan.marks_h[-1]
        if not active.any():
            return False
        state, top, slowing = self._wanted(active)
        line, stores = self.line, len(self.line.stores)
        empty, full = self.level <= 0, self.level >= line.live_t
        rate, cause = settled(top, line.takes_t_h, self.gives[:, :, :stores], empty, full)
        flow = np.einsum("rk,rkt->rt", rate, self.gives)
        net = flow[:, :stores] - rate @ line.takes_t_h
        net[np.abs(net) <= _NEAR] = 0.0
        held = np.where(cause == BLOCKED, HELD, STARVED)
        state = np.where((state == RUNNING) & (rate == 0), held, state).astype(np.int8)
        lasts, ends = self._until(rate, net, active)
        free = np.where(state == RUNNING, slowing, state)
        self._count(lasts, state, rate, np.where(cause == FREE, free, held), flow, net)
        self._advance(lasts, ends, rate, net)
        self._keep(state)
        return True

    def _wanted(
        self, active: NDArray[np.bool_]
    ) -> tuple[NDArray[np.int8], Floats, NDArray[np.int8]]:
        """What stops each section by itself, the fraction at which it may run, and what takes this
        below its pace, RUNNING if nothing does, (R, K)."""
        planned, loaded = self.plan.planned[self.mark], self.plan.loaded[self.mark]
        state = np.where(loaded, RUNNING, UNLOADED).astype(np.int8)
        for place, one in enumerate(self.line.campaigns):
            state[self.changing[:, place] > 0, one.section] = CHANGING
        state[planned] = PLANNED
        state[self.repair[:, : state.shape[1]] > 0] = REPAIR
        left, slowing = self._left()
        state = np.where((state == RUNNING) & (left == 0), slowing, state).astype(np.int8)
        runs = (state == RUNNING) & active[:, None]
        return state, np.where(runs, self.line.pace * left, 0.0), slowing

    def _left(self) -> tuple[Floats, NDArray[np.int8]]:
        """What part of its pace the equal machines that are not stopped leave to each section, and
        what stops the others, RUNNING where none is stopped, (R, K)."""
        sections = len(self.line.sections)
        left = np.ones((self.runs, sections))
        stopped = np.full((self.runs, sections), RUNNING, dtype=np.int8)
        down = self.repair[:, sections:] > 0
        planned = self.plan.units[self.mark] & ~down
        tags = [unit.tag for unit in self.line.units]
        for tag in dict.fromkeys(tags):
            places = [place for place, one in enumerate(tags) if one == tag]
            section = self.line.units[places[0]].section
            out = (down | planned)[:, places].mean(axis=1)
            tighter = 1 - out < left[:, section]
            left[:, section] = np.where(tighter, 1 - out, left[:, section])
            why = np.where(down[:, places].any(axis=1), REPAIR, PLANNED)
            stopped[:, section] = np.where(tighter, why, stopped[:, section])
        return left, stopped

    def _ageing(self, moving: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """By which clocks machines come nearer to a failure, (R, C): those that run."""
        sections = len(self.line.sections)
        found: NDArray[np.bool_] = moving[:, self.line.section_of_clock]
        found[:, sections:] &= (self.repair[:, sections:] <= 0) & ~self.plan.units[self.mark]
        return found

    def _until(
        self, rate: Floats, net: Floats, active: NDArray[np.bool_]
    ) -> tuple[Floats, dict[str, NDArray[np.bool_]]]:
        """Hours to the next event of each run, (R,), and which events these are."""
        forever = np.inf
        room = np.where(net > 0, self.line.live_t - self.level, self.level)
        moving = rate > 0
        turning = self._turning(moving)
        times = {
            "mark": (self.plan.marks_h[self.mark] - self.now)[:, None],
            "level": np.where(net != 0, room / np.where(net != 0, np.abs(net), 1.0), forever),
            "life": np.where(self._ageing(moving), self.life, forever),
            "repair": np.where(self.repair > 0, self.repair, forever),
            "turn": np.where(turning, self.turn_left, forever),
            "changed": np.where(self.changing > 0, self.changing, forever),
        }
        first = np.min([t.min(axis=1, initial=forever) for t in times.values()], axis=0)
        lasts = np.where(active, first, 0.0)
        limit = (lasts * (1 + _NEAR) + 1e-3 * _NEAR)[:, None]
        return lasts, {name: (t <= limit) & active[:, None] for name, t in times.items()}

    def _turning(self, moving: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Whether each campaign's turn is being used up, (R, C)."""
        return moving[:, [one.section for one in self.line.campaigns]] & (self.changing <= 0)

    def _count(
        self,
        lasts: Floats,
        state: NDArray[np.int8],
        rate: Floats,
        why: NDArray[np.int8],
        flow: Floats,
        net: Floats,
    ) -> None:
        line, sums, long = self.line, self.sums, lasts[:, None]
        every = np.arange(STATES)
        sums.hours_h[:] += (state[..., None] == every) * long[..., None]
        missed = np.maximum(line.pace - rate, 0.0)
        slow = (state == RUNNING) & (missed > _NEAR * line.pace)
        sums.slowed_h[:] += slow * long
        reason = np.where(state == RUNNING, why, state)
        tonnes = missed * line.through_t_h * long
        sums.lost_t[:] += (reason[..., None] == every) * tonnes[..., None]
        sums.taken_t[:] += rate * line.through_t_h * long
        sums.fed_t[:] += rate * line.feeds_t_h * long
        sums.products_t[:] += flow[:, len(line.stores) :] * long
        still = net == 0
        sums.empty_h[:] += (still & (self.level <= 0)) * long
        sums.full_h[:] += (still & (self.level >= line.live_t)) * long
        for place, machine in enumerate(line.failing):
            clock = line.clock(machine)
            down = (self.repair[:, clock] > 0) & (self.failed[:, clock] == place)
            sums.repairs_h[:, place] += down * lasts

    def _advance(
        self, lasts: Floats, ends: dict[str, NDArray[np.bool_]], rate: Floats, net: Floats
    ) -> None:
        long, moving = lasts[:, None], rate > 0
        level = np.clip(self.level + net * long, 0.0, self.line.live_t)
        brim = np.where(net > 0, self.line.live_t, 0.0)
        self.level = np.where(ends["level"], brim, level)
        at_mark = ends["mark"][:, 0]
        self.now = np.where(at_mark, self.plan.marks_h[self.mark], self.now + lasts)
        self.life = np.where(self._ageing(moving), self.life - long, self.life)
        self.mark = np.minimum(self.mark + at_mark, len(self.plan.marks_h) - 1)
        self.repair = np.where(ends["repair"], 0.0, np.maximum(self.repair - long, 0.0))
        if ends["life"].any():
            self._fail(ends["life"])
        if self.line.campaigns:
            self._turn(long, moving, ends)

    def _fail(self, fails: NDArray[np.bool_]) -> None:
        lasting, machine = self.draws.repairs(self.nth)
        self.repair = np.where(fails, lasting, self.repair)
        self.failed = np.where(fails, machine, self.failed)
        self.nth += fails
        self.life = np.where(fails, self.draws.lives(self.nth), self.life)
        for place in range(len(self.line.failing)):
            self.sums.failures[:, place] += (fails & (machine == place)).any(axis=1)

    def _turn(
        self, long: Floats, moving: NDArray[np.bool_], ends: dict[str, NDArray[np.bool_]]
    ) -> None:
        """Use up the turns of campaigns, and change over where one has ended."""
        turning = self._turning(moving)
        left = np.where(turning, np.maximum(self.turn_left - long, 0.0), self.turn_left)
        self.changing = np.where(ends["changed"], 0.0, np.maximum(self.changing - long, 0.0))
        for place, one in enumerate(self.line.campaigns):
            over = ends["turn"][:, place]
            if not over.any():
                continue
            before = self.turn[over, place]
            after = (before + 1) % len(one.hours)
            self.gives[over, one.section] += one.gives_t_h[after] - one.gives_t_h[before]
            self.turn[over, place] = after
            left[over, place] = np.array(one.hours)[after]
            self.changing[over, place] = one.changeover_h
        self.turn_left = left

    def _keep(self, state: NDArray[np.int8]) -> None:
        if self.kept:
            kept = slice(self.kept)
            self.events.append((self.now[kept].copy(), self.level[kept].copy(), state[kept].copy()))

    def result(self) -> Runs:
        traces = tuple(self._trace(run) for run in range(min(self.kept, self.runs)))
        return replace(self.sums, end_t=self.level, traces=traces)

    def _trace(self, run: int) -> Trace:
        """The events of one run; events of other runs, at which it did not advance, are left
        out."""
        hours = np.array([now[run] for now, _, _ in self.events])
        fresh = np.concatenate(([True], np.diff(hours) > 0))
        levels = np.array([level[run] for _, level, _ in self.events])
        states = np.array([state[run] for _, _, state in self.events], dtype=np.int8)
        return Trace(hours[fresh], levels[fresh], states[fresh])
