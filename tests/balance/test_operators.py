"""Operators kept as full chambers and what part-filled ones lack, against each case's own matrices,
multiplied by numpy."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from hoggin.balance.operators import Operators
from hoggin.models.arrays import Array

CASES, CRUSHERS, CLASSES = 700, 3, 40


def drawn(rows: int) -> tuple[Operators, Array]:
    """Random operators, the second and third crusher part-filled in some cases; and (B, c, n, n)
    of each case. rows: how many different sets there are, 1 or B."""
    draw = np.random.default_rng(3)
    full = np.tril(draw.uniform(size=(rows, CRUSHERS, CLASSES, CLASSES)))
    starved = np.tril(draw.uniform(size=full.shape))
    filling = draw.uniform(size=(CASES, CRUSHERS))
    filling[:, 0] = 1.0
    filling[::2, 1] = 1.0
    added: Mapping[int, Array] = {c: full[:, c] - starved[:, c] for c in range(CRUSHERS)}
    found = Operators(full, added).filled({c: filling[:, c] for c in range(CRUSHERS)})
    return found, starved + filling[:, :, None, None] * (full - starved)


@pytest.mark.slow
@pytest.mark.parametrize("rows", [1, CASES])
def test_they_do_what_the_matrices_of_each_case_do(rows: int) -> None:
    found, each = drawn(rows)
    feeds = np.random.default_rng(4).uniform(size=(CASES, CRUSHERS, CLASSES))
    made, given = slice(25, 40), slice(3, 25)
    expected = np.einsum("bcij,bcj->bci", each[:, :, made, given], feeds[:, :, given])
    np.testing.assert_allclose(found.product(feeds, made, given), expected, rtol=1e-12)
    within = each[:, :, made, made].transpose(2, 3, 1, 0)
    np.testing.assert_allclose(found.within(made), within, rtol=1e-12)
    whole = np.einsum("bij,bj->bi", each[:, 2], feeds[:, 2])
    np.testing.assert_allclose(found.crushed(2, feeds[:, 2]), whole, rtol=1e-12)


@pytest.mark.parametrize("rows", [1, CASES])
def test_some_crushers_in_some_cases_have_their_own_matrices(rows: int) -> None:
    found, each = drawn(rows)
    cases = np.array([5, 2, 2, 699])
    some = found.of(cases, shared=True).some([2, 0])
    own = each[cases][:, [2, 0]]
    for place in range(2):
        matrices = np.broadcast_to(some.matrices(place), own[:, place].shape)
        np.testing.assert_allclose(matrices, own[:, place], rtol=0, atol=1e-15)
    diagonals = np.einsum("bcii->cbi", own)
    np.testing.assert_allclose(some.unbroken(), diagonals, rtol=0, atol=1e-15)
    alone = found.of(cases[:1], shared=True).written_out()
    assert not alone.empty
    np.testing.assert_allclose(alone.full[0], each[5], rtol=0, atol=1e-15)
