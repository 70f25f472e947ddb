"""Values of names, as the checker finds them."""

from __future__ import annotations

from hoggin.check.evaluate import evaluate
from hoggin.check.loader import Loader
from hoggin.check.scope import Entity, LetEntity, ModuleEntity, Scope, Session
from hoggin.check.values import UNKNOWN, Value
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.editor.names import Symbol
from hoggin.editor.reading import OpenWorld, Reader
from hoggin.editor.snapshot import Snapshot
from hoggin.syntax import tree


def entity_of(snapshot: Snapshot, symbol: Symbol, reader: Reader) -> Entity | None:
    """The checker's own record of a name of a file that the document reads."""
    scope = _scope(snapshot, symbol.file, reader)
    return scope.names.get(symbol.name) if scope is not None else None


def value_of(snapshot: Snapshot, symbol: Symbol, reader: Reader) -> Value:
    """The value of a `let` line; unknown where it hangs on a parameter."""
    top = _scope(snapshot, symbol.file, reader)
    if top is None or not isinstance(symbol.node, tree.Let):
        return UNKNOWN
    scope = Scope(top)
    for name, one in snapshot.names.scope_at(symbol.file, symbol.span.start).visible().items():
        if isinstance(one.node, tree.Let) and name not in top.names:
            scope.names[name] = LetEntity(one.node, scope)
    try:
        return evaluate(symbol.node.value, scope, Session(Diagnostics()))
    except RecursionError:  # lines that hang on one another too deeply, as the checker says
        return UNKNOWN


def _scope(snapshot: Snapshot, file: str, reader: Reader) -> Scope | None:
    texts = {
        snapshot.path_of(name): one.source.text
        for name, one in snapshot.files.items()
        if not name.startswith("std.")
    }
    world = OpenWorld(snapshot.path, texts)
    main = Loader(world, Session(Diagnostics()), reader).load(world.open_main())
    waiting, seen = [(snapshot.name, main.scope)], set()
    while waiting:
        name, scope = waiting.pop()
        if name == file:
            return scope
        seen.add(name)
        for entity in scope.names.values():
            if isinstance(entity, ModuleEntity):
                used = snapshot.names.used_file(entity.node)
                if used not in seen:
                    waiting.append((used, entity.members))
    return None
