"""Traits: the words a class states of its own, alone or by a choice.

`action inter_particle` is a trait; so is `liner_set by chamber { coarse: coarse_secondary, fine:
fine_tertiary }`, whose branches may again be chosen by another setting.
"""

from __future__ import annotations

from hoggin.check.evaluate import branches_of, choices_of, evaluate
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Unknown, Word
from hoggin.diagnostics.families.values import E0304
from hoggin.syntax import tree


def trait_word(value: tree.Expression, scope: Scope, session: Session) -> str | None:
    """The word that a fact's value comes to, or None where it is no trait. A word that names
    something in scope is that thing's value, no trait.

    Every branch of a `by` is checked. Where the choice is unknown (a class checked on its own, or
    a fault reported already) the word is ""."""
    if not _all_words(value, scope):
        return None
    return _chosen(value, scope, session)


def _all_words(value: tree.Expression, scope: Scope) -> bool:
    match value:
        case tree.Path(parts=(only,)):
            return scope.find(only.text) is None
        case tree.By(entries=entries):
            branches = [entry.value for entry in entries]
            return bool(branches) and all(b is not None and _all_words(b, scope) for b in branches)
    return False


def _chosen(value: tree.Expression, scope: Scope, session: Session) -> str:
    if isinstance(value, tree.Path):
        return value.dotted
    return _branch(value, scope, session) if isinstance(value, tree.By) else ""


def _branch(node: tree.By, scope: Scope, session: Session) -> str:
    report = session.report
    chosen = evaluate(node.choice, scope, session)
    if not choices_of(node, scope) and not isinstance(chosen, Unknown):
        report(E0304.by_no_choice(node.choice.dotted), node.choice.span)
        return ""
    words = {
        word: _chosen(value, scope, session) for word, value in branches_of(node, scope, session)
    }
    if not isinstance(chosen, Word):
        return ""
    if chosen.text not in words:
        report(E0304.by_incomplete(node.choice.dotted, chosen.text), node.span)
    return words.get(chosen.text, "")
