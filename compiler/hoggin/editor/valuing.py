"""Values of names, as the checker finds them."""

from __future__ import annotations

from hoggin.check.evaluate import evaluate
from hoggin.check.scope import LetEntity, Session
from hoggin.check.values import UNKNOWN, Value
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.editor.names import Names, Symbol


def value_of(names: Names, symbol: Symbol) -> Value:
    """The value of a `let` line; unknown if it depends on a parameter."""
    entity = names.entity(symbol)
    if not isinstance(entity, LetEntity):
        return UNKNOWN
    try:
        return evaluate(entity.node.value, entity.scope, Session(Diagnostics()))
    except RecursionError:  # lines that depend on one another too deeply, as the checker says
        return UNKNOWN
