"""Classes that extend classes, `class crusher ours: cones.high_speed { ... }`, and materials that
extend materials, `material ours: rocks.granite { ... }`.

Once a file is read, each of its classes is made whole: what it inherits stands in it as if it were
written there. Everything behind the loader sees whole classes only, and whole materials. An
inherited line keeps its home, the scope of the file it is written in, where names outside the class
are looked up; the class's own names are those of the class that extends it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from hoggin.check.class_parameters import refuse_class_parameters
from hoggin.check.scope import (
    BandEntity,
    ClassEntity,
    GradingEntity,
    MaterialEntity,
    Scope,
    Session,
    resolve,
)
from hoggin.check.words import words
from hoggin.diagnostics.families.extending import E0410, W0103
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.schema.facts import facts_of
from hoggin.syntax import tree
from hoggin.syntax.walk import paths

_ADDED = ("source", "caution")  # lines of which a class has its own and the inherited ones
_UNCITED = (*_ADDED, "about")
_Key = tuple[str, ...]
_Entity = ClassEntity | MaterialEntity


def make_whole(scope: Scope, source: tree.Text | None, session: Session) -> None:
    """Put the whole class or material in the place of each one of a file. `source` is the file's:
    that of every fact and coefficient of theirs that names none."""
    _Extending(scope, source, session).make_whole()


@dataclass
class _Extending:
    scope: Scope
    source: tree.Text | None
    session: Session
    done: set[str] = field(default_factory=set)
    open: list[str] = field(default_factory=list)

    def make_whole(self) -> None:
        for name, entity in tuple(self.scope.names.items()):
            if isinstance(entity, ClassEntity | MaterialEntity):
                self._one(name, entity)
            elif isinstance(entity, BandEntity | GradingEntity) and entity.node.of is not None:
                self.session.report(E0410.of_other(entity.word), entity.node.of.span)

    def _one(self, name: str, entity: _Entity) -> None:
        if name in self.done:
            return
        self.open.append(name)
        base = self._base(entity) if entity.node.of is not None else None
        self.open.pop()
        if name in self.done:  # it stands in a circle, which is reported
            return
        self.done.add(name)
        if entity.node.of is not None and base is None:
            self._lose(name)
            return
        if isinstance(entity, ClassEntity):
            refuse_class_parameters(entity.node, self.session)
        body = entity.node.body
        if self.source is not None:
            body = tuple(_cited(statement, self.source) for statement in body)
        whole = _with_body(entity, body)
        match whole, base:
            case ClassEntity(), ClassEntity():
                _warn(whole.node, base, self.session)
                whole = _extended(whole, base)
            case MaterialEntity(), MaterialEntity():
                whole = _extended_material(whole, base)
        self.scope.names[name] = self.session.names.entities[whole.node.name] = whole

    def _base(self, entity: _Entity) -> _Entity | None:
        """The class or material that one extends, whole; None after a reported fault."""
        path, report = entity.node.of, self.session.report
        assert path is not None
        near = self.scope.names.get(path.dotted)
        if path.dotted in self.open:
            ring = self.open[self.open.index(path.dotted) :]
            report(E0410.circle(entity.word, [*ring, path.dotted]), path.span)
            for name in ring:
                self.done.add(name)
                self._lose(name)
            return None
        if isinstance(near, ClassEntity | MaterialEntity):
            self._one(path.dotted, near)
        base = resolve(path, self.scope, self.session)
        if base is None:
            return None
        if isinstance(entity, MaterialEntity):
            if isinstance(base, MaterialEntity):
                return base
            return report(E0410.not_a_material(path.dotted, base.word), path.span)
        if not isinstance(base, ClassEntity):
            return report(E0410.not_a_class(path.dotted, base.word), path.span)
        kind, own = base.node.kind.text, entity.node.kind.text
        if kind != own:
            return report(E0410.other_kind(path.dotted, kind, own), path.span)
        return base

    def _lose(self, name: str) -> None:
        """Forget a class of which too little is known to blame anything on it."""
        self.scope.names.pop(name, None)
        self.session.lost_names.add(name)


def _extended(own: ClassEntity, base: ClassEntity) -> ClassEntity:
    """A class with all that it inherits."""
    node, homes = own.node, dict(base.homes)
    inherited = (*base.node.parameters, *_each(base.node.body))
    homes.update((part, base.homes.get(part, base.scope)) for part in inherited)
    given = {one.name.text: one for one in node.parameters}
    before = {one.name.text: one for one in base.node.parameters}
    renamed = {key[1] for key in map(_key, node.body) if key[0] == "name"}
    parameters = [given.get(name, one) for name, one in before.items() if name not in renamed]
    parameters += [one for one in node.parameters if one.name.text not in before]
    left = [s for s in base.node.body if not _is_left_behind(s, given)]
    return replace(
        own,
        node=replace(node, parameters=tuple(parameters), body=_merged(node.body, left)),
        homes=homes,
    )


def _with_body(entity: _Entity, body: tuple[tree.Statement, ...]) -> _Entity:
    if isinstance(entity, ClassEntity):
        return replace(entity, node=replace(entity.node, body=body))
    return replace(entity, node=replace(entity.node, body=body))


def _extended_material(own: MaterialEntity, base: MaterialEntity) -> MaterialEntity:
    """A material with all that it inherits; a source of the whole is that of the base's lines."""
    lines = tuple(s for s in base.node.body if not _is_of_the_whole(s))
    homes = dict(base.homes)
    homes.update((line, base.homes.get(line, base.scope)) for line in lines)
    node = replace(own.node, body=_merged(own.node.body, list(lines)))
    return replace(own, node=node, homes=homes)


