"""`choose` blocks: alternatives of machines and routes, of which exactly one applies in a plant."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from hoggin.check.loader import misplaced
from hoggin.check.scope import Session, once
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.diagnostics.families.templates import E0703
from hoggin.diagnostics.families.values import E0309
from hoggin.diagnostics.source import Span
from hoggin.schema.tracing import Alternatives, Place
from hoggin.syntax import tree

MOST_OPTIONS = 100  # of a plant: it is checked once with each
_UNUSED = "W0101"
_IN_PLANTS = tree.Aim | tree.Choose | tree.Case  # what stands directly in a plant


def chosen(body: tuple[tree.Statement, ...], session: Session) -> tuple[tree.Statement, ...]:
    """A plant's statements with the picked option of each `choose` in its place; the choices are
    kept in the session's traces."""
    found: list[tree.Statement] = []
    first: dict[str, Span] = {}
    count = 0
    for statement in body:
        if not isinstance(statement, tree.Choose):
            found.append(statement)
            continue
        once(first, statement.name, session)
        options = _options(statement, session)
        if count <= MOST_OPTIONS < count + len(options):
            session.report(E0703.options(MOST_OPTIONS), statement.name.span)
        count += len(options)
        if options:
            picked = options[_picked(statement, options, session)].body
            found += [line for line in picked if not isinstance(line, _IN_PLANTS)]
    if count > MOST_OPTIONS:
        session.traces.alternatives.clear()  # none are gone through
    return tuple(found)


def _options(choose: tree.Choose, session: Session) -> list[tree.Option]:
    """The options by name."""
    first: dict[str, Span] = {}
    for statement in choose.body:
        if not isinstance(statement, tree.Option):
            misplaced(statement, "in a `choose`", session)
        elif once(first, statement.name, session):
            for line in statement.body:
                if isinstance(line, _IN_PLANTS):
                    misplaced(line, "in an option", session)
    options = choose.options
    if len(options) < 2 and not session.lost_names:
        session.report(E0309.too_few(choose.name.text, len(options)), choose.name.span)
    return options


def _picked(choose: tree.Choose, options: list[tree.Option], session: Session) -> int:
    source = choose.span.source.name
    key = (source, choose.span.start)
    pick = session.picks.get(key, _standing(choose, options, session))
    known = session.traces.alternatives if choose.settled is None else session.settled
    known[key] = Alternatives(
        name=choose.name.text,
        options=tuple(option.name.text for option in options),
        picked=pick,
        source=source,
        place=(choose.span.start, choose.span.end),
        bodies=tuple(_inside(option) for option in options),
    )
    return pick


def _standing(choose: tree.Choose, options: list[tree.Option], session: Session) -> int:
    """The place of the option that stands where no one chooses."""
    word, standing = choose.settled, choose.standing
    if standing is None:
        assert word is not None
        known = [option.name.text for option in options]
        return session.report(E0309.no_option(choose.name.text, word.text, known), word.span) or 0
    if word is not None:
        session.names.uses[word] = standing.name
    return options.index(standing)


def _inside(option: tree.Option) -> tuple[int, int]:
    """Offsets of what is between an option's braces."""
    span = option.span
    opened = span.source.text.index("{", option.name.span.end)
    return opened + 1, span.end - 1


def across_options(
    found: tuple[Diagnostic, ...],
    alternatives: Mapping[Place, Alternatives],
    of_pick: Callable[[Place, int], tuple[Diagnostic, ...]],
) -> tuple[Diagnostic, ...]:
    """Diagnostics of a plant at its standing options, and those of every other option of a
    `choose`, which are reported with its name. A name that any option uses is used."""
    known = {_same(diagnostic) for diagnostic in found}
    unused = {_same(d) for d in found if d.code == _UNUSED}
    more: dict[tuple[object, ...], Diagnostic] = {}
    for place, choice in alternatives.items():
        if not choice.bodies:
            continue
        for option in range(len(choice.options)):
            if option == choice.picked:
                continue
            others = of_pick(place, option)
            unused &= {_same(diagnostic) for diagnostic in others}
            for diagnostic in others:
                if diagnostic.code != _UNUSED and _same(diagnostic) not in known:
                    name = f"with option `{choice.options[option]}` of `{choice.name}`"
                    told = replace(diagnostic, message=f"{name}: {diagnostic.message}")
                    more.setdefault(_same(diagnostic), told)
    kept = [d for d in found if d.code != _UNUSED or _same(d) in unused]
    return (*kept, *more.values())


def _same(diagnostic: Diagnostic) -> tuple[object, ...]:
    span = diagnostic.span
    return diagnostic.code, span.source.name, span.start, diagnostic.message
