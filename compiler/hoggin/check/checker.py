"""The check phase from end to end: a file's path in, a checked plant and every fault out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from hoggin.check.cases import across_cases, in_order, reading, with_cases
from hoggin.check.choose import across_options
from hoggin.check.definitions import check_entity, check_library
from hoggin.check.loader import Loader, Module, Read
from hoggin.check.open_numbers import open_numbers
from hoggin.check.plants import check_plant
from hoggin.check.scope import (
    ModuleEntity,
    Names,
    Session,
    ValueEntity,
)
from hoggin.check.sizes import Sizes
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.families.names import E0206
from hoggin.diagnostics.families.text import E0106
from hoggin.diagnostics.families.unused import W0101
from hoggin.diagnostics.source import Source, Span
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError, SourceError
from hoggin.schema.plant import Plant
from hoggin.schema.tracing import Alternatives, Freedom, Place, gathered
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.world import World


@dataclass(frozen=True)
class Checked:
    """What checking gives. `plant` is None for a library, or where there are errors."""

    plant: Plant | None
    diagnostics: tuple[Diagnostic, ...]
    source: Source
    sources: Mapping[str, Source]  # every file that was read, by its shown name
    freedom: Freedom = field(default_factory=Freedom)  # what the plant leaves open
    routes: Mapping[str, tuple[Span, ...]] = field(default_factory=dict)  # by the stream's name
    names: Names = field(default_factory=Names)  # where they were asked for
    cases: Mapping[str, Checked] = field(default_factory=dict)  # the plant's, as plants
    whole: Checked | None = None  # the plant as it is written, where this is one of its cases
    sizes: Sizes | None = None  # that the classes of its machines come in

    @property
    def has_errors(self) -> bool:
        return any(diagnostic.is_error for diagnostic in self.diagnostics)

    def in_case(self, name: str = "") -> Checked:
        """A plant without errors, in one of its cases where one is named.

        Raises SourceError for errors, HogginError for a library and for a case that is not there.
        """
        if self.has_errors:
            raise SourceError(self.diagnostics)
        if self.plant is None:
            raise HogginError(f"`{self.source.name}` is a library and has no plant")
        if not name:
            return self
        if name not in self.cases:
            known = did_you_mean(name, self.cases) or "it states no cases"
            raise HogginError(f"the plant has no case `{name}`: {known}")
        return replace(self.cases[name], whole=self)

    @property
    def states(self) -> tuple[Checked, ...]:
        """The plant as it is written, then its cases, by name."""
        whole = self.whole or self
        return (whole, *(whole.in_case(name) for name in sorted(whole.cases)))


@dataclass(frozen=True)
class _Once:
    """One reading of a source: the plant's own node, and the cases that can be put on it."""

    checked: Checked
    node: tree.PlantDefinition | None
    cases: Mapping[str, tree.Case]
    settled: Mapping[Place, Alternatives]


def check_file(path: Path) -> Checked:
    """Check a plant or library file and all it uses.

    Raises UnreadableError where the file itself can't be read; faults in it come as diagnostics.
    """
    world = World(path)
    return check(world, world.open_main())


def check(
    world: World,
    source: Source,
    read: Read = parse,
    picks: Mapping[Place, int] | None = None,
    *,
    naming: bool = False,
) -> Checked:
    """Check one source of a world.

    read: makes the trees. picks: which option of a free choice, by where it is. Where none are
    given, every option of every `choose` is checked, the others at their first. naming: whether
    to say what the names of the source stand for, those of lines that no plant needs among them.
    """
    names = Names()
    once_read = _checked_once(world, source, read, picks or {}, names, naming=naming)
    first = once_read.checked
    if picks is not None:
        return first

    def of_pick(place: Place, option: int) -> tuple[Diagnostic, ...]:
        return _checked_once(world, source, read, {place: option}, names).checked.diagnostics

    # What a name stands for is the same in a case; what it stands at is not.
    named = Names(names.uses)

    def of_case(name: str) -> Checked:
        read_case = reading(read, source.name, name)
        return _checked_once(world, source, read_case, {}, named, case=name).checked

    options = {**first.freedom.alternatives, **once_read.settled}
    found = across_options(first.diagnostics, options, of_pick)
    cases = {name: of_case(name) for name in once_read.cases}
    found = across_cases(found, {name: one.diagnostics for name, one in cases.items()})
    plants = {name: one.plant for name, one in cases.items() if one.plant is not None}
    plant = first.plant
    if plant is not None and once_read.node is not None and len(plants) == len(cases) > 0:
        plant, warnings = with_cases(plant, once_read.node, plants)
        found = (*found, *warnings)
    found = in_order(found) if cases else found
    errors = any(diagnostic.is_error for diagnostic in found)
    return replace(
        first,
        plant=None if errors else plant,
        diagnostics=found,
        cases={n: replace(one, diagnostics=found) for n, one in cases.items() if not errors},
    )


def _checked_once(
    world: World,
    source: Source,
    read: Read,
    picks: Mapping[Place, int],
    names: Names,
    *,
    naming: bool = False,
    case: str = "",
) -> _Once:
    session = Session(Diagnostics(), picks=picks, names=names)
    plant: Plant | None = None
    node: tree.PlantDefinition | None = None
    try:
        module = Loader(world, session, read).load(source)
        node = module.plants[0] if module.plants else None
        plant = _check_module(module, session)
        if naming:
            unheard = Session(Diagnostics(), session.lost_names, names=names)
            unheard.overflowed = session.overflowed
            check_library(module, unheard)
    except RecursionError:
        session.report(E0106.chain(), Span(source, 0, 0))
    found = tuple(session.diagnostics)
    errors = any(diagnostic.is_error for diagnostic in found)
    freedom = gathered(session.traces, session.order)
    if plant is not None:
        texts = {**world.sources, source.name: source}
        plant = plant.model_copy(update={"open": open_numbers(freedom, texts)}).called(case)
    checked = Checked(
        None if errors else plant,
        found,
        source,
        world.sources,
        freedom,
        session.routes,
        names if naming else Names(),
        sizes=Sizes(session),
    )
    return _Once(checked, node, session.cases, session.settled)


def _check_module(module: Module, session: Session) -> Plant | None:
    if not module.plants:
        check_library(module, session)
        return None
    if len(module.plants) > 1:
        session.report(E0206.second(), module.plants[1].title.span)
    plant = check_plant(module.plants[0], module, session)
    _check_unused(module, session)
    return plant


def _check_unused(module: Module, session: Session) -> None:
    """W0101: names of the plant's own file that nothing uses. What a library offers is its own
    affair. What is unused is checked all the same; where lines were lost, they may have used it,
    and where a name was misspelt, it is reported already."""
    names = module.scope.names.items()
    unused = [(n, e) for n, e in names if id(e) not in session.used]
    for name, entity in unused:
        check_entity(name, entity, module.scope, session)
    meant = {d.help for d in session.diagnostics if d.code == "E0201"}
    for name, entity in () if session.lost_names else unused:
        if isinstance(entity, ValueEntity) or any(_names(hint, name) for hint in meant):
            continue
        library = isinstance(entity, ModuleEntity)
        fault = W0101.library(name) if library else W0101.name(entity.word, name)
        session.report(fault, entity.span)


def _names(hint: str, name: str) -> bool:
    """Whether a hint proposes a name, or something of a library of that name."""
    return hint.startswith((f"did you mean `{name}`", f"did you mean `{name}."))
