"""Liner wear against Bond's (1963) equations worked by hand; the equations are from memory."""

import pytest

from hoggin.models.wear import (
    chamber_wear_g_kwh,
    liner_cost_per_t,
    liner_life_h,
    roll_wear_g_kwh,
)


def test_a_chamber_at_ai_0_44_wears_0_06_pounds_a_kwh() -> None:
    # Bond (1963), from memory: (0.44 + 0.22) / 11 = 0.06 lb/kWh; a pound is 453.59237 g exactly.
    assert chamber_wear_g_kwh(0.44) == pytest.approx(0.06 * 453.59237, rel=1e-12)


def test_a_rock_that_does_not_abrade_still_wears_the_chamber_by_one_fiftieth_of_a_pound() -> None:
    # Bond (1963), from memory: 0.22 / 11 = 0.02 lb/kWh.
    assert chamber_wear_g_kwh(0.0) == pytest.approx(9.0718474, rel=1e-12)


def test_roll_shells_at_ai_0_27_wear_0_09_pounds_a_kwh() -> None:
    # Bond (1963), from memory: (0.27 / 10)^(2/3) = 0.027^(2/3) = 0.3^2 = 0.09 lb/kWh.
    assert roll_wear_g_kwh(0.27) == pytest.approx(0.09 * 453.59237, rel=1e-12)


def test_a_tonne_of_metal_at_10_grams_a_tonne_and_200_tonnes_an_hour_lasts_500_hours() -> None:
    # Conservation of mass, by hand: 1 000 000 g / (10 g/t x 200 t/h) = 500 h.
    assert liner_life_h(1.0, [10.0, 0.0], 200.0) == pytest.approx([500.0, float("inf")])


@pytest.mark.parametrize("law", [chamber_wear_g_kwh, roll_wear_g_kwh])
def test_an_index_below_nothing_is_refused(law: object) -> None:
    with pytest.raises(ValueError, match="abrasion index"):
        law([0.1, -0.1])  # type: ignore[operator]


def test_a_set_of_2_tonnes_half_worn_off_costs_its_price_over_the_tonnes_of_its_life() -> None:
    # By hand: 1 t of metal at 10 g/t lasts 100 000 t; the 2 t at 4000 a tonne cost 8000: 0.08 a t.
    assert liner_cost_per_t(10.0, 4000.0, 0.5) == pytest.approx(0.08, rel=1e-12)
    # Without a share the metal worn off alone: 10 g at 4000 a tonne.
    assert liner_cost_per_t([10.0, 0.0], 4000.0) == pytest.approx([0.04, 0.0])


def test_a_set_of_which_nothing_may_wear_has_no_cost() -> None:
    with pytest.raises(ValueError, match="share"):
        liner_cost_per_t(10.0, 4000.0, 0.0)
