"""Piles against geometry worked by hand and by quadrature."""

from math import pi, radians, tan

import pytest
from scipy.integrate import quad

from hoggin.models.storage import base_radius_m, cone_volume_m3, live_share, ridge_volume_m3


def test_a_cone_at_45_degrees_is_as_wide_as_twice_its_height() -> None:
    # Geometry by hand: r = h = 12 m, V = pi 12^3 / 3 = 576 pi.
    assert base_radius_m(12.0, 45.0) == pytest.approx(12.0)
    assert cone_volume_m3(12.0, 45.0) == pytest.approx(576 * pi)


def test_the_volume_is_that_of_its_slices() -> None:
    # scipy.integrate.quad over discs of radius (h - z) / tan(37 deg).
    slices, _ = quad(lambda z: pi * ((15 - z) / tan(radians(37))) ** 2, 0, 15)
    assert cone_volume_m3(15.0, 37.0) == pytest.approx(slices, rel=1e-9)


def test_a_quarter_is_live_where_the_crater_is_as_steep_as_the_flank() -> None:
    # Geometry by hand: the crater meets the flank at half the radius, and (1/2)^2 = 1/4. That a
    # conical pile over one opening is about a quarter live is common practice, no source.
    assert live_share(38.0, 38.0) == pytest.approx(0.25)


@pytest.mark.parametrize(("repose", "drawdown"), [(37.0, 55.0), (40.0, 70.0), (35.0, 30.0)])
def test_the_live_share_is_the_volume_between_flank_and_crater(
    repose: float, drawdown: float
) -> None:
    # scipy.integrate.quad over rings of height (flank - crater) where that is above nothing.
    flank, crater = tan(radians(repose)), tan(radians(drawdown))

    def ring(r: float) -> float:
        return 2 * pi * r * max(0.0, (10 - r * flank) - r * crater)

    live, _ = quad(ring, 0, 10 / flank, points=[10 / (flank + crater)])
    whole = pi / 3 * (10 / flank) ** 2 * 10
    assert live_share(repose, drawdown) == pytest.approx(live / whole, rel=1e-6)


@pytest.mark.parametrize("angle", [0.0, 90.0, -5.0])
def test_an_angle_no_pile_has_is_refused(angle: float) -> None:
    with pytest.raises(ValueError, match="angle"):
        cone_volume_m3(10.0, angle)
    with pytest.raises(ValueError, match="angle"):
        live_share(37.0, angle)


def test_a_pile_along_an_arc_is_the_volume_of_its_rings() -> None:
    # scipy.integrate.quad over rings about the stacker's tail: length sweep x radius, height of the
    # flank. A pile 9 m high at 37 degrees, its top moved by 90 degrees on a radius of 30 m.
    flank, sweep = tan(radians(37)), pi / 2
    foot = 9 / flank

    def ring(r: float) -> float:
        return sweep * r * (9 - abs(r - 30) * flank)

    rings, _ = quad(ring, 30 - foot, 30 + foot, points=[30])
    assert ridge_volume_m3(9.0, 37.0, 30 * sweep) == pytest.approx(rings, rel=1e-9)
