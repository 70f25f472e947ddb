"""The plausible range of results: each figure that a class says is uncertain at either end, one at
a time, in one batch.

The deviations of a result are added as the root of their squares, downwards and upwards apart. That
is the law of propagation for causes that do not depend on one another, where a result is nearly
linear in each (JCGM 100:2008, 5.1.2, from memory). What several machines of a class share, moves
together.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoggin import __version__
from hoggin.balance.result import Array
from hoggin.models import catalog
from hoggin.rating.overload import named
from hoggin.rating.requirements import as_balanced, slack
from hoggin.schema.plant import Machine, Plant, Requirement, Spread
from hoggin.schema.results import RequirementResult, Results
from hoggin.schema.tracing import Path
from hoggin.studies.plausible.document import (
    Cause,
    Plausible,
    PlausibleRequirement,
    PlausibleResult,
    Standing,
)
from hoggin.studies.runner.cases import numbered
from hoggin.studies.runner.outputs import Output, of_reading
from hoggin.studies.runner.solving import Solved, solve_cases
from hoggin.studies.uncertainty.asked import known_results

_WORDS = {"capacity_spread": "capacity", "power_spread": "power", "size_spread": "product size"}
_CLOSE = 1e-9  # of a value: what rounding leaves


def plausible(plant: Plant, results: Results) -> Plausible:
    """The plausible ranges of a balanced plant's results."""
    return _Study(plant, results).document()


@dataclass(frozen=True)
class _Uncertain:
    """A figure of a class, and the machines that share it."""

    name: str
    fact: str
    spread: Spread
    machines: tuple[Machine, ...]


