"""Hybrids: BEFORE with some of the edits made, checked like any plant.

A choice of edits is written as a number with a bit for each (`0b101`: the first and the third).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from hoggin.check.checker import check
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.why.edits import Differences
from hoggin.revise.why.lines import Outline
from hoggin.revise.why.project import MixedWorld
from hoggin.revise.why.upstream import upstream
from hoggin.schema.plant import Plant
from hoggin.syntax import tree


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a hybrid is not a valid plant, or has no result, in words; and how to correct it."""

    reason: str
    code: str = ""
    help: str = ""

    def __str__(self) -> str:
        return f"{self.reason} ({self.code})" if self.code else self.reason


@dataclass
class Hybrids:
    """Plants by choice of edits; each is checked once."""

    differences: Differences
    world: MixedWorld
    library: Mapping[str, tree.File]  # the compiler's, by name
    checked: dict[int, Plant | Refusal] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._outline = Outline(self.differences.order)

    @property
    def all(self) -> int:
        """The choice of every edit: AFTER."""
        return (1 << len(self.differences.edits)) - 1

    def plant(self, choice: int) -> Plant | Refusal:
        """What the result depends on in the plant of a choice, or why it is not a plant."""
        if choice not in self.checked:
            found = self.whole(choice)
            self.checked[choice] = found if isinstance(found, Refusal) else upstream(found)
        return self.checked[choice]

    def possible(self, choice: int) -> bool:
        return not isinstance(self.plant(choice), Refusal)

    def whole(self, choice: int) -> Plant | Refusal:
        """The whole plant of a choice, or why it is none."""
        edits = self.differences.edits
        lines = self.differences.mixed(e for i, e in enumerate(edits) if choice >> i & 1)

        def read(source: Source, _: Diagnostics) -> tree.File:
            if source.name in self.library:
                return self.library[source.name]
            statements = self._outline.statements(source.name, lines)
            return tree.File(source, statements, frozenset())

        found = check(self.world, self.world.open_main(), read, picks={})
        faults = [d for d in found.diagnostics if d.is_error]
        if faults:
            return Refusal(faults[0].message, faults[0].code, faults[0].help)
        return found.plant or Refusal("there is no plant")
