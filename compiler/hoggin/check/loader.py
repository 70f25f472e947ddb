"""Follows `use` lines: every file is read and parsed once, and its names entered in a scope."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from hoggin.check.edition import state_edition
from hoggin.check.inheritance import make_whole
from hoggin.check.scope import (
    BandEntity,
    ClassEntity,
    GradingEntity,
    LetEntity,
    MaterialEntity,
    ModuleEntity,
    Scope,
    SeriesEntity,
    Session,
    TemplateEntity,
    declare,
    once,
)
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.families.cases import E0212
from hoggin.diagnostics.families.names import E0203, E0204, E0205, E0207
from hoggin.diagnostics.families.plugins import E0211
from hoggin.diagnostics.source import Source, Span
from hoggin.errors import PluginError
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.syntax.settings import Setting, in_body
from hoggin.world import OutsideRootError, UnreadableError, World, installed_libraries

Read = Callable[[Source, Diagnostics], tree.File]


@dataclass(eq=False)
class Module:
    """A file with its names. `plants` are kept apart: a plant is no library member.
    libraries: what its `use` lines name, None where that could not be loaded."""

    file: tree.File
    libraries: Mapping[tree.Use, Module | None]
    scope: Scope = field(default_factory=Scope)
    plants: list[tree.PlantDefinition] = field(default_factory=list)
    sources: list[tree.Fact] = field(default_factory=list)  # of what its classes and materials say


@dataclass(frozen=True)
class _Kept:
    """A library without a fault, and what entering it added to a session."""

    module: Module
    session: Session


# Libraries by their trees, which the parser keeps: a plant that is checked again, or with other
# settings, uses the same.
_kept: OrderedDict[int, _Kept] = OrderedDict()
_MOST_KEPT = 256


class Loader:
    """`read` makes a tree of a source; another than the parser may stand in for it, as where trees
    of two revisions are mixed."""

    def __init__(self, world: World, session: Session, read: Read = parse) -> None:
        self._world = world
        self._session = session
        self._read = read
        self._modules: dict[str, Module] = {}
        self._open: list[str] = []

    def load(self, source: Source) -> Module:
        """Parse a source and everything it uses."""
        if source.name in self._modules:
            return self._modules[source.name]
        file = self._read(source, self._session.diagnostics)
        self._session.lost_names |= file.lost_names
        self._open.append(source.name)
        uses = (one for one in file.statements if isinstance(one, tree.Use))
        libraries = {use: self._library(use, file.source) for use in uses}
        self._open.pop()
        is_library = bool(self._open)
        entered = self._again(file, libraries) if is_library else self._entered(file, libraries)
        self._modules[source.name] = entered
        return entered

    def _again(self, file: tree.File, libraries: Mapping[tree.Use, Module | None]) -> Module:
        """A library as it was entered before, where that was without a fault."""
        known = _kept.get(id(file))
        if known is None or known.module.libraries != libraries:
            known = self._apart(file, libraries)
        if known is None:
            return self._entered(file, libraries)
        _kept[id(file)] = known
        _kept.move_to_end(id(file))
        if len(_kept) > _MOST_KEPT:
            _kept.popitem(last=False)
        self._session.add(known.session)
        return known.module

    def _apart(self, file: tree.File, libraries: Mapping[tree.Use, Module | None]) -> _Kept | None:
        outer, self._session = self._session, Session(Diagnostics())
        try:
            found = _Kept(self._entered(file, libraries), self._session)
        finally:
            self._session = outer
        is_faulty = found.session.diagnostics.count or found.session.lost_names
        return None if is_faulty else found

    def _entered(self, file: tree.File, libraries: Mapping[tree.Use, Module | None]) -> Module:
        module = Module(file, libraries)
        for statement in file.statements:
            self._enter(statement, module)
        make_whole(module.scope, self._source(module), self._session)
        return module

    def _enter(self, statement: tree.Statement, module: Module) -> None:
        scope, session = module.scope, self._session
        match statement:
            case tree.Use():
                self._use(statement, module)
            case tree.Let():
                declare(scope, statement.name, LetEntity(statement, scope), session)
            case tree.ClassDefinition():
                declare(scope, statement.name, ClassEntity(statement, scope), session)
            case tree.TemplateDefinition():
                declare(scope, statement.name, TemplateEntity(statement, scope), session)
            case tree.Series():
                declare(scope, statement.name, SeriesEntity(statement, scope), session)
            case tree.Definition(keyword=keyword):
                declare(scope, statement.name, _DEFINED[keyword.text](statement, scope), session)
            case tree.PlantDefinition():
                module.plants.append(statement)
            case tree.Fact(name=tree.Ident(text="edition")):
                state_edition(statement, module.file.source, session)
            case tree.Fact(name=tree.Ident(text="source")):
                module.sources.append(statement)
            case _:
                misplaced(statement, "at the top of a file", session)

    def _source(self, module: Module) -> tree.Text | None:
        """The file's `source`: that of what its classes and materials say without one."""
        names = module.scope.names.values()
        has_any = any(isinstance(e, ClassEntity | MaterialEntity) for e in names)
        first: dict[str, Span] = {}
        for fact in module.sources:
            if not has_any and not module.file.damaged:
                misplaced(fact, "in a file without classes or materials", self._session)
            once(first, fact.name, self._session)
        values = (fact.value for fact in module.sources)
        return next((value for value in values if isinstance(value, tree.Text)), None)

    def _library(self, use: tree.Use, used_in: Source) -> Module | None:
        source = self._find(use, used_in)
        if source is None:
            if use.alias or isinstance(use.target, tree.Path):
                self._session.lost_names.add(use.name.text)
            return None
        if source.name in self._open:
            ring = [*self._open[self._open.index(source.name) :], source.name]
            self._session.report(E0204.circle(ring), use.span)
            self._session.lost_names.add(use.name.text)
            return None
        return self.load(source)

    def _use(self, use: tree.Use, module: Module) -> None:
        library = module.libraries[use]
        if library is not None:
            members = self._as_changed(use, library.scope)
            declare(module.scope, use.name, ModuleEntity(use, members), self._session)

    def _as_changed(self, use: tree.Use, scope: Scope) -> Scope:
        """A library's names, with its materials as a case of the plant states them."""
        if not use.changed:
            return scope
        names = dict(scope.names)
        for fact in use.changed:
            name, _, part = fact.name.text.partition(".")
            entity = names.get(name)
            if not isinstance(entity, MaterialEntity):
                rocks = (n for n, one in names.items() if isinstance(one, MaterialEntity))
                fault = E0212.no_material(use.name.text, name, rocks)
                self._session.report(fault, fact.name.span)
                continue
            line = Setting.of(fact, part)
            body = in_body(entity.node.body or (), part, line)
            names[name] = MaterialEntity(replace(entity.node, body=body), entity.scope)
        return replace(scope, names=names)

    def _find(self, use: tree.Use, used_in: Source) -> Source | None:
        report = self._session.report
        target = use.target
        try:
            if isinstance(target, tree.Text):
                if use.alias is None:
                    return report(E0203.without_alias(target.text), target.span)
                return self._world.open_relative(target.text, used_in)
            if len(target.parts) == 1:
                name = target.dotted
                is_known = f"std.{name}" in installed_libraries()
                fault = E0203.prefix_missing if is_known else E0203.not_standard
                return report(fault(name), target.span)
            return self._world.open_library(target.dotted)
        except PluginError as fault:
            report(E0211.broken(str(fault)), target.span)
        except OutsideRootError:
            report(E0205.outside(self._world.root.name), target.span)
        except UnreadableError as fault:
            shown = target.dotted if isinstance(target, tree.Path) else target.text
            known = installed_libraries() if isinstance(target, tree.Path) else ()
            unreadable = E0203.unreadable(shown, str(fault), known)
            hint = unreadable.help
            if "`" in hint and use.alias is None:  # the file may well use it by its right name
                self._session.lost_names.add(hint.split("`")[1].rpartition(".")[2])
            report(unreadable, target.span)
        return None