def _is_of_the_whole(statement: tree.Statement) -> bool:
    return isinstance(statement, tree.Fact) and statement.name.text in _UNCITED


def _is_left_behind(statement: tree.Statement, parameters: Iterable[str]) -> bool:
    kind, name, *_ = _key(statement)
    return (kind, name) == ("fact", "about") or (kind == "name" and name in parameters)


def _merged(
    own: tuple[tree.Statement, ...], inherited: list[tree.Statement]
) -> tuple[tree.Statement, ...]:
    """The inherited lines, the class's own in place of those that it states; models that it states
    come before others of their role, as the first is what a machine takes."""
    stated: dict[_Key, list[tree.Statement]] = {}
    for statement in own:
        stated.setdefault(_key(statement), []).append(statement)
    models = {_key(s): s for s in inherited if isinstance(s, tree.ModelDefinition)}
    first = [
        _with_inherited(s, models.get(_key(s))) for s in own if isinstance(s, tree.ModelDefinition)
    ]
    found: list[tree.Statement] = []
    for statement in inherited:
        key = _key(statement)
        if key not in stated:
            found.append(statement)
        elif key[0] != "model":
            found += stated.pop(key)
    found += [
        s for some in stated.values() for s in some if not isinstance(s, tree.ModelDefinition)
    ]
    return (*first, *found)


def _with_inherited(
    model: tree.ModelDefinition, before: tree.Statement | None
) -> tree.ModelDefinition:
    """A model with the coefficients that it does not state itself."""
    if not isinstance(before, tree.ModelDefinition):
        return model
    stated = {_key(s) for s in model.body}
    return replace(model, body=(*model.body, *(s for s in before.body if _key(s) not in stated)))


def _key(statement: tree.Statement) -> _Key:
    """What a line of a class is about: one of the same key stands in its place."""
    match statement:
        case tree.Let(name=name) | tree.SettingDefinition(parameter=tree.Parameter(name=name)):
            return "name", name.text
        case tree.Fact(name=name, value=value):
            if name.text in _ADDED and value is not None:
                return "fact", name.text, words(value)
            return "fact", name.text
        case tree.ModelDefinition(role=role, name=name):
            return "model", role.text, name.text
        case tree.Rule(condition=condition):
            return "rule", words(condition)
    return "other", str(id(statement))


def _each(body: Iterable[tree.Statement]) -> Iterator[tree.Statement]:
    """The lines of a class, those of its models too."""
    for statement in body:
        yield statement
        if isinstance(statement, tree.ModelDefinition):
            yield from statement.body


def _cited(statement: tree.Statement, source: tree.Text) -> tree.Statement:
    match statement:
        case tree.Fact(name=name, value=value, source=None) if value is not None:
            return statement if name.text in _UNCITED else replace(statement, source=source)
        case tree.ModelDefinition(body=body):
            return replace(statement, body=tuple(_cited(one, source) for one in body))
    return statement


def _warn(node: tree.ClassDefinition, base: ClassEntity, session: Session) -> None:
    """Report lines that are new beside the base, where they look like slips of ones it has: a value
    that nothing names, and a word that no phase knows."""
    values = {one.name.text for one in base.node.parameters}
    values |= {key[1] for key in map(_key, base.node.body) if key[0] == "name"}
    known = {*facts_of(node.kind.text), *_UNCITED}
    facts = (s.name.text for s in base.node.body if isinstance(s, tree.Fact))
    traits = {name for name in facts if name not in known}
    path = node.of.dotted if node.of is not None else ""

    def _named(name: str) -> bool:
        return any(one.parts[0].text == name for part in (node, base.node) for one in paths(part))

    for statement in node.body:
        match statement:
            case tree.Let(name=name) | tree.SettingDefinition(parameter=tree.Parameter(name=name)):
                # Most have the name of a line of the base: only for the others is all of it read.
                others = values if name.text not in values and not _named(name.text) else set()
            case tree.Fact(name=name):
                others = set() if name.text in known else traits
            case _:
                continue
        hint = did_you_mean(name.text, others) if others and name.text not in others else ""
        if hint.startswith("did you mean"):
            session.report(W0103.new(path, name.text, hint), name.span)
