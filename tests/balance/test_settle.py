"""Circuits that have no balance are refused by name, with the sizes and the reason.

Reference: conservation of mass. If nothing that enters a loop leaves it, no steady flow exists; a
crusher leaves what is finer than 0.6 of its setting unbroken (common practice, no source), so a
screen finer than that returns it for ever.
"""

from __future__ import annotations

import re
import warnings

import numpy as np
import pytest

from hoggin.balance import CannotSettle, Remedy, Unsettled, balance, lower, solve
from hoggin.schema.plant import Plant

from .builder import blend, closed_tertiary, crusher, feed, plant, screen, splitter
from .varying import vary


def refusal(a_plant: Plant) -> Unsettled:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with pytest.raises(CannotSettle) as raised:
            balance(a_plant)
    return raised.value.unsettled


@pytest.mark.parametrize("load_dependent", [False, True])
def test_screen_far_finer_than_the_setting_returns_unbroken_rock_for_ever(
    load_dependent: bool,
) -> None:
    unsettled = refusal(
        plant(
            [feed("rock")],
            [
                crusher("jaw", 80.0),
                crusher("tertiary", 31.5),
                screen("sizing", 16.0, load_dependent=load_dependent),
            ],
            [
                "rock -> jaw -> sizing",
                "sizing.d1.over -> tertiary -> sizing",
                "sizing.under -> sand",
            ],
        )
    )
    assert unsettled.machines == ("sizing", "tertiary")
    assert unsettled.closing_streams == (3,)
    assert unsettled.sizes_mm is not None
    finest, coarsest = unsettled.sizes_mm
    assert finest == 16.0
    assert 0.6 * 31.5 / 1.2 < coarsest <= 0.6 * 31.5 * 1.2  # to a class
    assert unsettled.reason == (
        f"sizing.d1.over returns 16 mm to {coarsest:.3g} mm to tertiary, "
        "which at css 31.5 mm passes it unbroken"
    )


def test_oversize_returned_without_a_crusher_is_trapped() -> None:
    unsettled = refusal(
        plant(
            [feed("rock")],
            [blend("surge"), screen("sizing", 16.0)],
            ["rock -> surge -> sizing", "sizing.d1.over -> surge", "sizing.under -> sand"],
        )
    )
    assert unsettled.machines == ("surge", "sizing")
    assert unsettled.sizes_mm == (16.0, 200.0)
    assert unsettled.reason == (
        "nothing in the loop breaks everything coarser than 16 mm or lets it out"
    )


def test_loop_without_a_way_out() -> None:
    unsettled = refusal(
        plant(
            [feed("rock"), feed("other")],
            [crusher("cone", 20.0), blend("surge"), crusher("jaw", 90.0)],
            ["rock -> cone -> surge -> cone", "other -> jaw -> pile"],
        )
    )
    assert unsettled.machines == ("cone", "surge")
    assert unsettled.reason == "nothing leaves the loop"


def test_splitter_that_returns_all_but_nothing() -> None:
    unsettled = refusal(
        plant(
            [feed("rock")],
            [blend("surge"), splitter("divide", 1.0 - 3e-7, 3e-7)],
            ["rock -> surge -> divide", "divide.s1 -> surge", "divide.s2 -> pile"],
        )
    )
    assert unsettled.sizes_mm is None
    assert "over a million times" in unsettled.reason


def test_sizes_that_never_enter_a_loop_cannot_be_trapped_in_it() -> None:
    """The loop would hold anything coarser than 16 mm for ever, but gets none of it."""
    a_plant = plant(
        [feed("rock")],
        [screen("guard", 8.0), blend("surge"), screen("sizing", 16.0)],
        [
            "rock -> guard",
            "guard.d1.over -> coarse",
            "guard.under -> surge -> sizing",
            "sizing.d1.over -> surge",
            "sizing.under -> sand",
        ],
    )
    result = balance(a_plant)
    assert result.closure.max() < 1e-12
    assert np.isfinite(result.streams_t_h).all()


def test_loop_without_a_feed_stands_empty() -> None:
    a_plant = plant(
        [feed("rock")],
        [crusher("cone", 20.0), blend("surge"), blend("belt")],
        ["rock -> belt -> pile", "cone -> surge -> cone"],
    )
    result = balance(a_plant)
    assert result.machine_feeds_t_h[0, :2].sum() == 0.0


def test_a_plant_without_rate_is_balanced_at_zero() -> None:
    result = balance(closed_tertiary(load_dependent=True, rate=0.0))
    assert result.streams_t_h.sum() == 0.0
    assert result.composition.sum() == 0.0


def test_only_the_cases_concerned_are_named() -> None:
    circuit = lower(closed_tertiary(css=25.0, aperture=40.0))
    settings = np.array([20.0, 95.0, 25.0, 110.0])
    with pytest.raises(CannotSettle) as raised:
        solve(vary(circuit, coefficients={("cone", "css"): settings}))
    assert raised.value.unsettled.cases == (1, 3)


def test_cases_are_numbered_across_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hoggin.balance.solver._PASS", 1)
    circuit = lower(closed_tertiary(css=25.0, aperture=40.0))
    settings = np.array([20.0, 25.0, 110.0])
    with pytest.raises(CannotSettle) as raised:
        solve(vary(circuit, coefficients={("cone", "css"): settings}))
    assert raised.value.unsettled.cases == (2,)


@pytest.mark.slow
def test_overloaded_screen_is_named() -> None:
    """Load lowers the cut size (Karra 1979), so more comes back, which loads the deck further.

    No rate of flow is steady once a small screen is fed many times what it can pass.
    """

    def at(rate: float) -> Plant:
        return closed_tertiary(css=28.0, aperture=30.0, load_dependent=True, rate=rate)

    unsettled = refusal(at(2000.0))
    assert unsettled.machines == ("sizing", "cone")
    told = re.fullmatch(
        r"sizing is overloaded: beyond (0\.\d\d) times this feed "
        r"more returns to sizing than it can pass",
        unsettled.reason,
    )
    assert told
    assert unsettled.remedy is Remedy.AREA
    assert unsettled.sizes_mm is None
    most = 2000.0 * float(told[1])
    assert balance(at(0.95 * most)).closure.max() < 1e-12
    assert refusal(at(1.05 * most)).remedy is Remedy.AREA
