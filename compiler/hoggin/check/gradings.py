"""Gradings, specification bands and sieve series: sizes fall, passing falls with them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from hoggin.check.evaluate import evaluate, quantity, report_bounds
from hoggin.check.loader import misplaced
from hoggin.check.scope import (
    BandEntity,
    GradingEntity,
    Scope,
    SeriesEntity,
    Session,
    once,
    resolve,
)
from hoggin.check.values import String
from hoggin.diagnostics.families.classes import E0401, E0403
from hoggin.diagnostics.families.gradings import E0601, E0602, E0603
from hoggin.diagnostics.families.names import E0202
from hoggin.diagnostics.families.templates import E0703
from hoggin.diagnostics.source import Span
from hoggin.schema.facts import facts_of
from hoggin.schema.plant import Band, BandPoint
from hoggin.schema.units import LENGTH, NUMBER
from hoggin.syntax import tree

LARGEST_SIZE_MM = 5000.0
SMALLEST_SIZE_MM = 0.001
MOST_SIZES = 500
_MOST_FAULTS = 2  # reported of one list

Points = tuple[tuple[float, float], ...]
_TEXTS = ("about", "source")
_SizedEntry = tuple[float, tuple[float, float], tree.Entry]


def grading(
    entries: Sequence[tree.Entry] | None, where: Span, scope: Scope, session: Session
) -> Points | None:
    """A grading as (size mm, fraction passing), coarse to fine, starting at 100 %.

    Points may be written in any order. None after a reported fault.
    """
    if not entries:
        return session.report(E0601.not_a_list(), where)
    points = _points(entries, scope, session, ranges=False)
    if points is None:
        return None
    whole = _falls(points, 0, session)
    if len(points) < 2:
        return session.report(E0601.one_size(), where)
    top_size, (top, _), top_entry = points[0]
    if top < 1 - 1e-9:
        return session.report(E0603.missing(top_size, top), top_entry.span)
    return tuple((size, low) for size, (low, _), _ in points) if whole else None


def band(entity: BandEntity, name: str, scope: Scope, session: Session) -> Band | None:
    """A specification band; None after a reported fault."""
    texts = dict.fromkeys(_TEXTS, "")
    points: list[_SizedEntry] | None = None
    stated = False
    first: dict[str, Span] = {}
    for statement in entity.node.body:
        if not isinstance(statement, tree.Fact):
            misplaced(statement, "in a band", session)
            continue
        once(first, statement.name, session)
        if statement.name.text in texts and statement.value is not None:
            value = evaluate(statement.value, scope, session)
            texts[statement.name.text] = value.text if isinstance(value, String) else ""
        elif statement.name.text == "passing" and statement.entries is not None:
            stated = bool(statement.entries)
            points = _points(statement.entries, scope, session, ranges=True)
        else:
            session.report(
                E0403.unknown("a band", statement.name.text, facts_of("band")), statement.name.span
            )
    if not points and not stated:
        session.report(E0601.band_without_limits(entity.node.name.text), entity.node.name.span)
    if not points or not (_falls(points, 0, session) and _falls(points, 1, session)):
        return None
    return Band(
        name=name,
        about=texts["about"],
        source=texts["source"],
        points=tuple(BandPoint(size_mm=s, low=low, high=high) for s, (low, high), _ in points),
    )


def series(entity: SeriesEntity, session: Session) -> tuple[float, ...] | None:
    return sizes(entity.node.entries, entity.node.name.span, entity.scope, session)


def sizes(
    entries: Sequence[tree.Entry], where: Span, scope: Scope, session: Session
) -> tuple[float, ...] | None:
    """A list of sieve sizes in mm, coarse to fine. None after a reported fault."""
    found: dict[float, tree.Entry] = {}
    whole = _few_enough(entries, where, session)
    for entry in entries if whole else ():
        if entry.value is not None:
            session.report(E0602.value_of_size(), entry.span)
            whole = False
            continue
        size = size_mm(entry.key, scope, session)
        if size is None:
            whole = False
        elif size in found:
            _twice(entry, found[size], session)
            whole = False
        else:
            found[size] = entry
    if whole and len(found) < 2:
        return session.report(E0602.one_size(), where)
    return tuple(sorted(found, reverse=True)) if whole else None


def _points(
    entries: Sequence[tree.Entry], scope: Scope, session: Session, ranges: bool
) -> list[_SizedEntry] | None:
    found: dict[float, _SizedEntry] = {}
    whole = bool(entries) and _few_enough(entries, entries[0].span, session)
    faults = 0
    for entry in entries if whole else ():
        point = _point(entry, scope, session, ranges)
        if point is None:
            whole = False
            faults += 1
            if faults == _MOST_FAULTS:  # the same slip in every entry, as a unit left out
                break
        elif point[0] in found:
            _twice(entry, found[point[0]][2], session)
            whole = False
        else:
            found[point[0]] = point
    return [found[size] for size in sorted(found, reverse=True)] if whole else None


def _point(entry: tree.Entry, scope: Scope, session: Session, ranges: bool) -> _SizedEntry | None:
    if entry.value is None:
        return session.report(E0601.no_passing(), entry.span)
    size = size_mm(entry.key, scope, session)
    low = _fraction(entry.value, scope, session)
    if entry.upper is not None and not ranges:
        return session.report(E0601.range_of_feed(), entry.span)
    high = low if entry.upper is None else _fraction(entry.upper, scope, session)
    if size is None or low is None or high is None:
        return None
    if low > high:
        return session.report(E0601.limits_reversed(), entry.span)
    return size, (low, high), entry


def size_mm(
    expression: tree.Expression, scope: Scope, session: Session, what: str = "a sieve size"
) -> float | None:
    """A size in mm, within bounds; None after a reported fault. what: a message calls it."""
    found = quantity(expression, LENGTH, what, scope, session)
    if found is None or not found.known:
        return None
    size = found.in_trade_unit()
    if not SMALLEST_SIZE_MM <= size <= LARGEST_SIZE_MM:
        report_bounds(found, SMALLEST_SIZE_MM, LARGEST_SIZE_MM, "a size", expression, session)
        return None
    return size


def _fraction(expression: tree.Expression, scope: Scope, session: Session) -> float | None:
    found = quantity(expression, NUMBER, "passing", scope, session)
    if found is None or not found.known:
        return None
    if not -1e-12 <= found.si <= 1 + 1e-9:
        report_bounds(found, 0.0, 1.0, "passing", expression, session)
        return None
    return min(1.0, max(0.0, found.in_trade_unit()))


def _falls(points: Iterable[_SizedEntry], side: int, session: Session) -> bool:
    """Passing must not rise towards finer sizes."""
    whole = True
    coarser: _SizedEntry | None = None
    for point in points:
        if coarser is not None and point[1][side] > coarser[1][side] + 1e-12:
            session.report(
                E0601.rises(coarser[1][side], coarser[0], point[1][side], point[0]),
                point[2].span,
                coarser[2].span,
            )
            whole = False
        coarser = point
    return whole


def _few_enough(entries: Sequence[tree.Entry], where: Span, session: Session) -> bool:
    if len(entries) <= MOST_SIZES:
        return True
    session.report(E0703.sizes(MOST_SIZES), where)
    return False


def _twice(entry: tree.Entry, first: tree.Entry, session: Session) -> None:
    session.report(E0202.size(), entry.span, first.span)


def stated_grading(statement: tree.Fact, scope: Scope, session: Session) -> Points | None:
    """A feed's grading, its own or one that it calls by a name; None after a reported fault."""
    path = statement.value
    if not isinstance(path, tree.Path):
        return grading(statement.entries, statement.span, scope, session)
    entity = resolve(path, scope, session)
    if isinstance(entity, GradingEntity):
        return named_grading(entity, session)
    if entity is not None:
        session.report(E0401.not_a_grading(path.dotted), path.span)
    return None


def named_grading(entity: GradingEntity, session: Session) -> Points | None:
    """Its points as (size mm, fraction passing), coarse to fine, starting at 100 %.

    None after a reported fault.
    """
    points: Points | None = None
    first: dict[str, Span] = {}
    for statement in entity.node.body:
        if not isinstance(statement, tree.Fact):
            misplaced(statement, "in a grading", session)
            continue
        name, value = statement.name.text, statement.value
        once(first, statement.name, session)
        if name == "passing":
            points = grading(statement.entries, statement.span, entity.scope, session)
        elif name in _TEXTS and value is not None:
            _check_text(name, value, entity.scope, session)
        else:
            session.report(
                E0403.unknown("a grading", name, facts_of("grading")), statement.name.span
            )
    if "passing" not in first:
        session.report(E0601.grading_without_passing(entity.node.name.text), entity.node.name.span)
    return points


def _check_text(name: str, value: tree.Expression, scope: Scope, session: Session) -> None:
    if not isinstance(evaluate(value, scope, session), String):
        session.report(E0401.not_a_text(name), value.span)
