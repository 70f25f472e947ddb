"""The rock in the mass balance's tables: what each crusher and product gets of a blend of feeds,
and the figures of every rock with where they are from."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.report.fields import Field, number, results_of, second, table, words
from hoggin.report.tables import Section, Table
from hoggin.schema.declared import results_of as declared_results
from hoggin.schema.facts import Fact, facts_of
from hoggin.schema.plant import Material
from hoggin.schema.results import Results, RockResult

_BLENDED = "By mass; densities by volume. Moisture is in the tables of streams and machines."
_MEASURE = (
    "What is typical is the library's: rock of one name differs widely. Measure it on samples of "
    "the deposit before anything is bought."
)
_Figure = tuple[Material, Fact, float]


def sections(results: Results) -> tuple[Section, ...]:
    """Tables without rows where the plant has one feed, or is not in the document."""
    figures = list(_figures(results))
    typical = any(fact.name in rock.typical for rock, fact, _ in figures)
    return (
        Section("Rock fed", (_BLENDED,), blends(results)),
        Section("Rock", (_MEASURE,) if typical else (), _table(figures)),
    )


def blends(results: Results) -> Table:
    """What is from each feed in what each crusher is fed and each product holds."""
    rows = [
        *((one.tag, one.rock) for one in results.machines if one.rock is not None),
        *((one.tag, one.rock) for one in results.products if one.rock is not None),
    ]
    feeds = [part.feed for part in rows[0][1].shares] if rows else []
    figures = (one.field for one in declared_results(RockResult))
    fields = (
        words("crusher or product", lambda row: row[0], 28),
        *(_share(place, tag) for place, tag in enumerate(feeds)),
        *map(second, results_of(RockResult, *figures)),
    )
    return table("Rock fed", fields, rows)


def _share(place: int, feed: str) -> Field:
    return number(feed, "%", "percent", lambda row: row[1].shares[place].share)


def _figures(results: Results) -> Iterator[_Figure]:
    """Every figure that a rock states, rock by rock."""
    plant = results.plant
    for rock in plant.materials.values() if plant is not None else ():
        for fact in facts_of("material").values():
            value = rock.breakage.get(fact.name) or getattr(rock, fact.field, None)
            if fact.dimension is not None and value:
                yield rock, fact, value


def _table(figures: list[_Figure]) -> Table:
    def between(of: _Figure) -> str:
        rock, fact, _ = of
        ends = rock.ranges.get(fact.name)
        return "" if ends is None else " to ".join(map(fact.shown, ends))

    fields = (
        words("rock", lambda of: of[0].name),
        words("figure", lambda of: of[1].name.replace("_", " ")),
        words("value", lambda of: of[1].shown(of[2]), 16),
        words("range", lambda of: between(of) or None, 28),
        words("standing", lambda of: "typical" if of[1].name in of[0].typical else "as stated"),
        words("source", lambda of: of[0].sources.get(of[1].name), 48),
    )
    return table("Rock", fields, figures, keys=2)
