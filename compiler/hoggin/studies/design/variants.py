"""Every alternative of a plant: each pick of its `choose` blocks and free words, checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from hoggin.check.cases import reading
from hoggin.check.checker import Checked, check
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.schema.plant import Plant
from hoggin.schema.tracing import Alternatives, Freedom, Place
from hoggin.syntax import tree
from hoggin.syntax.cases import picked_in_cases, plant_of
from hoggin.syntax.parser import parse
from hoggin.world import World

MOST_ALTERNATIVES = 256


@dataclass(frozen=True)
class Variant:
    """One alternative. plant is None if it breaks a rule; then `refused` says which."""

    picks: Mapping[Place, int]
    alternatives: Mapping[Place, Alternatives]
    plant: Plant | None
    freedom: Freedom
    refused: str = ""

    @property
    def words(self) -> str:
        """`tertiary_type: roll, chamber: fine`."""
        return ", ".join(f"{a.name}: {a.options[a.picked]}" for a in self.alternatives.values())


@dataclass
class Alternation:
    """Checks alternatives of one plant, in one of its cases where one is named; each text is parsed
    once."""

    world: World
    source: Source
    case: str = ""
    _files: dict[str, tree.File] = field(default_factory=dict)

    def first(self) -> Checked:
        """The plant at its first alternatives, with every option of every `choose` checked.

        Raises SourceError for errors, HogginError for a library.
        """
        return check(self.world, self.source, self._parsed).in_case(self.case)

    def all(self) -> list[Variant]:
        """Every alternative, the first options first. Raises HogginError for too many."""
        found = []
        for variant in self._from({}):
            found.append(variant)
            if len(found) > MOST_ALTERNATIVES:
                raise HogginError(
                    f"the plant has more than {MOST_ALTERNATIVES} combinations of `choose` options "
                    "and words: leave fewer of them open"
                )
        return found

    def _from(self, picks: Mapping[Place, int]) -> Iterator[Variant]:
        """Alternatives with these picks; an option may hold further words to be picked."""
        read = reading(self._parsed, self.source.name, self.case)
        checked = check(self.world, self.source, read, picks=picks)
        open_ = [place for place in checked.freedom.alternatives if place not in picks]
        if open_:
            options = checked.freedom.alternatives[open_[0]].options
            for option in range(len(options)):
                yield from self._from({**picks, open_[0]: option})
            return
        fault = next((d.message for d in checked.diagnostics if d.is_error), "")
        plant = None if checked.plant is None else checked.plant.called(self.case)
        yield Variant(dict(picks), checked.freedom.alternatives, plant, checked.freedom, fault)

    def picked_in_cases(self) -> Mapping[str, tree.Choose]:
        """The `choose` blocks of the plant that its cases pick options of, by name."""
        plant = plant_of(self._parsed(self.source, Diagnostics()).statements)
        return {} if plant is None else picked_in_cases(plant)

    def _parsed(self, source: Source, diagnostics: Diagnostics) -> tree.File:
        if source.name not in self._files:
            self._files[source.name] = parse(source, diagnostics)
        return self._files[source.name]
