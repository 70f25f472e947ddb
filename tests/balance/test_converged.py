"""Flows are those of ever finer classes, whatever sieves a plant reports on.

Reference: `fine_reference`, the same equations on fine uniform classes with numpy and scipy alone,
taken to no width by Richardson's rule. Plants are scenarios of our own.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoggin.balance import Balance, CannotSettle, balance
from hoggin.schema.plant import Plant

from .fine_reference import Fine, converged
from .random_loops import (
    SIEVE_LISTS,
    double_loop,
    many_deck_loop,
    of_pieces,
    one_deck_loop,
    part_filled,
)

pytestmark = pytest.mark.slow

CLOSE = 1e-3
LEAST = 1e-3  # of the feed: smaller streams are not compared
_ALIKE = {"one deck": one_deck_loop, "many decks": many_deck_loop, "two loops": double_loop}


def _by_pieces(kind: str) -> Callable[[int], Plant]:
    """Plants whose chambers break coarser pieces of feed at coarser sizes."""
    return lambda seed: of_pieces(_ALIKE[kind](seed), seed)


def _part_filled(kind: str) -> Callable[[int], Plant]:
    """Plants whose chambers break by how full they are."""
    return lambda seed: part_filled(_by_pieces(kind)(seed), seed)


KINDS: dict[str, Callable[[int], Plant]] = {
    **_ALIKE,
    **{f"{kind}, by pieces": _by_pieces(kind) for kind in _ALIKE},
    **{f"{kind}, part filled": _part_filled(kind) for kind in _ALIKE},
}

sieve_lists = st.lists(
    st.floats(0.1, 150.0).map(lambda size: float(f"{size:.3g}")),
    min_size=1,
    max_size=16,
    unique=True,
).map(lambda sizes: tuple(sorted(sizes, reverse=True)))


def flows(a_plant: Plant, result: Balance) -> dict[tuple[str, str], float]:
    """Tonnages by source and outlet of all streams but the feeds."""
    rates = result.streams_t_h[0].sum(axis=1)
    feeds = {feed.tag for feed in a_plant.feeds}
    streams = zip(a_plant.streams, rates, strict=True)
    return {(s.source, s.outlet): float(rate) for s, rate in streams if s.source not in feeds}


def check(
    found: dict[tuple[str, str], float],
    expected: dict[tuple[str, str], float],
    close: float = CLOSE,
) -> None:
    feed = sum(rate for (_, outlet), rate in expected.items() if outlet == "under")
    for key, rate in expected.items():
        if rate > LEAST * feed:
            assert found[key] == pytest.approx(rate, rel=close), key


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(kind=st.sampled_from(sorted(KINDS)), seed=st.integers(0, 10**6), sieves=sieve_lists)
def test_other_sieves_change_no_flow(kind: str, seed: int, sieves: tuple[float, ...]) -> None:
    a_plant = KINDS[kind](seed)
    other = a_plant.model_copy(update={"sieves_mm": sieves})
    try:
        result = balance(a_plant)
    except CannotSettle as fault:
        # Within a thousandth of the feed at which it runs away either may be told.
        try:
            near = balance(other).runs_away_at[0][0]
        except CannotSettle:
            return
        assert near < 1.0 + CLOSE, fault
        return
    runs_away_at = min(at[0] for at in result.runs_away_at)
    if runs_away_at < 1.0 + 5.0 * CLOSE:
        return
    # Near the feed at which it runs away, a loop reacts strongly to the smallest difference.
    close = 2.0 * CLOSE if runs_away_at < 1.05 else CLOSE
    check(flows(other, balance(other)), flows(a_plant, result), close)


HARD = (
    ("one deck", 7),  # an opening just above the setting of a product curve
    ("one deck", 62),  # t10
    ("one deck", 118),  # 470 % recirculates, cut far below the size that is not broken
    ("two loops", 9),  # two product curves
    ("many decks", 47),
    ("many decks", 75),
    ("two loops", 29),
    ("two loops", 74),
)


@pytest.mark.parametrize(
    ("kind", "seed"), [*HARD, *((kind, s) for kind in KINDS for s in (0, 1, 4))]
)
def test_flows_are_those_of_ever_finer_classes(kind: str, seed: int) -> None:
    a_plant = KINDS[kind](seed)
    try:
        result = balance(a_plant)
    except CannotSettle:
        pytest.skip("no balance; see test_branch")
    start = np.log(
        [result.cut_sizes_mm[m.tag, d.name][0] for m in a_plant.machines for d in m.decks]
    )
    solved = []
    for octave in (24, 48) if "part filled" in kind else (48, 96):  # each has a root within
        fine = Fine(a_plant, octave)
        root = fine.root(start)
        assert root is not None
        solved.append(fine.at(np.exp(root)).totals)
    expected = {key: float(converged(solved[0][key], solved[1][key])) for key in solved[0]}
    check(flows(a_plant, result), expected)


def test_passing_of_every_stream_is_that_of_ever_finer_classes() -> None:
    """At each class limit, to a thousandth of the stream."""
    for seed in (3, 4, 9):
        a_plant = one_deck_loop(seed, SIEVE_LISTS[1])
        result = balance(a_plant)
        limits = result.edges_mm[2:-2:2]
        cut = float(result.cut_sizes_mm["sizing", "d1"][0])
        names = [stream.source + stream.outlet for stream in a_plant.streams]
        for outlet in ("d1.over", "under"):
            expected = []
            for octave in (48, 96):
                fine = Fine(a_plant, octave, limits)
                mass = fine.at([cut]).outlets["sizing", outlet]
                finer = np.cumsum(mass[::-1])[::-1] / mass.sum()
                expected.append([finer[np.argmin(np.abs(fine.edges - x))] for x in limits])
            mass = result.streams_t_h[0, names.index(f"sizing{outlet}")]
            finer = (np.cumsum(mass[::-1])[::-1] / mass.sum())[2:-1:2]
            wanted = converged(*map(np.array, expected))
            np.testing.assert_allclose(finer, wanted, rtol=0.0, atol=1e-3)
