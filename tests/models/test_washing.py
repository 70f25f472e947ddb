"""Settling, cyclones, spirals and dewatering decks against laws and published forms."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.drag import v_terminal

from hoggin.models.capacity import fastest_rim_m_s, spiral_capacity
from hoggin.models.cyclone import plitt_cut_mm, plitt_flow_m3_h, plitt_pressure_kpa
from hoggin.models.screens import unit_rate_area
from hoggin.models.settling import pool_m2, settled_size_mm, settling_speed_m_s

QUARTZ = 2.65


@pytest.mark.parametrize("size_mm", [0.002, 0.01, 0.03])
def test_fine_grains_sink_by_stokes_s_law(size_mm: float) -> None:
    """Stokes (1851): w = R g d^2 / (18 nu), by hand."""
    stokes = 1.65 * 9.80665 * (size_mm / 1000) ** 2 / 18e-6
    speed = settling_speed_m_s(size_mm, solid_density_t_m3=QUARTZ)
    assert speed == pytest.approx(stokes, rel=0.05)


@pytest.mark.parametrize("size_mm", [0.01, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0])
def test_grains_sink_as_spheres_when_fine_and_slower_when_coarse(size_mm: float) -> None:
    """Spheres by `fluids.drag.v_terminal`. Ferguson & Church (2004): the drag of coarse natural
    grains is 1.0 by sieve size, that of spheres 0.37 to 0.45, so their speed is at least sqrt(0.37)
    of a sphere's."""
    sphere = v_terminal(D=size_mm / 1000, rhop=2650.0, rho=1000.0, mu=1e-3)
    ratio = settling_speed_m_s(size_mm, solid_density_t_m3=QUARTZ)[0] / sphere
    assert 0.37**0.5 <= ratio <= 1.05
    assert size_mm > 0.05 or ratio == pytest.approx(1.0, abs=0.06)


@pytest.mark.parametrize("size_mm", [0.1, 0.15, 0.3, 0.6, 1.0, 2.0])
def test_grains_sink_as_two_other_laws_of_natural_sand_say(size_mm: float) -> None:
    """Cheng (1997): w d / nu = (sqrt(25 + 1.2 D^2) - 5)^1.5, and Soulsby (1997): w d / nu =
    sqrt(10.36^2 + 1.049 D^3) - 10.36, D = d (R g / nu^2)^(1/3); both from memory. They differ from
    each other by up to a third, the law between them from either by less than a quarter."""
    size = size_mm / 1000
    scaled = size * (1.65 * 9.80665 / 1e-12) ** (1 / 3)
    cheng = ((25 + 1.2 * scaled**2) ** 0.5 - 5) ** 1.5 * 1e-6 / size
    soulsby = ((10.36**2 + 1.049 * scaled**3) ** 0.5 - 10.36) * 1e-6 / size
    speed = settling_speed_m_s(size_mm, solid_density_t_m3=QUARTZ)
    assert speed == pytest.approx(cheng, rel=0.25)
    assert speed == pytest.approx(soulsby, rel=0.25)


@pytest.mark.parametrize(("size_mm", "exponent"), [(0.01, 4.65), (20.0, 2.39)])
def test_grains_hinder_each_other_by_richardson_and_zaki(size_mm: float, exponent: float) -> None:
    """(1 - c)^n, n = 4.65 under Stokes's law and 2.39 at constant drag: Richardson & Zaki (1954),
    memory."""
    alone, among = (
        settling_speed_m_s(size_mm, solid_density_t_m3=QUARTZ, solids_by_volume=c)
        for c in (0.0, 0.2)
    )
    assert among / alone == pytest.approx(0.8**exponent)


def test_a_pool_settles_what_sinks_as_fast_as_its_water_rises() -> None:
    """Hazen (1904). By hand, 0.15 mm of 2.65 t/m3: 1.65 x 9.80665 x 2.25e-8 / (18e-6 + 6.402e-6)
    = 14.92 mm/s, which is 53.7 m3/h on a square metre."""
    rise = 53.7 / 3600
    assert settled_size_mm(rise, solid_density_t_m3=QUARTZ) == pytest.approx(0.15, rel=1e-3)
    assert pool_m2(107.4, 0.15, solid_density_t_m3=QUARTZ) == pytest.approx(2.0, rel=1e-3)


def test_size_and_surface_are_inverse_to_each_other() -> None:
    overflow = np.array([10.0, 100.0, 1000.0])
    known = {"solid_density_t_m3": 2.7, "solids_by_volume": 0.05}
    size = settled_size_mm(overflow / 3600 / 4.0, **known)
    assert pool_m2(overflow, size, **known) == pytest.approx(4.0)


def test_a_pool_without_overflow_has_no_cut() -> None:
    assert np.isnan(settled_size_mm(0.0, solid_density_t_m3=QUARTZ)).all()
    assert pool_m2(0.0, 0.1, solid_density_t_m3=QUARTZ) == 0.0


def proportions(diameter: float) -> dict[str, float]:
    """Rietema's (1961) best proportions, memory, and a spigot of a fifth of the diameter."""
    return {
        "diameter": diameter,
        "inlet": 0.28 * diameter,
        "vortex_finder": 0.34 * diameter,
        "spigot": 0.20 * diameter,
        "height": 4.6 * diameter,
    }