_DEFINED: dict[str, type[MaterialEntity] | type[BandEntity] | type[GradingEntity]] = {
    "material": MaterialEntity,
    "band": BandEntity,
    "grading": GradingEntity,
}
_KINDS: dict[type, str] = {
    tree.Use: "use",
    tree.Let: "let",
    tree.Requirement: "require",
    tree.Rule: "rule",
    tree.ClassDefinition: "class",
    tree.TemplateDefinition: "template",
    tree.SettingDefinition: "setting",
    tree.PlantDefinition: "plant",
    tree.Series: "series",
    tree.ModelDefinition: "model",
    tree.Deck: "deck",
    tree.Operation: "operation",
    tree.Project: "project",
    tree.Note: "note",
    tree.Port: "port",
    tree.Route: "route",
    tree.Declaration: "machine",
    tree.Definition: "definition",
    tree.Aim: "aim",
    tree.Choose: "choose",
    tree.Option: "option",
    tree.Case: "case",
    tree.Fact: "fact",
}


def misplaced(statement: tree.Statement, where: str, session: Session) -> None:
    """Report a statement that has no meaning where it is (E0207)."""
    kind = _KINDS[type(statement)]
    match statement:
        case (
            tree.Declaration(kind=word)
            | tree.Definition(keyword=word)
            | tree.Fact(name=word)
            | tree.Aim(direction=word)
        ):
            called = f"`{word.text}`"
        case tree.Port() | tree.Route():
            called = f"a {kind}"
        case _:
            called = f"`{kind}`"
    whole = statement.span
    first_line = whole.text.partition("\n")[0]
    span = Span(whole.source, whole.start, whole.start + len(first_line))
    session.report(E0207.misplaced(called, kind, where), span)
