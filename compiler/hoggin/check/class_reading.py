"""One pass over the body of a machine class: what it is read with, and what it says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from hoggin.check.scope import ClassEntity, Names, Scope, Session
from hoggin.diagnostics.source import Span
from hoggin.schema.plant import ModelUse, Setting, Spread
from hoggin.schema.tracing import Path
from hoggin.syntax import tree


@dataclass
class AppliedClass:
    """What a class says of one machine."""

    settings: list[Setting] = field(default_factory=list)
    facts: dict[str, float] = field(default_factory=dict)
    spreads: dict[str, Spread] = field(default_factory=dict)
    traits: dict[str, str] = field(default_factory=dict)
    models: dict[str, ModelUse] = field(default_factory=dict)
    about: str = ""
    cautions: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    numbers: dict[Path, object] = field(default_factory=dict)  # as they came, formulas and all


@dataclass
class Reading:
    """One pass over a class body, for one machine (or for none: `where` is the class's name)."""

    entity: ClassEntity
    scope: Scope
    session: Session
    where: Span
    chosen_models: Mapping[str, tree.Ident]
    settings: Mapping[str, Span]  # where the machine states them, parameters too
    own: Mapping[str, float]  # facts that the machine states in the class's place, by field
    result: AppliedClass = field(default_factory=AppliedClass)

    def within(self, line: tree.Node) -> tuple[Scope, Session]:
        """Where a line's names are looked up. What an inherited one names is what this class makes
        of it: its own file means something else by it."""
        if line not in self.entity.homes:
            return self.scope, self.session
        return self.scope.at(line), self._at_home

    @cached_property
    def _at_home(self) -> Session:
        return replace(self.session, names=Names())

    @property
    def machine(self) -> Span | None:
        """The machine's name; None where the class is checked on its own."""
        return None if self.where == self.entity.node.name.span else self.where