def rietema_family(diameter_m: float, flow_m3_s: float, solids: float) -> tuple[float, float]:
    """Pressure, kPa, and cut, mm, of a cyclone of Rietema's proportions: Eu = 371.5 Re^0.116
    exp(-2.12 c), Stk Eu = 0.0474 ln(1 / Rw)^0.742 exp(8.96 c), Rw = 1218 (Du / D)^4.75 Eu^-0.30.
    Antunes & Medronho (1992), Coelho & Medronho (2001); memory."""
    speed = 4 * flow_m3_s / (np.pi * diameter_m**2)
    euler = 371.5 * (speed * diameter_m / 1e-6) ** 0.116 * np.exp(-2.12 * solids)
    water_split = 1218 * 0.2**4.75 * euler**-0.30
    stokes = 0.0474 * np.log(1 / water_split) ** 0.742 * np.exp(8.96 * solids) / euler
    cut = np.sqrt(stokes * 18e-3 * diameter_m / (1650.0 * speed))
    return euler * 1000.0 * speed**2 / 2 / 1000, 1000 * cut


@pytest.mark.parametrize("diameter", [50.0, 125.0, 250.0, 500.0])
@pytest.mark.parametrize("pressure", [70.0, 150.0])
def test_cyclones_agree_with_another_published_correlation(
    diameter: float, pressure: float
) -> None:
    """Two correlations of other data: flows within 30 %, cuts within 40 %, which is how far such
    correlations are to be trusted."""
    flow = plitt_flow_m3_h(pressure, 0.02, **proportions(diameter))[0]
    cut = plitt_cut_mm(flow, 0.02, solid_density_t_m3=QUARTZ, **proportions(diameter))[0]
    other_pressure, other_cut = rietema_family(diameter / 1000, flow / 3600, 0.02)
    # Flow rises as the root of pressure, or nearly.
    assert (other_pressure / pressure) ** 0.5 == pytest.approx(1.0, abs=0.3)
    assert cut == pytest.approx(other_cut, rel=0.4)


def test_flow_and_pressure_of_a_cyclone_are_inverse_to_each_other() -> None:
    flow = plitt_flow_m3_h(120.0, 0.08, **proportions(350.0))
    assert plitt_pressure_kpa(flow, 0.08, **proportions(350.0)) == pytest.approx(120.0)


def test_larger_and_thicker_fed_cyclones_cut_coarser_and_faster_ones_finer() -> None:
    """The trends of every correlation of cyclones (Plitt 1976; Rietema 1961)."""

    def cut(flow: float, solids: float, diameter: float) -> float:
        known = proportions(diameter)
        return float(plitt_cut_mm(flow, solids, solid_density_t_m3=QUARTZ, **known)[0])

    assert cut(50.0, 0.05, 250.0) < cut(50.0, 0.05, 350.0)
    assert cut(50.0, 0.05, 250.0) < cut(50.0, 0.15, 250.0)
    assert cut(50.0, 0.05, 250.0) > cut(80.0, 0.05, 250.0)
    assert np.isnan(plitt_cut_mm(0.0, 0.0, solid_density_t_m3=QUARTZ, **proportions(250.0))).all()


def spiral(diameter: float, speed: float) -> float:
    capacity = spiral_capacity(
        solid_density_t_m3=2.7,
        bulk_density_t_m3=1.6,
        diameter=diameter,
        pitch=0.6 * diameter,
        peripheral_speed=speed,
        fill=0.125,
    )
    return float(capacity[0])


@pytest.mark.parametrize(("diameter", "rpm"), [(0.6, 30.0), (0.9, 21.0), (1.5, 12.0)])
def test_a_spiral_rakes_what_the_handbook_s_form_says(diameter: float, rpm: float) -> None:
    """135 D^3 n / 24, t/h of sand of 2.7 t/m3: the form of mineral processing handbooks for spiral
    classifiers, memory."""
    speed = np.pi * diameter * rpm / 60
    assert spiral(1000 * diameter, speed) == pytest.approx(135 * diameter**3 * rpm / 24, rel=0.02)


@pytest.mark.parametrize(
    ("inches", "rpm", "short_tons"), [(24, 32, 50), (36, 21, 100), (44, 17, 175), (54, 14, 250)]
)
def test_a_spiral_rakes_what_the_trade_s_tables_say(
    inches: float, rpm: float, short_tons: float
) -> None:
    """Single sand screws at full speed, common practice, no source, memory. The handbook's form is
    up to a quarter below them."""
    diameter = 25.4 * inches
    found = spiral(diameter, np.pi * diameter / 1000 * rpm / 60) / 0.90718474
    assert 0.75 * short_tons <= found <= 1.05 * short_tons


def test_finer_sand_is_raked_more_slowly() -> None:
    """15 % finer than 0.3 mm: full speed, 20 %: three quarters of it, 30 %: half, 50 %: a quarter;
    common practice, no source, memory."""
    fastest = fastest_rim_m_s([0.1, 0.15, 0.2, 0.3, 0.5, 0.9])
    assert fastest == pytest.approx([1.0, 1.0, 0.75, 0.5, 0.25, 0.25])


def test_a_dewatering_deck_needs_its_feed_over_the_rate_of_a_square_metre() -> None:
    """By hand: 158 t/h at 20 t/h a m2 are 7.9 m2, at any size and opening."""
    area = unit_rate_area(
        [2.0, 0.5, 0.0],
        [100.0, 58.0],
        aperture_mm=0.5,
        deck_number=1,
        bulk_density_t_m3=1.6,
        unit_rate=20.0,
    )
    assert area == pytest.approx(7.9)
