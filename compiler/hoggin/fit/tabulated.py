"""A machine's table as samples: what it would have measured on the feed that it is for."""

from __future__ import annotations

from pathlib import Path

from hoggin.check.evaluate import measured
from hoggin.check.scope import ClassEntity, Scope, Session
from hoggin.check.tables import read_table
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Span
from hoggin.errors import HogginError
from hoggin.fit.base import names_in_file
from hoggin.fit.measured import Point, Sample
from hoggin.schema.units import LENGTH
from hoggin.syntax import tree


def is_table(written: str) -> bool:
    """Whether the data are the table of a class, as `ours.hog:table_jaw`."""
    return ".hog:" in written and not Path(written).exists()


def samples_of_table(written: str, diagnostics: Diagnostics) -> tuple[Sample, ...]:
    """A sample for each row of a class's table. The feed is a Gaudin-Schuhmann line through the
    table's F80 and top size.

    Raises HogginError where there is no such table, or where it does not state that feed.
    """
    file, _, name = written.rpartition(":")
    entity = names_in_file(Path(file)).get(name)
    if not isinstance(entity, ClassEntity):
        raise HogginError(f"`{file}` has no machine class `{name}`")
    given = {fact.name.text: fact for fact in _facts(entity)}
    if "passing" not in given:
        raise HogginError(f"class `{name}` has no `model breakage: table`")
    session, scope = Session(diagnostics), entity.inside()
    table = given["passing"]
    rows = read_table(table, scope.at(table), session)
    top = _size(given.get("feed_top"), scope, session)
    f80 = _size(given.get("feed_f80"), scope, session)
    if not diagnostics.has_errors and not 0.0 < f80 < top:
        raise HogginError(
            f"the table of `{name}` does not state its feed: add `feed_f80`, below its `feed_top`"
        )
    feed = ((top, 1.0), (f80, 0.8))
    return tuple(
        Sample(
            f"setting {row.setting_mm:g} mm",
            row.setting_mm,
            table.span,
            _points(feed, table.span),
            _points(row.points, table.span),
        )
        for row in rows
    )


def _facts(entity: ClassEntity) -> list[tree.Fact]:
    for statement in entity.node.body:
        if isinstance(statement, tree.ModelDefinition) and (
            statement.role.text == "breakage" and statement.name.text == "table"
        ):
            return [fact for fact in statement.body if isinstance(fact, tree.Fact)]
    return []


def _size(fact: tree.Fact | None, scope: Scope, session: Session) -> float:
    """In mm; 0 where it is not stated."""
    if fact is None or fact.value is None:
        return 0.0
    found = measured(fact.value, LENGTH, fact.name.text, scope.at(fact), session)
    return found.in_trade_unit() if found is not None and found.known else 0.0


def _points(points: tuple[tuple[float, float], ...], span: Span) -> tuple[Point, ...]:
    return tuple(Point(size, passing, span) for size, passing in points)