@dataclass(frozen=True)
class _Study:
    """Case 0 is the plant as it is; cases 2 n + 1 and 2 n + 2 are the ends of cause n."""

    plant: Plant
    results: Results

    @cached_property
    def causes(self) -> tuple[_Uncertain, ...]:
        alike: dict[tuple[str, str], list[Machine]] = {}
        for machine in self.plant.machines:
            for fact in machine.spreads:
                alike.setdefault((machine.class_path, fact), []).append(machine)
        return tuple(
            _Uncertain(
                f"{machines[0].class_name}: {_WORDS[fact]}",
                fact,
                machines[0].spreads[fact],
                tuple(machines),
            )
            for (_, fact), machines in alike.items()
        )

    @cached_property
    def solved(self) -> Solved:
        return solve_cases(numbered(self.plant, self._numbers()))

    def document(self) -> Plausible:
        names = [cause.name for cause in self.causes]
        ends = [f"{name}, {end} end" for name in names for end in ("low", "high")]
        settled = self.solved.settled
        return Plausible(
            title=self.results.title,
            revision=self.results.revision,
            source_file=self.results.source_file,
            compiler_version=__version__,
            cases=len(settled),
            causes=tuple(
                Cause(
                    name=cause.name,
                    low=cause.spread.low,
                    high=cause.spread.high,
                    source=cause.spread.source,
                    machines=tuple(machine.tag for machine in cause.machines),
                )
                for cause in self.causes
            ),
            results=tuple(filter(None, map(self._result, self._outputs()))),
            requirements=tuple(
                self._requirement(requirement, found)
                for requirement, found in zip(
                    self.plant.requirements, self.results.requirements, strict=True
                )
            ),
            unsettled=tuple(end for end, found in zip(ends, settled[1:], strict=True) if not found),
        )

    # -- the cases ------------------------------------------------------------------------------

    def _numbers(self) -> Mapping[Path, Array]:
        found: dict[Path, Array] = {}
        count = 2 * len(self.causes) + 1
        for number, cause in enumerate(self.causes):
            factors = np.ones(count)
            factors[2 * number + 1] = cause.spread.low
            factors[2 * number + 2] = cause.spread.high
            for machine in cause.machines:
                for path, value in _moved(machine, cause.fact):
                    found[path] = value * factors
        return found or {("spreads",): np.ones(1)}

    def _outputs(self) -> Iterator[Output]:
        for product in self.plant.products:
            yield of_reading("product", product.tag, "rate")
        for machine in self.results.machines:
            yield from known_results(machine.kind, machine.tag, machine, ("load", "power"))
            for deck in machine.decks:
                yield from known_results("deck", f"{machine.tag}.{deck.name}", deck, ("area_use",))
        yield from (of_reading("plant", "", name) for name in ("power", "energy"))

    # -- what they give -------------------------------------------------------------------------

    def _result(self, output: Output) -> PlausibleResult | None:
        assert output.expression is not None, "a result that is asked for by name has one"
        values = self.solved.read(output.expression) * output.scale
        if not np.isfinite(values[0]):
            return None
        down, up = _deviations(values)
        most = np.maximum(down, up)
        moved = bool(len(most)) and most.max() > _CLOSE * abs(values[0])
        return PlausibleResult(
            name=output.name,
            unit=output.unit,
            value=float(values[0]),
            low=float(values[0] - np.hypot.reduce(down)) if moved else float(values[0]),
            high=float(values[0] + np.hypot.reduce(up)) if moved else float(values[0]),
            cause=self.causes[int(most.argmax())].name if moved else "",
        )

    def _requirement(
        self, requirement: Requirement, found: RequirementResult
    ) -> PlausibleRequirement:
        rated, readings = self.solved.rated, self.solved.readings
        assert rated is not None and readings is not None, "the plant itself has a balance"
        margins = self.solved.among_all(as_balanced(requirement, readings, rated))
        if found.verdict == "not judged" or not np.isfinite(margins[0]):
            return PlausibleRequirement(
                text=found.text,
                unit=found.unit,
                standing=found.verdict,
                low=None,
                high=None,
                reason=found.reason,
            )
        down, up = _deviations(margins)
        low = float(margins[0] - np.hypot.reduce(down)) if len(down) else float(margins[0])
        high = float(margins[0] + np.hypot.reduce(up)) if len(up) else float(margins[0])
        against = self._overloads(requirement)
        if not against and low < -slack(requirement) and len(down):
            against = f"mostly {self.causes[int(down.argmax())].name}"
        standing: Standing = found.verdict
        if found.met and against:
            standing = "met in the middle only"
        elif not found.met and high >= -slack(requirement):
            standing = "not met in the middle only"
        return PlausibleRequirement(
            text=found.text, unit=found.unit, standing=standing, low=low, high=high, reason=against
        )

    def _overloads(self, requirement: Requirement) -> str:
        """The first end at which what a requirement depends on is void or has no balance."""
        rated, chosen = self.solved.rated, np.flatnonzero(self.solved.settled)
        assert rated is not None
        above = rated.overload.above_requirement(requirement)
        for place, case in enumerate(chosen):
            tags = named(above, place)
            if tags and case:
                cause = self.causes[(case - 1) // 2].name
                return f"{cause} at an end overloads {', '.join(f'`{tag}`' for tag in tags)}"
        if not self.solved.settled.all():
            lost = int(np.flatnonzero(~self.solved.settled)[0])
            return f"{self.causes[(lost - 1) // 2].name} at an end leaves no balance"
        return ""


def _moved(machine: Machine, fact: str) -> Iterator[tuple[Path, float]]:
    """The numbers of a machine that are in proportion to a figure of its class."""
    base: Path = ("machines", machine.tag)
    if fact == "size_spread":
        use = machine.models["breakage"]
        model = catalog.find("breakage", use.model)
        for name in model.size_coefficients if model is not None else ():
            yield (*base, "models", "breakage", "coefficients", name), use.coefficients[name]
    elif machine.decks and machine.deck_area_m2 is not None:
        yield (*base, "facts", "area_m2"), machine.deck_area_m2
    else:
        yield (*base, "spreads", fact), 1.0


def _deviations(values: Array) -> tuple[Array, Array]:
    """How far each cause moves a value down and up from the first, (causes,) each."""
    ends = values[1:].reshape(-1, 2) - values[0]
    known = np.where(np.isfinite(ends), ends, 0.0)
    down: Array = np.maximum(-known, 0.0).max(axis=1, initial=0.0)
    up: Array = np.maximum(known, 0.0).max(axis=1, initial=0.0)
    return down, up
