"""Makes a design from a plant with free settings: the search and its report."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from hoggin import __version__
from hoggin.balance.result import Array
from hoggin.check.checker import Checked
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.pool import PoolError
from hoggin.schema.plant import Aim
from hoggin.studies.design.conflict import conflict
from hoggin.studies.design.document import (
    Design,
    FrontierPoint,
    FrontierSetting,
    TriedAlternative,
    TriedCase,
)
from hoggin.studies.design.front import FrontPoint, front
from hoggin.studies.design.problem import Problem
from hoggin.studies.design.search import (
    Effort,
    all_choices,
    evolve,
    polish,
    scatter,
    search,
)
from hoggin.studies.design.telling import (
    limits_of,
    picks_of,
    requirements_of,
    rules_of,
    settings_of,
    valued_aims,
)
from hoggin.studies.design.trials import Goal, Scored, Trials
from hoggin.studies.design.variants import Alternation, Variant
from hoggin.studies.design.verifying import Chosen, Written, verified
from hoggin.studies.design.worth import Worths, worths
from hoggin.studies.runner.keeping import KeepingError, StudyFile, UnavailableError, keeping
from hoggin.studies.runner.opening import digest_of
from hoggin.studies.runner.spread import Here, Spread
from hoggin.world import World

MOST_SEARCHED = (
    6  # alternatives that get a full search; if there are more, the best after a short one
)
_SHORT = 8  # generations of that


@dataclass(frozen=True)
class DesignQuestion:
    """point: which point of the front is written, from 1; None for the one the weights select.
    folder: where a search keeps what is balanced, if it can be written to."""

    effort: Effort = field(default_factory=Effort)
    point: int | None = None
    case: str = ""
    folder: Path | None = None
    resume: bool = False


@dataclass(frozen=True)
class Found:
    """The document, and the text of the revision; None if the requirements conflict."""

    design: Design
    text: str | None
    warnings: tuple[Diagnostic, ...] = ()  # of the plant as it was given


@dataclass(frozen=True)
class _Alternative:
    variant: Variant
    trials: Trials


@dataclass(frozen=True)
class PreparedDesign:
    """A design ready to be searched: all that can be wrong with the question has been reported."""

    alternation: Alternation
    question: DesignQuestion
    first: Checked
    variants: Sequence[Variant]
    standing: Sequence[_Alternative]

    def designed(self) -> Found:
        """Search. Raises HogginError, and whatever interrupts it."""
        run = _Run(self.alternation, self.question, self.variants, self.standing)
        with _kept(self.question, self.first) as kept:
            for one in self.standing:
                one.trials.kept = kept
            try:
                found = run.designed()
            except (PoolError, KeepingError):
                raise
            except HogginError as fault:  # there is nothing to be continued
                ended = fault
            else:
                return replace(found, warnings=self.first.diagnostics)
        raise ended

    @property
    def aims(self) -> tuple[Aim, ...]:
        return self.standing[0].trials.problem.aims

    def so_far(self) -> tuple[TriedCase, ...]:
        """The cases balanced so far, of every alternative, the best first."""
        found = []
        for one in self.standing:
            if one.trials.parts:
                found += _tried_cases(one, goal_of(one.trials))
        return tuple(case for _, case in sorted(found, key=lambda pair: pair[0]))


def prepared(
    world: World,
    source: Source,
    question: DesignQuestion,
    spread: Spread | None = None,
    watch: Callable[[int], None] | None = None,
) -> PreparedDesign:
    """`watch` receives the number of cases of each batch.

    Raises SourceError for errors in the plant, HogginError if nothing is free.
    """
    alternation = Alternation(world, source, question.case)
    first = alternation.first()
    variants = alternation.all()
    standing = []
    for number, variant in enumerate(variants):
        if variant.plant is not None:
            problem = Problem(variant.plant, variant.freedom)
            trials = Trials(problem, spread or Here(), watch, name=f"{number}")
            standing.append(_Alternative(variant, trials))
    _something_to_do(standing)
    return PreparedDesign(alternation, question, first, variants, standing)


@contextmanager
def _kept(question: DesignQuestion, first: Checked) -> Iterator[StudyFile | None]:
    """The file that keeps what is balanced; None where no file can be made: a search needs none."""
    import scipy

    asked = {
        "study": "design",
        "plant": digest_of(first, question.case),
        "scipy": scipy.__version__,  # searches
        "effort": asdict(question.effort),
    }
    with ExitStack() as stack:
        kept = None
        with suppress(UnavailableError):
            kept = stack.enter_context(keeping(question.folder, asked, resume=question.resume))
        yield kept


def goal_of(trials: Trials) -> Goal:
    """The first aim under all requirements; without an aim, the largest margins."""
    aims = len(trials.problem.aims)
    if not aims:
        goal = trials.goal([])
        return replace(goal, lacking=goal.sides & trials.problem.is_stated)
    return trials.goal(np.eye(aims)[0])


def _tried_cases(one: _Alternative, goal: Goal) -> list[tuple[float, TriedCase]]:
    """Each with its merit, which is smaller for a better one."""
    problem, known = one.trials.problem, one.trials.all
    merits, met = one.trials.merit(known, goal), one.trials.meets(known, goal)
    _, places = np.unique(known.values, axis=0, return_index=True)
    return [
        (
            float(merits[place]),
            TriedCase(
                values=tuple(
                    float(value) if np.isfinite(value) else None
                    for value in problem.signs * known.costs[place]
                ),
                settings=settings_at(problem, known.values[place]),
                words=one.variant.words,
                met=bool(met[place]),
            ),
        )
        for place in places
    ]


def settings_at(problem: Problem, values: Array) -> tuple[FrontierSetting, ...]:
    return tuple(
        FrontierSetting(
            name=unknown.name, value=float(value / unknown.unit.size), unit=unknown.unit.sign
        )
        for unknown, value in zip(problem.unknowns, values, strict=True)
    )


def designed(world: World, source: Source, question: DesignQuestion) -> Found:
    """Design a plant in this process. Raises as `prepared` does."""
    return prepared(world, source, question).designed()


def _something_to_do(standing: Sequence[_Alternative]) -> None:
    if len(standing) < 2 and not any(one.trials.problem.unknowns for one in standing):
        raise HogginError(
            "no setting is free: write a setting as `css free(10 mm to 25 mm)`, a list as "
            "`any(10 mm, 12 mm)`, or alternatives as `choose NAME { option a { ... } ... }`"
        )
    plant = standing[0].trials.problem.plant
    if not plant.aims and not plant.requirements:
        raise HogginError("the plant states no aim: add a line `maximize chips.rate`")


@dataclass
class _Run:
    """One design, step by step."""

    alternation: Alternation
    question: DesignQuestion
    variants: Sequence[Variant]
    standing: Sequence[_Alternative]
    searched: Sequence[_Alternative] = ()

    def designed(self) -> Found:
        for one in self.standing:
            scatter(one.trials, self.question.effort)
        self.searched = searched = self._promising()
        for one in searched:
            search(one.trials, goal_of(one.trials), self.question.effort)
        if not any(one.trials.met(goal_of(one.trials)) for one in self.standing):
            found = conflict([one.trials for one in self.standing], self.question.effort)
            return Found(self._design(conflict=found), None)
        points = self._front(searched)
        picked = self._picked(points, searched)
        written = verified(self.alternation, picked)
        bound = self._worths(picked)
        return Found(self._told(picked, written, bound, points), written.text)

    def _promising(self) -> list[_Alternative]:
        """All alternatives, or the best of many after a short search."""
        if len(self.standing) <= MOST_SEARCHED:
            return list(self.standing)
        merits = []
        for one in self.standing:
            goal = goal_of(one.trials)
            if all_choices(one.trials.problem) is None:
                evolve(one.trials, goal, replace(self.question.effort, generations=_SHORT))
            merits.append(one.trials.least(goal))
        order = np.argsort(merits, kind="stable")[:MOST_SEARCHED]
        return [self.standing[place] for place in sorted(order)]

    # -- one point of it -------------------------------------------------------------------------

    def _front(self, searched: Sequence[_Alternative]) -> list[FrontPoint]:
        if len(searched[0].trials.problem.aims) < 2:
            return []
        return front([one.trials for one in searched], self.question.effort)

    def _picked(self, points: Sequence[FrontPoint], searched: Sequence[_Alternative]) -> Chosen:
        """The best of the only aim; with several, the requested point of the front, or the one that
        the weights select."""
        if not points:
            leader = min(searched, key=lambda one: one.trials.least(goal_of(one.trials)))
            goal = goal_of(leader.trials)
            return Chosen(leader.variant, leader.trials, goal, leader.trials.best(goal), None)
        costs = np.array([point.case.costs[0] for point in points])
        spans = np.maximum(costs.max(axis=0) - costs.min(axis=0), 1e-12)
        aims = searched[0].trials.problem.aims
        weights = np.array([aim.weight for aim in aims]) / spans
        place = int(np.argmin(costs @ weights))
        if self.question.point is not None:
            if not 1 <= self.question.point <= len(points):
                raise HogginError(f"the front has the points 1 to {len(points)}")
            place = self.question.point - 1
        point = points[place]
        leader = searched[point.alternative]
        goal = leader.trials.goal(weights)
        return Chosen(leader.variant, leader.trials, goal, point.case, place)

    def _worths(self, picked: Chosen) -> Worths:
        """Worths for the first aim, with the others held at their values."""
        trials, aims = picked.trials, len(picked.trials.problem.aims)
        if not aims:
            return Worths((), ())
        if aims == 1:
            return worths(trials, picked.goal, picked.best)
        ceilings = picked.best.costs[0].copy()
        ceilings[0] = np.inf
        first = trials.goal(np.eye(aims)[0], ceilings)
        polish(trials, first, picked.best.values[0])
        return worths(trials, first, trials.best(first))

    # -- reporting it ---------------------------------------------------------------------------

    def _told(
        self, picked: Chosen, written: Written, bound: Worths, points: Sequence[FrontPoint]
    ) -> Design:
        frontier = tuple(
            self._frontier_point(point, picked, number) for number, point in enumerate(points)
        )
        return self._design(
            aims=valued_aims(picked, written),
            settings=settings_of(picked, written, bound, self.alternation.source),
            picks=picks_of(picked.variant, self.alternation.source),
            requirements=requirements_of(picked, written, bound),
            rules=rules_of(bound),
            limits=limits_of(written),
            frontier=frontier,
        )

    def _frontier_point(self, point: FrontPoint, picked: Chosen, number: int) -> FrontierPoint:
        one = self.searched[point.alternative]
        problem, found = one.trials.problem, point.case.values[0]
        return FrontierPoint(
            values=tuple((problem.signs * point.case.costs[0]).tolist()),
            settings=settings_at(problem, found),
            words=one.variant.words,
            picked=number == picked.point,
        )

    def _alternatives(self) -> tuple[TriedAlternative, ...]:
        if len(self.variants) < 2:
            return ()
        by_variant = {id(one.variant): one for one in self.standing}
        return tuple(self._tried(v, by_variant.get(id(v))) for v in self.variants)

    def _tried(self, variant: Variant, one: _Alternative | None) -> TriedAlternative:
        if one is None:
            return TriedAlternative(words=variant.words, best=None, refused=variant.refused)
        goal = goal_of(one.trials)
        best = _aim_value(one.trials, one.trials.best(goal)) if one.trials.met(goal) else None
        is_searched = not self.searched or one in self.searched
        return TriedAlternative(words=variant.words, best=best, is_searched=is_searched)

    def _design(self, **told: Any) -> Design:
        plant = self.standing[0].trials.problem.plant
        every = all(all_choices(one.trials.problem) is not None for one in self.standing)
        return Design(
            title=plant.title,
            revision=plant.revision,
            source_file=self.alternation.source.name,
            compiler_version=__version__,
            seed=self.question.effort.seed,
            starts=self.question.effort.starts,
            balances=sum(one.trials.balances for one in self.standing),
            every=every,
            alternatives=self._alternatives(),
            **told,
        )


def _aim_value(trials: Trials, case: Scored) -> float | None:
    signs = trials.problem.signs
    return float(signs[0] * case.costs[0, 0]) if len(signs) else None
