"""Coefficients of a model that have to agree with one another, whatever their ranges."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.check.scope import Session
from hoggin.diagnostics.families.classes import E0404
from hoggin.diagnostics.families.models import E0407
from hoggin.diagnostics.source import Span
from hoggin.models.catalog import Above, Model, Needs
from hoggin.syntax import tree
from hoggin.syntax.walk import paths

_LEAST = 1e-9  # of the upper, that it has to be above the lower


@dataclass(frozen=True)
class Coefficients:
    """A model's coefficients as a class gives them for one machine. Unknown ones are NaN.

    name: the model's, in the class. settings: the places where the machine states what the class
    works with, by name. where: the machine's name.
    """

    model: Model
    given: Mapping[str, tree.Fact]
    values: Mapping[str, float]
    name: Span
    settings: Mapping[str, Span]
    where: Span

    def __getitem__(self, name: str) -> float:
        return self.values.get(name, math.nan)

    def place(self, *names: str) -> Span:
        """Where the class gives the first of these that it gives."""
        return next((self.given[name].span for name in names if name in self.given), self.name)

    def stated(self, *names: str) -> Span | None:
        """Where the machine states a number that one of these follows."""
        given = (self.given[name] for name in names if name in self.given)
        words = {path.dotted for fact in given for path in paths(fact)}
        return next((span for name, span in self.settings.items() if name in words), None)


def check_agreement(found: Coefficients, session: Session) -> None:
    """Report coefficients that the model can't be computed with."""
    for rule in found.model.above:
        _above(rule, found, session)
    for need in found.model.needs:
        _needs(need, found, session)


def _above(rule: Above, found: Coefficients, session: Session) -> None:
    upper, lower = found[rule.upper], found[rule.lower]
    unit = next(c.unit for c in found.model.coefficients if c.name == rule.upper)
    if not upper <= lower:
        session.traces.bound(
            f"{rule.lower} < {rule.upper}", lower - upper, -math.inf, -_LEAST * abs(upper)
        )
        return
    setting = found.stated(rule.lower, rule.upper)
    inside = found.place(rule.upper, rule.lower)
    more, less = f"{upper:g} {unit}", f"{lower:g} {unit}"
    if setting is None:
        fault = E0404.not_above(rule.upper, more, rule.lower, less, rule.reason)
        session.report(fault, inside, found.where)
    else:
        fault = E0404.set_not_above(rule.upper, more, rule.lower, less, rule.reason)
        session.report(fault, setting, inside)


def _needs(need: Needs, found: Coefficients, session: Session) -> None:
    if found.values.get(need.name, 0.0) == 0.0 or found.values.get(need.other) != 0.0:
        return
    unit = next(c.unit for c in found.model.coefficients if c.name == need.other)
    fault = E0407.partner(need.name, need.other, need.reason, unit)
    session.report(fault, found.place(need.name))
