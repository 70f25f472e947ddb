"""Dust that clings and openings that blind: trends and end points, common practice, no source."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.models.damp import blinded_share, clinging_share
from hoggin.models.partition import karra_area_m2, karra_cut_size, oversize

EDGES = np.array([20.0, 10.0, 4.0, 2.0, 1.0, 0.5, 0.063, 0.0])
FEED = 60.0 * np.array([[0.1, 0.35, 0.2, 0.1, 0.1, 0.1, 0.05]])
DECK = {"aperture_mm": 4.0, "area_m2": 8.0, "deck_number": 1.0, "bulk_density_t_m3": 1.6}
moistures = st.floats(0.0, 0.3)


def blinded(aperture: float, moisture: float, clay: float = 0.0) -> float:
    return float(blinded_share(aperture, moisture=moisture, clay=clay, blinding=0.6)[0])


@pytest.mark.parametrize(
    ("aperture", "moisture", "clay", "closed"),
    [
        (4.0, 0.0, 0.0, 0.0),
        (4.0, 0.03, 0.0, 0.0),
        (4.0, 0.045, 0.0, 0.3),  # half way from 3 % to 6 %
        (4.0, 0.06, 0.0, 0.6),
        (4.0, 0.20, 0.0, 0.6),
        (9.0, 0.06, 0.0, 0.3),  # half way from 6 mm to 12 mm
        (12.0, 0.06, 0.0, 0.0),
        (12.0, 0.06, 0.02, 0.0),
        (15.0, 0.06, 0.03, 0.3),  # half way from 10 mm to 20 mm
        (20.0, 0.06, 0.03, 0.0),
    ],
)
def test_damp_fines_close_fine_openings(
    aperture: float, moisture: float, clay: float, closed: float
) -> None:
    """By hand, from the figures that the methods page states."""
    assert blinded(aperture, moisture, clay) == pytest.approx(closed)


@pytest.mark.parametrize(
    ("moisture", "clings"), [(0.0, 0.05), (0.025, 0.125), (0.05, 0.2), (0.1, 0.2)]
)
def test_dust_clings_to_damp_stone(moisture: float, clings: float) -> None:
    """By hand: four times the dry share from 5 % moisture on, half of the rise at 2.5 %."""
    found = clinging_share(0.05, moisture=moisture, damp_clinging=4.0)
    assert found[0] == pytest.approx(clings)
    assert clinging_share(0.0, moisture=moisture, damp_clinging=4.0)[0] == 0.0


@given(moistures, moistures, st.floats(0.5, 30.0), st.floats(0.0, 0.1))
def test_a_damper_feed_is_never_screened_better(
    one: float, other: float, aperture: float, clay: float
) -> None:
    less, more = sorted((one, other))

    def kept(moisture: float) -> np.ndarray:
        deck = {**DECK, "aperture_mm": aperture, "moisture": moisture}
        cut = karra_cut_size(EDGES, FEED, **deck, clay=clay)
        damp = {"clinging": 0.05, "moisture": moisture}
        return np.asarray(oversize(EDGES, cut, aperture_mm=aperture, **damp)[0])

    assert (kept(more) >= kept(less) - 1e-12).all()


def test_dry_rock_is_screened_as_if_there_were_no_moisture() -> None:
    still = karra_cut_size(EDGES, FEED, **DECK)
    assert karra_cut_size(EDGES, FEED, **DECK, moisture=0.0, clay=0.5, blinding=0.9) == still
    kept = oversize(EDGES, still, aperture_mm=4.0, clinging=0.05)
    damp = oversize(EDGES, still, aperture_mm=4.0, clinging=0.05, damp_clinging=9.0, moisture=0.0)
    np.testing.assert_array_equal(damp, kept)


def test_a_deck_needs_as_much_more_area_as_damp_fines_close() -> None:
    """With 60 % of the openings closed and no dust that clings, 1 / 0.4 times the area."""
    deck = {k: v for k, v in DECK.items() if k != "area_m2"}
    dry, damp = (
        karra_area_m2(EDGES, FEED, efficiency=0.7, **deck, moisture=m, blinding=0.6)[0]
        for m in (0.0, 0.06)
    )
    assert damp / dry == pytest.approx(1.0 / 0.4, rel=2e-4)
