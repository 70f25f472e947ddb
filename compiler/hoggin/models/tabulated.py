"""Machines from a table: product and capacity by setting, as planning tables print them.

A table's rows are by rising setting. Between two rows every number is on a straight line in the
setting, as one reads it by hand; within a row the curve is monotone and smooth in the logarithm of
size (`grading.class_fractions`). At a tabulated setting and size a table gives its own figure. It
is never extrapolated in the setting.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import Array, over, per_case, size_grid
from hoggin.models.grading import class_fractions
from hoggin.models.points import Band, Fineness, at_points

Rows = Sequence[tuple[float, Sequence[tuple[float, float]]]]
"""By setting, mm: (size mm, fraction passing) coarse to fine; of a capacity one range, t/h."""

_WIDTH = 0.18  # log size of a class within the tabulated sizes
_SLACK = 1e-9  # of a setting, by which rounding may take it past the last row
_NOTHING = 1e-12  # of the feed


def table_operator(
    edges_mm: ArrayLike,
    *,
    css: ArrayLike,
    rows: Rows,
    feed_top: ArrayLike,
    feed_f80: ArrayLike = 0.0,
    feed_passing: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Crusher product from a table of gradings, as an operator on this feed.

    The product is the table's, whatever of the feed is fine already: a table counts those fines as
    product. But no rock grows, so the product is nowhere coarser than the feed: of each size it
    passes max(feed, table). All rock coarser than a size is alike to what leaves at that size: in
    each class the same share of what comes from coarser classes and of its own feed stays.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0; with points those of cells.
        css: (B,) setting, mm, within the rows'.
        rows: gradings by rising setting, each from 100 % at its coarsest size.
        feed_top, feed_f80: (B,) not used: the feed that the table is for, mm, for the rating.
        feed_passing: (B, c) fraction of the feed that passes each limit of the c + 1 classes but
            the coarsest; without it all of the feed is coarser than the table.
        points_mm: (n,) mm, of the cells, two to a class, as in `points`.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0, or a setting is outside the rows.

    Source: planning tables and their use by hand are common practice; for feed that is finer than
    the table: common practice, no source.
    """
    del feed_top, feed_f80
    cells = size_grid(edges_mm)
    edges = cells if points_mm is None else cells[::2]
    product = _between(rows, css, lambda points: class_fractions(cells, *_columns(points)))
    by_class = product if points_mm is None else product[:, 0::2] + product[:, 1::2]
    table = _passing(by_class)  # (B, c + 1)
    if feed_passing is None:
        feed = np.zeros((1, edges.size))
        feed[:, 0] = 1.0
    else:
        given = np.clip(np.atleast_2d(np.asarray(feed_passing, dtype=np.float64)), 0.0, 1.0)
        ends = np.ones((len(given), 1)), np.zeros((len(given), 1))
        rising = np.maximum.accumulate(given[:, ::-1], axis=1)[:, ::-1]
        feed = np.concatenate([ends[0], rising[:, : edges.size - 2], ends[1]], axis=1)
    table, feed = np.broadcast_arrays(table, feed)
    cascade = _cascade(_staying(feed, table))
    return cascade if points_mm is None else _on_points(cascade, at_points(product))


def table_fineness(*, rows: Rows) -> Fineness:
    """Classes for `table_operator`: every tabulated size is a limit, so that the product has the
    table's own figures there."""
    sizes = sorted({size for _, points in rows for size, _ in points}, reverse=True)
    return Fineness(tuple(sizes), (Band(sizes[-1], sizes[0], _WIDTH),))


def table_capacity(
    *,
    solid_density_t_m3: ArrayLike,
    bulk_density_t_m3: ArrayLike,
    css: ArrayLike,
    rows: Rows,
    bulk_density: ArrayLike,
    range_share: ArrayLike = 0.5,
) -> Array:
    """Capacity from a table of t/h by setting.

    Args:
        solid_density_t_m3: (B,) not used: a chamber holds loose rock.
        bulk_density_t_m3: (B,) of the rock, t/m3.
        css: (B,) setting, mm, within the rows'.
        rows: (low, high), t/h, by rising setting.
        bulk_density: (B,) t/m3 that the table is for; capacity is in proportion to it.
        range_share: (B,) where in the range it is taken: 0 at the low end, 1 at the high.

    Returns:
        (B,) t/h.

    Raises:
        ValueError: if a setting is outside the rows.

    Source: the class's own table; in proportion to bulk density, common practice.

    >>> rows = [(40.0, [(60.0, 80.0)]), (60.0, [(100.0, 120.0)])]
    >>> table_capacity(
    ...     solid_density_t_m3=2.7, bulk_density_t_m3=1.6, css=50.0, rows=rows, bulk_density=1.6
    ... )
    array([90.])
    """
    del solid_density_t_m3
    low, high = _between(rows, css, lambda ends: np.asarray(ends[0])).T
    density = per_case(bulk_density_t_m3) / per_case(bulk_density)
    return np.asarray((low + per_case(range_share) * (high - low)) * density)


