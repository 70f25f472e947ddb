"""Slurry and settling against the definitions and handbook forms of their sources."""

from __future__ import annotations

import numpy as np
import pytest

from hoggin.models.slurry import density_t_m3, flow_m3_h, hydraulic_power
from hoggin.models.thickening import dilution, settling_capacity

_ROCK = {"solid_density_t_m3": 2.7, "bulk_density_t_m3": 1.6}


def test_volumes_and_masses_of_solids_and_water_add_up() -> None:
    """By hand: 54 t/h of 2.7 t/m3 are 20 m3/h; with 80 t/h of water 100 m3/h and 134 t/h."""
    flow = flow_m3_h(54.0, 80.0, 2.7)
    assert flow == pytest.approx(100.0)
    assert density_t_m3(54.0, 80.0, flow) == pytest.approx(1.34)


def test_density_follows_the_usual_formula_of_a_slurry() -> None:
    """rho = 1 / (x / rho_s + 1 - x) of a share x of solids by mass, handbook form (memory)."""
    for share in (0.05, 0.3, 0.6):
        flow = flow_m3_h(share, 1 - share, 2.65)
        assert density_t_m3(share, 1 - share, flow) == pytest.approx(1 / (share / 2.65 + 1 - share))


def test_nothing_that_flows_has_no_density_and_draws_no_power() -> None:
    density = density_t_m3(0.0, 0.0, flow_m3_h(0.0, 0.0, 2.7))
    assert np.isnan(density).all()
    assert hydraulic_power(0.0, density, head=20.0, efficiency=0.6) == pytest.approx(0.0)


def test_a_litre_a_second_of_water_raised_a_metre_takes_its_weight_s_power() -> None:
    """By definition: 1 kg/s x 9.80665 m/s2 x 1 m = 9.80665 W."""
    assert hydraulic_power(3.6, 1.0, head=1.0, efficiency=1.0) == pytest.approx(0.00980665)


def test_power_agrees_with_the_handbook_s_rule_for_water() -> None:
    """kW = Q (m3/h) x H (m) x specific gravity / (367 x efficiency): pump handbooks, memory. The
    367 is 3600 / 9.81, rounded."""
    found = hydraulic_power(250.0, 1.3, head=32.0, efficiency=0.65)
    assert found == pytest.approx(250 * 32 * 1.3 / (367 * 0.65), rel=1e-3)


def test_dilution_is_water_over_solids() -> None:
    assert dilution(0.25) == pytest.approx(3.0)


@pytest.mark.parametrize(("feed", "underflow", "fall_ft_h"), [(20.0, 1.5, 0.9), (8.0, 0.8, 3.0)])
def test_surface_for_a_ton_a_day_is_that_of_the_handbook_s_form(
    feed: float, underflow: float, fall_ft_h: float
) -> None:
    """Unit area = 1.333 (F - D) / (R x specific gravity), ft2 for a short ton in 24 h, R in ft/h
    and F, D water over solids: the form of Coe & Clevenger (1916) in mineral processing handbooks,
    from memory. The 1.333 is 2000 / (24 x 62.4), rounded."""
    ft, short_ton = 0.3048, 0.90718474
    capacity = settling_capacity(
        **_ROCK,
        surface=100.0,
        interface_speed=fall_ft_h * ft,
        test_solids=1 / (1 + feed),
        underflow_solids=1 / (1 + underflow),
    )
    tons_a_day = capacity * 24 / short_ton
    assert 100 / ft**2 / tons_a_day == pytest.approx(
        1.333 * (feed - underflow) / fall_ft_h, rel=3e-3
    )


def test_a_thickener_settles_what_its_surface_and_the_share_of_it_allow() -> None:
    """By hand from Coe & Clevenger's form: F 9, D 1, so 8 t of water rise for a tonne of solids;
    100 m2, of which 70 % count, at 0.8 m/h let 56 t/h rise: 7 t/h of solids."""
    capacity = settling_capacity(
        **_ROCK,
        surface=100.0,
        interface_speed=0.8,
        test_solids=0.1,
        underflow_solids=0.5,
        share_used=0.7,
    )
    assert capacity == pytest.approx(7.0, rel=1e-12)


def test_an_underflow_thinner_than_the_test_is_refused() -> None:
    with pytest.raises(ValueError, match="more solids"):
        settling_capacity(
            **_ROCK, surface=1.0, interface_speed=1.0, test_solids=0.3, underflow_solids=0.3
        )
