"""Machines from a table, against what a table means and against scipy's interpolation."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from hoggin.balance.breaking import passing_classes
from hoggin.models.grading import class_fractions, passing_at
from hoggin.models.points import at_points, halves, points
from hoggin.models.tabulated import Rows, table_capacity, table_operator

NARROW = ((63.0, 1.0), (40.0, 0.85), (25.0, 0.60), (10.0, 0.25))
WIDE = ((90.0, 1.0), (63.0, 0.88), (40.0, 0.64), (10.0, 0.17))
ROWS: Rows = ((40.0, NARROW), (60.0, WIDE))
SIZES = (400.0, 250.0, 160.0, 125.0, 100.0, 90.0, 75.0, 63.0, 50.0, 40.0, 31.5, 25.0, 20.0, 16.0,
         12.5, 10.0, 6.3, 4.0, 2.0, 1.0, 0.5, 0.25, 0.125, 0.063, 0.0)  # fmt: skip
COARSE = ((400.0, 1.0), (160.0, 0.4), (100.0, 0.0))
USUAL = ((400.0, 1.0), (160.0, 0.5), (40.0, 0.15), (10.0, 0.06))
FINE = ((63.0, 1.0), (40.0, 0.95), (25.0, 0.80), (10.0, 0.30))


def product(feed: tuple[tuple[float, float], ...], css: float) -> np.ndarray:
    """What passes each size, of what a table makes of a feed; solved as the balance does."""
    cells, sizes = halves(SIZES), points(SIZES)
    mass = at_points(class_fractions(cells, *np.array(feed).T))[None]
    operator = table_operator(
        *(cells,), css=css, rows=ROWS, feed_top=400.0, points_mm=sizes,
        feed_passing=passing_classes(mass),
    )  # fmt: skip
    made = operator[0] @ mass[0]
    by_class = made[0::2] + made[1::2]
    return np.append(np.cumsum(by_class[::-1])[::-1], 0.0)


def tabulated_passing(css: float) -> np.ndarray:
    """By scipy: monotone in log size within a row, straight between rows; from 10 mm up."""
    rows = [
        np.where(
            np.array(SIZES[:-1]) > row[0][0],
            1.0,
            PchipInterpolator(np.log([s for s, _ in row[::-1]]), [p for _, p in row[::-1]])(
                np.log(np.minimum(SIZES[:-1], row[0][0]))
            ),
        )
        for row in (NARROW, WIDE)
    ]
    share = (css - 40.0) / 20.0
    return np.asarray((1.0 - share) * rows[0] + share * rows[1])


@pytest.mark.parametrize("feed", [COARSE, USUAL], ids=["coarse", "usual"])
@pytest.mark.parametrize(("css", "row"), [(40.0, NARROW), (60.0, WIDE)])
def test_at_a_tabulated_setting_the_product_has_the_tables_own_figures(
    feed: tuple[tuple[float, float], ...], css: float, row: tuple[tuple[float, float], ...]
) -> None:
    """Whatever of the feed is fine already: 6 % of one feed passes 10 mm, of the other nothing."""
    found = dict(zip(SIZES, product(feed, css), strict=True))
    assert [found[size] for size, _ in row] == pytest.approx([p for _, p in row], abs=1e-12)


@pytest.mark.parametrize("css", [40.0, 45.0, 52.5, 60.0])
def test_between_rows_and_sizes_the_table_is_read_as_scipy_reads_it(css: float) -> None:
    down_to_10 = SIZES.index(10.0) + 1
    assert product(COARSE, css)[:down_to_10] == pytest.approx(
        tabulated_passing(css)[:down_to_10], abs=1e-12
    )


@pytest.mark.parametrize("css", [40.0, 50.0, 60.0])
def test_a_feed_finer_than_the_table_leaves_as_fine_as_it_is(css: float) -> None:
    cells = halves(SIZES)
    feed = np.append(np.cumsum(class_fractions(cells, *np.array(FINE).T)[::-1])[::-1], 0.0)[::2]
    table = np.append(tabulated_passing(css), 0.0)
    down_to_10 = SIZES.index(10.0) + 1
    expected = np.maximum(feed, table)[:down_to_10]
    assert product(FINE, css)[:down_to_10] == pytest.approx(expected, abs=1e-12)


gradings = st.lists(st.floats(0.0, 1.0), min_size=len(SIZES) - 1, max_size=len(SIZES) - 1)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(shares=gradings, other=gradings, css=st.floats(40.0, 60.0))
def test_mass_is_kept_and_no_rock_grows_whatever_the_feed_turns_out_to_be(
    shares: list[float], other: list[float], css: float
) -> None:
    """Also while a loop is not settled, and the feed is not yet the one that was seen."""
    sizes = points(SIZES)
    seen = np.repeat(np.array(shares) + 1e-9, 2)[None]
    operator = table_operator(
        *(halves(SIZES),), css=css, rows=ROWS, feed_top=400.0, points_mm=sizes,
        feed_passing=passing_classes(seen),
    )  # fmt: skip
    assert operator.sum(axis=1) == pytest.approx(1.0, abs=1e-12)
    assert (operator >= 0.0).all()
    assert (np.triu(operator[0], 1) == 0.0).all()
    feed = np.repeat(np.array(other), 2)
    made = operator[0] @ feed
    assert made.sum() == pytest.approx(feed.sum())
    assert (np.cumsum(made) <= np.cumsum(feed) + 1e-9).all()


def test_a_setting_outside_the_table_is_refused() -> None:
    for css in (39.0, 61.0):
        with pytest.raises(ValueError, match="settings from 40 to 60 mm"):
            table_operator(SIZES, css=css, rows=ROWS, feed_top=400.0)


def test_of_a_table_with_one_row_that_setting_alone_can_be_had() -> None:
    operator = table_operator(SIZES, css=40.0, rows=ROWS[:1], feed_top=400.0)
    feed = np.zeros(len(SIZES) - 1)
    feed[0] = 1.0
    assert float(passing_at(SIZES, operator[0] @ feed, 25.0)[0]) == pytest.approx(0.60)
    with pytest.raises(ValueError, match="settings from 40 to 40 mm"):
        table_operator(SIZES, css=41.0, rows=ROWS[:1], feed_top=400.0)


def test_capacity_is_in_the_tables_range_and_in_proportion_to_bulk_density() -> None:
    rows: Rows = ((40.0, ((60.0, 80.0),)), (60.0, ((100.0, 130.0),)))

    def capacity(css: float, density: float = 1.6, share: float = 0.5) -> float:
        found = table_capacity(
            *(), solid_density_t_m3=2.7, bulk_density_t_m3=density, css=css, rows=rows,
            bulk_density=1.6, range_share=share,
        )  # fmt: skip
        return float(found[0])

    assert [capacity(40.0, share=s) for s in (0.0, 0.5, 1.0)] == [60.0, 70.0, 80.0]
    assert capacity(45.0, share=0.0) == pytest.approx(70.0)  # a quarter of the way, by hand
    assert capacity(60.0, density=2.0, share=0.0) == pytest.approx(125.0)  # 100 x 2.0 / 1.6