def _columns(points: Sequence[tuple[float, float]]) -> tuple[Array, Array]:
    sizes, passing = np.array(points).T
    return sizes, passing


def _between(rows: Rows, css: ArrayLike, read: Callable[..., Array]) -> Array:
    """What is read of the two rows about each setting, on a straight line between them, (B, ...).

    Raises ValueError where a setting is outside the rows.
    """
    settings = np.array([setting for setting, _ in rows])
    wanted = per_case(css)
    slack = _SLACK * settings[-1]
    if np.any((wanted < settings[0] - slack) | (wanted > settings[-1] + slack)):
        raise ValueError(f"the table has settings from {settings[0]:g} to {settings[-1]:g} mm")
    values = np.stack([read(points) for _, points in rows])
    place = np.interp(wanted, settings, np.arange(len(settings), dtype=np.float64))
    below = np.minimum(place.astype(int), max(len(settings) - 2, 0))
    above = np.minimum(below + 1, len(settings) - 1)
    share = (place - below)[:, np.newaxis]
    found: Array = (1.0 - share) * values[below] + share * values[above]
    return found


def _passing(fractions: Array) -> Array:
    """(B, c + 1) passing each limit, from the fraction in each class (B, c)."""
    passing = np.zeros((len(fractions), fractions.shape[1] + 1))
    passing[:, :-1] = np.cumsum(fractions[:, ::-1], axis=1)[:, ::-1]
    passing[:, 0] = 1.0
    return passing


def _staying(feed: Array, table: Array) -> Array:
    """(B, c) share of what is in a class, of its own feed or come from coarser ones, that leaves in
    it. Where nothing is, that of the table alone.

    What goes on below a limit is what the product passes there and the feed does not.
    """
    crossing = np.maximum(table - feed, 0.0)
    there = feed[:, :-1] - feed[:, 1:] + crossing[:, :-1]
    alone = 1.0 - over(table[:, 1:], table[:, :-1], empty=0.0)
    share = 1.0 - over(crossing[:, 1:], there, there > _NOTHING, 0.0)
    return np.clip(np.where(there > _NOTHING, share, alone), 0.0, 1.0)


def _cascade(staying: Array) -> Array:
    """(B, c, c) from feed classes to product classes, where each class keeps its share of all that
    comes to it and the rest goes on to the next."""
    cases, classes = staying.shape
    found = np.zeros((cases, classes, classes))
    left = np.zeros((cases, classes))  # of each parent class, what is still on its way
    for place in range(classes):
        left[:, place] = 1.0
        stays = staying[:, place, np.newaxis] if place < classes - 1 else 1.0
        found[:, place] = stays * left
        left = left - found[:, place]
    return found


def _on_points(cascade: Array, table: Array) -> Array:
    """An operator between classes as one between their points (B, 2 c, 2 c). Rock that stays in its
    class stays at its point; what is new there lies as in the table (B, 2 c)."""
    within = table.reshape(len(table), -1, 2)
    share = over(within, within.sum(axis=2, keepdims=True), empty=0.5)
    cases, classes, _ = cascade.shape
    stays = np.einsum("bii->bi", cascade).copy()
    new = cascade.copy()
    np.einsum("bii->bi", new)[:] = 0.0
    found = np.einsum("bij,bip->bipj", new, np.broadcast_to(share, (cases, classes, 2)))
    operator: Array = np.repeat(found.reshape(cases, 2 * classes, classes), 2, axis=2)
    np.einsum("bii->bi", operator)[:] = np.repeat(stays, 2, axis=1)
    return operator
