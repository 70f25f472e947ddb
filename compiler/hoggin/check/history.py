"""The table of a plant's revisions: `history { "A": "first issue" }`."""

from __future__ import annotations

from hoggin.check.evaluate import evaluate
from hoggin.check.scope import Scope, Session
from hoggin.check.values import String, Unknown
from hoggin.diagnostics.diagnostic import Note
from hoggin.diagnostics.source import Span
from hoggin.schema.plant import Revision
from hoggin.syntax import tree

_HOW = 'write `"MARK": "what changed"`'


def history(
    node: tree.PlantDefinition, revision: str, scope: Scope, session: Session
) -> tuple[Revision, ...]:
    """The revisions a plant lists, in its own order; `revision` is the one the file stands at.

    Each mark stands once, and where there is a history the plant's own revision is in it.
    """
    named = (f for f in node.body if isinstance(f, tree.Fact) and f.name.text == "history")
    fact = next(named, None)
    if fact is None:
        return ()
    if not fact.entries:
        session.diagnostics.report("E0403", fact.span, "`history` lists no revision", _HOW)
        return ()
    found: dict[str, Revision] = {}
    first: dict[str, Span] = {}
    whole = True
    for entry in fact.entries:
        said = _entry(entry, scope, session)
        if said is None:
            whole = False
        elif said.mark in found:
            session.diagnostics.report(
                "E0202",
                entry.span,
                f"revision `{said.mark}` is listed twice",
                "give each revision a mark of its own",
                [Note(first[said.mark], "first listed")],
            )
        else:
            found[said.mark], first[said.mark] = said, entry.span
    if whole and revision not in found:
        session.diagnostics.report(
            "E0402",
            fact.name.span,
            f"the plant stands at revision `{revision}`, which its history does not list"
            if revision
            else "the plant has a history, but does not say at which `revision` it stands",
            f'add `"{revision}": "what changed"`' if revision else 'add `revision "MARK"`',
        )
    return tuple(found.values())


def _entry(entry: tree.Entry, scope: Scope, session: Session) -> Revision | None:
    if entry.value is None or entry.upper is not None:
        session.diagnostics.report("E0401", entry.span, "a revision is a mark and its words", _HOW)
        return None
    mark, text = _words(entry.key, scope, session), _words(entry.value, scope, session)
    return None if mark is None or text is None else Revision(mark=mark, text=text)


def _words(node: tree.Expression, scope: Scope, session: Session) -> str | None:
    value = evaluate(node, scope, session)
    if isinstance(value, String):
        return value.text
    if not isinstance(value, Unknown):
        session.diagnostics.report("E0401", node.span, "a text in quotes is wanted here", _HOW)
    return None
