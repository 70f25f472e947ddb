"""Tables of a machine class's models: gradings or t/h by setting, as a planning table prints them.

Rows may be in any order, as lists are; each is checked with the place of its own figures.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

from hoggin.check.evaluate import evaluate, quantity
from hoggin.check.gradings import grading, size_mm
from hoggin.check.scope import Scope, Session
from hoggin.check.values import Quantity
from hoggin.diagnostics.families.gradings import E0601, E0606
from hoggin.diagnostics.source import Span
from hoggin.schema.plant import TableRow
from hoggin.schema.tracing import OF_MODEL, Traced, extremes
from hoggin.schema.units import LENGTH, RATE, in_unit, known
from hoggin.syntax import tree
from hoggin.syntax.walk import below, paths

_SLACK = 1e-9  # of a number, by which rounding may move it
TABLE_SAMPLES = {
    "passing": "passing { 40 mm: { 63 mm: 100 %, 40 mm: 85 %, 10 mm: 30 % } }",
    "rate": "rate { 40 mm: 60 t/h to 80 t/h, 60 mm: 90 t/h to 120 t/h }",
}


def read_table(fact: tree.Fact, scope: Scope, session: Session) -> tuple[TableRow, ...]:
    """The rows by rising setting; none after a reported fault."""
    name = fact.name.text
    if not fact.entries:
        session.report(E0606.not_a_table(name, TABLE_SAMPLES[name]), fact.span)
        return ()
    rows: dict[float, tuple[TableRow, tree.Entry]] = {}
    whole = True
    for entry in fact.entries:
        row = _row(name, entry, scope, session)
        if row is None:
            whole = False
        elif row.setting_mm in rows:
            session.report(E0606.twice(row.setting_mm), entry.span, rows[row.setting_mm][1].span)
            whole = False
        else:
            rows[row.setting_mm] = row, entry
    ordered = [rows[setting] for setting in sorted(rows)]
    for narrow, wide in pairwise(ordered):
        whole &= _agree(name, narrow, wide, session)
    return tuple(row for row, _ in ordered) if whole else ()


def check_setting(
    table: Sequence[TableRow],
    role: str,
    css: tree.Fact,
    stated: Mapping[str, Span],
    where: Span,
    scope: Scope,
    session: Session,
) -> None:
    """Report a setting that a machine's table does not reach, and hold a free one to the table.
    css: the line of the class. stated: where the machine states what the class works with, by
    name. where: the machine's name."""
    value = evaluate(css.value, scope, session) if css.value is not None else None
    if not isinstance(value, Quantity) or not value.known or value.dimension != LENGTH:
        return
    unit = known("mm")
    low, high = table[0].setting_mm, table[-1].setting_mm
    session.traces.bound("css", value.si, low * unit.size, high * unit.size, OF_MODEL, unit)
    slack = _SLACK * high
    settings = (in_unit(si, unit) for si in extremes(value.si))
    beyond = next((one for one in settings if not low - slack <= one <= high + slack), None)
    if beyond is not None:
        names = {path.dotted for path in paths(css)}
        place = next((span for name, span in stated.items() if name in names), where)
        session.report(E0606.outside(role, low, high, beyond), place, css.span)


def _row(name: str, entry: tree.Entry, scope: Scope, session: Session) -> TableRow | None:
    setting = size_mm(entry.key, scope, session, what="a setting")
    points = (_grading if name == "passing" else _rates)(entry, scope, session)
    if setting is None or points is None:
        return None
    open_number = next((one for one in below(entry) if isinstance(one, tree.Call)), None)
    if isinstance(setting, Traced) or any(isinstance(n, Traced) for point in points for n in point):
        return session.report(E0606.left_open(), (open_number or entry).span)
    return TableRow(setting_mm=setting, points=points)


def _grading(
    entry: tree.Entry, scope: Scope, session: Session
) -> tuple[tuple[float, float], ...] | None:
    if not isinstance(entry.value, tree.Row):
        return session.report(E0606.not_a_row(), entry.span)
    return grading(entry.value.entries, entry.value.span, scope, session)


def _rates(
    entry: tree.Entry, scope: Scope, session: Session
) -> tuple[tuple[float, float], ...] | None:
    if entry.value is None:
        return session.report(E0606.no_rate(), entry.span)
    ends: list[float] = []
    for written in (entry.value, entry.upper or entry.value):
        found = quantity(written, RATE, "a rate", scope, session)
        if found is None or not found.known:
            return None
        if not found.si > 0.0:
            return session.report(E0606.no_rate(), written.span)
        ends.append(found.in_trade_unit())
    if ends[0] > ends[1]:
        return session.report(E0601.limits_reversed(), entry.span)
    return ((ends[0], ends[1]),)


def _agree(
    name: str,
    narrow: tuple[TableRow, tree.Entry],
    wide: tuple[TableRow, tree.Entry],
    session: Session,
) -> bool:
    """Whether a wider setting has a product that is no finer, and a rate that is no lower."""
    (narrow_row, narrow_entry), (wide_row, wide_entry) = narrow, wide
    settings = wide_row.setting_mm, narrow_row.setting_mm
    if name == "rate":
        for more, less in zip(wide_row.points[0], narrow_row.points[0], strict=True):
            if more < less * (1.0 - _SLACK):
                fault = E0606.less_when_wider(more, settings[0], less, settings[1])
                session.report(fault, wide_entry.span, narrow_entry.span)
                return False
        return True
    before = dict(narrow_row.points)
    for size, passing in wide_row.points:
        if passing > before.get(size, 1.0) + _SLACK:
            fault = E0606.finer_when_wider(passing, size, settings[0], before[size], settings[1])
            places = (_cell(one, size, session) for one in (wide_entry, narrow_entry))
            session.report(fault, *places)
            return False
    return True


def _cell(row: tree.Entry, size: float, session: Session) -> Span:
    """Where a row states the passing of a size."""
    assert isinstance(row.value, tree.Row), "rows of other kinds have been reported"
    sizes = ((e, size_mm(e.key, Scope(), session)) for e in row.value.entries)
    return next((entry.span for entry, mm in sizes if mm == size), row.span)
