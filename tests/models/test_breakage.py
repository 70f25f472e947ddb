"""Breakage operators against an independent evaluation by scipy, and against conservation."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.linalg import solve_triangular

from hoggin.models.breakage import (
    breakage_matrix,
    classification,
    setting_curve_operator,
    whiten_operator,
)
from hoggin.models.grading import passing, passing_at
from hoggin.models.impact import impact_operator

EDGES = np.array([200.0, 141.0, 100.0, 71.0, 50.0, 35.5, 25.0, 18.0, 12.5, 9.0, 4.75, 1.0, 0.0])


def whiten_by_scipy(
    edges: np.ndarray, k1: float, k2: float, k3: float, share: float, n1: float, n2: float
) -> np.ndarray:
    """p = (I - C)(I - B C)^-1, one number at a time, from the published forms.

    Whiten (1972); C of Whiten, Walter & White (1979) and B of King (2001), ch. 5, both averaged
    over the class by adaptive quadrature.
    """
    classes = edges.size - 1

    def selected(d: float) -> float:
        if d <= k1:
            return 0.0
        return 1.0 if d >= k2 else 1.0 - ((k2 - d) / (k2 - k1)) ** k3

    def finer(x: float, y: float) -> float:
        return 1.0 if x >= y else share * (x / y) ** n1 + (1.0 - share) * (x / y) ** n2

    c, b = np.zeros((classes, classes)), np.zeros((classes, classes))
    for j in range(classes - 1):
        upper, lower = edges[j], edges[j + 1]
        kinks = [k for k in (k1, k2) if lower < k < upper]
        area, _ = quad(selected, lower, upper, points=kinks or None, epsabs=1e-13, epsrel=1e-13)
        c[j, j] = area / (upper - lower)
        mean_finer = [1.0] * (j + 1)
        for i in range(j + 1, classes + 1):
            area, _ = quad(
                lambda y, x=edges[i]: finer(x, y), lower, upper, epsabs=1e-13, epsrel=1e-13
            )
            mean_finer.append(area / (upper - lower))
        b[:, j] = -np.diff(mean_finer)
    b[-1, -1] = 1.0
    inverse = solve_triangular(np.eye(classes) - b @ c, np.eye(classes), lower=True)
    result: np.ndarray = (np.eye(classes) - c) @ inverse
    return result


@pytest.mark.parametrize(
    ("k1", "k2", "k3", "share", "n1", "n2"),
    [
        (20.0, 55.0, 2.3, 0.2, 0.5, 2.5),
        (9.0, 25.0, 2.0, 0.35, 0.6, 3.0),  # k1 and k2 on edges
        (60.0, 62.0, 1.0, 0.1, 0.4, 6.0),  # both in one class
        (0.1, 1.5, 2.3, 0.2, 0.5, 2.5),  # nearly everything is driven to the finest class
        (250.0, 400.0, 2.3, 0.2, 0.5, 2.5),  # nothing is broken
    ],
)
def test_whiten_operator_is_the_matrix_product_evaluated_by_scipy(
    k1: float, k2: float, k3: float, share: float, n1: float, n2: float
) -> None:
    operator = whiten_operator(
        EDGES, k1=k1, k2=k2, k3=k3, fines_share=share, fines_exponent=n1, coarse_exponent=n2
    )
    assert operator.shape == (1, 12, 12)
    expected = whiten_by_scipy(EDGES, k1, k2, k3, share, n1, n2)
    assert operator[0] == pytest.approx(expected, abs=1e-10)


def test_classification_is_the_closed_form_of_its_authors_on_hand_worked_classes() -> None:
    # By hand, k1 = 10, k2 = 30, k3 = 2, C = 1 - ((30 - d)/20)^2:
    # mean over 10 to 30: 1 - 1/3 = 2/3; over 10 to 20: 1 - (1 - 1/8) * 20/(3 * 10) = 5/12.
    edges = [60.0, 30.0, 20.0, 10.0, 0.0]
    chances = classification(edges, k1=10.0, k2=30.0, k3=2.0)[0]
    assert chances == pytest.approx([1.0, 11.0 / 12.0, 5.0 / 12.0, 0.0], abs=1e-14)
    assert classification([60.0, 30.0, 10.0, 0.0], k1=10.0, k2=30.0, k3=2.0)[0, 1] == (
        pytest.approx(2.0 / 3.0, abs=1e-14)
    )


def test_breakage_of_a_thin_class_is_the_two_term_power_sum() -> None:
    # King (2001), ch. 5, by hand at x/y = 1/4, K = 0.2, n1 = 0.5, n2 = 2:
    # B = 0.2 * 0.5 + 0.8 * 0.0625 = 0.15.
    edges = [100.0001, 100.0, 25.0, 0.0]
    progeny = breakage_matrix(edges, fines_share=0.2, fines_exponent=0.5, coarse_exponent=2.0)
    assert progeny[0, 2, 0] == pytest.approx(0.15, abs=1e-5)


def test_nothing_at_or_above_k2_is_left_in_the_product() -> None:
    operator = whiten_operator(EDGES, k1=20.0, k2=50.0)
    assert operator[0, EDGES[1:] >= 50.0, :] == pytest.approx(0.0, abs=1e-15)


def test_rock_finer_than_k1_passes_unbroken() -> None:
    operator = whiten_operator(EDGES, k1=25.0, k2=60.0)
    fine = EDGES[:-1] <= 25.0
    assert operator[0][:, fine] == pytest.approx(np.eye(12)[:, fine], abs=1e-15)


def test_a_finer_grid_hardly_moves_the_product() -> None:
    """From classes a factor 1.41 wide, as in the R20/3 series, to ones eight times narrower."""

    def below(classes_an_octave: int) -> np.ndarray:
        edges = np.append(np.geomspace(128.0, 0.5, 8 * classes_an_octave + 1), 0.0)
        feed = -np.diff(np.minimum(edges / 128.0, 1.0) ** 0.9)
        product = whiten_operator(edges, k1=13.0, k2=37.0)[0] @ feed
        return passing(edges, product)[0, :-1:classes_an_octave]

    assert below(2) == pytest.approx(below(16), abs=0.01)


def test_setting_curve_gives_its_share_at_the_setting_and_all_at_the_top_size() -> None:
    # The rule itself (common practice, no source): 60 % passes the css, all passes 2 x css.
    edges = np.array([300.0, 200.0, 100.0, 50.0, 36.0, 25.0, 12.5, 6.25, 0.0])
    feed = np.array([0.4, 0.4, 0.2, 0.0, 0.0, 0.0, 0.0, 0.0])  # all coarser than the top size
    product = setting_curve_operator(edges, css=25.0, passing_css=0.6, slope=1.0)[0] @ feed
    assert passing_at(edges, product, 25.0) == pytest.approx(0.60, abs=1e-12)
    assert passing_at(edges, product, 50.0) == pytest.approx(1.0, abs=1e-12)
    assert passing_at(edges, product, 12.5) == pytest.approx(0.30, abs=1e-12)  # slope 1
    # Between css and top size the curve is straight in log-log: 0.6 at 25, 1 at 50.
    expected = 0.6 * (36.0 / 25.0) ** (math.log(1 / 0.6) / math.log(2.0))
    assert passing_at(edges, product, 36.0) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("size", [25.001, 26.0, 30.0, 40.0, 60.0, 200.0])
def test_setting_curve_keeps_its_share_for_every_size_of_feed(size: float) -> None:
    """The rule says nothing of the feed: what a loop returns, near the setting, is fed as well."""
    edges = np.array([size + 1e-3, size, 25.0, 12.5, 0.0])
    product = setting_curve_operator(edges, css=25.0, passing_css=0.6, slope=1.0)[0, :, 0]
    assert product[2:].sum() == pytest.approx(0.6, abs=1e-4)
    assert product[3:].sum() == pytest.approx(0.3, abs=1e-4)  # slope 1


def test_setting_curve_breaks_near_the_setting_and_leaves_finer_rock_alone() -> None:
    """By hand: all that can be is broken at the css, half of it half way from 0.6 css to it."""

    def broken(size: float) -> float:
        """Of a piece, what leaves finer than half of the css; slope 1, so 0.3 of what is broken."""
        edges = np.array([size + 1e-3, size, 12.5, 0.0])
        operator = setting_curve_operator(edges, css=25.0, passing_css=0.6, slope=1.0)[0]
        return float(operator[2:, 0].sum()) / 0.3

    shares = [broken(25.0 * part) for part in (0.55, 0.6, 0.7, 0.8, 0.9, 1.0)]
    assert shares == pytest.approx([0.0, 0.0, 0.25, 0.5, 0.75, 1.0], abs=1e-3)


def test_a_faster_rotor_breaks_finer() -> None:
    operator = impact_operator(EDGES, tip_speed=[25.0, 35.0, 45.0], d_min=10.0, d50=40.0)
    feed = np.full(12, 1.0 / 12.0)
    finer = passing_at(EDGES, operator @ feed, 25.0)
    assert finer[0] < finer[1] < finer[2]


def test_a_vertical_shaft_gives_the_energy_of_a_horizontal_one_root_two_faster() -> None:
    # Nikolov (2002, 2004): E = 0.5 v^2 for a horizontal shaft, v^2 for a vertical one (memory).
    vertical = impact_operator(EDGES, tip_speed=30.0, energy_factor=1.0, d_min=10.0, d50=40.0)
    horizontal = impact_operator(
        EDGES, tip_speed=30.0 * math.sqrt(2.0), energy_factor=0.5, d_min=10.0, d50=40.0
    )
    assert vertical == pytest.approx(horizontal, abs=1e-14)


@pytest.mark.parametrize(("stated", "at_four_times"), [(0.3, 0.6), (0.6, 0.95)])
def test_the_share_of_fines_rises_with_the_energy_of_an_impact(
    stated: float, at_four_times: float
) -> None:
    """That it follows the energy: Nikolov (2002), abstract looked up. By hand: twice the speed is
    four times the energy, 0.3 x 4^0.5 = 0.6, and 0.6 x 4^0.5 is held at 0.95."""
    rotor = {"tip_speed": 70.0, "d_min": 5.0, "d50": 20.0, "energy_exponent": 0.0}
    following = impact_operator(EDGES, **rotor, fines_share=stated, fines_energy=0.5)
    plain = impact_operator(EDGES, **rotor, fines_share=at_four_times)
    assert following == pytest.approx(plain, abs=1e-14)


def test_impact_leaves_rock_finer_than_d_min_alone() -> None:
    operator = impact_operator(EDGES, tip_speed=35.0, reference_speed=35.0, d_min=25.0, d50=40.0)
    fine = EDGES[:-1] <= 25.0
    assert operator[0][:, fine] == pytest.approx(np.eye(12)[:, fine], abs=1e-15)


# --- what comes from a coarse piece of feed, and hard rock ---------------------------------------


def test_each_size_of_feed_has_the_chamber_that_its_size_scales_by_scipy() -> None:
    """Column by column: the published form with K1 and K2 of that piece, (d / usual)^0.3."""
    found = whiten_operator(EDGES, k1=20.0, k2=55.0, size_exponent=0.3, usual_f80=60.0)[0]
    for j in range(EDGES.size - 2):
        size = math.sqrt(EDGES[j] * EDGES[j + 1])
        scale = min(max(size / 60.0, 0.25), 4.0) ** 0.3
        alone = whiten_by_scipy(EDGES, 20.0 * scale, 55.0 * scale, 2.3, 0.2, 0.5, 2.5)
        assert found[:, j] == pytest.approx(alone[:, j], abs=1e-10)


def test_a_coarser_piece_leaves_coarser() -> None:
    """Napier-Munn et al. (1996), ch. 6, memory: K2 rises with the size of the feed."""
    operator = whiten_operator(EDGES, k1=10.0, k2=45.0, size_exponent=0.3, usual_f80=60.0)[0]
    finer = operator[5:].sum(axis=0)  # than 35.5 mm, from 141 mm and finer to 200 mm
    assert finer[0] < finer[1] < finer[2]


def test_feeds_add_whatever_their_size() -> None:
    """Flows stay proportional to the feed: what two feeds make together they make apart."""
    operator = whiten_operator(EDGES, k1=10.0, k2=45.0, size_exponent=0.3, usual_f80=60.0)[0]
    assert operator.sum(axis=0) == pytest.approx(1.0, abs=1e-14)
    batch = whiten_operator(
        EDGES, k1=[10.0, 8.0], k2=45.0, size_exponent=[0.3, 0.0], usual_f80=60.0
    )
    assert batch[0] == pytest.approx(operator, abs=1e-14)
    assert batch[1] == pytest.approx(whiten_operator(EDGES, k1=8.0, k2=45.0)[0], abs=1e-12)


def test_a_harder_rock_widens_the_classification_by_a_power_of_its_work_index() -> None:
    """By hand: (20 / 15)^0.2 = 1.05922; in a blend of 10 and 30 half and half it is the same."""
    known = {"rock_exponent": 0.2, "usual_work_index": 15.0}
    hard = whiten_operator(EDGES, k1=10.0, k2=45.0, work_index_kwh_t=20.0, **known)
    blend = whiten_operator(
        EDGES, k1=10.0, k2=45.0, work_index_kwh_t=[[10.0, 30.0]], rock_shares=[[0.5, 0.5]], **known
    )
    by_hand = whiten_operator(EDGES, k1=10.5922, k2=47.6651)
    assert hard == pytest.approx(by_hand, abs=1e-4)
    assert blend == pytest.approx(hard, abs=1e-14)
    usual = whiten_operator(EDGES, k1=10.0, k2=45.0, work_index_kwh_t=15.0, **known)
    assert usual == pytest.approx(whiten_operator(EDGES, k1=10.0, k2=45.0), abs=1e-14)


@st.composite
def grids(draw: st.DrawFn) -> np.ndarray:
    count = draw(st.integers(min_value=1, max_value=30))
    ratios = draw(st.lists(st.floats(1.02, 4.0), min_size=count, max_size=count))
    top = draw(st.floats(1.0, 2000.0))
    return np.append(top / np.cumprod([1.0, *ratios]), 0.0)


def assert_conserves(operator: np.ndarray) -> None:
    assert np.all(np.isfinite(operator))
    assert operator.min() >= -1e-15
    assert np.abs(operator.sum(axis=1) - 1.0).max() <= 1e-14
    assert np.triu(operator, 1) == pytest.approx(0.0, abs=0.0)  # nothing grows
    assert operator[:, -1, -1] == pytest.approx(1.0, abs=1e-15)


sizes = st.floats(0.01, 3000.0)


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(
    edges=grids(),
    k1=sizes,
    width=st.floats(0.01, 5.0),
    k3=st.floats(0.5, 6.0),
    share=st.floats(0.0, 1.0),
    n1=st.floats(0.1, 3.0),
    n2=st.floats(0.5, 10.0),
    exponent=st.floats(0.0, 1.0),
)
def test_whiten_operator_conserves_mass_and_never_grows_a_particle(
    edges: np.ndarray,
    k1: float,
    width: float,
    k3: float,
    share: float,
    n1: float,
    n2: float,
    exponent: float,
) -> None:
    assert_conserves(
        whiten_operator(
            edges,
            k1=k1,
            k2=k1 * (1.0 + width),
            k3=k3,
            fines_share=share,
            fines_exponent=n1,
            coarse_exponent=n2,
            size_exponent=exponent,
            usual_f80=5.0 * k1,
        )
    )


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(
    edges=grids(),
    css=sizes,
    passing_css=st.floats(0.2, 0.98),
    top_ratio=st.floats(1.1, 6.0),
    slope=st.floats(0.2, 3.0),
)
def test_setting_curve_conserves_mass_and_never_grows_a_particle(
    edges: np.ndarray, css: float, passing_css: float, top_ratio: float, slope: float
) -> None:
    assert_conserves(
        setting_curve_operator(
            edges, css=css, passing_css=passing_css, top_ratio=top_ratio, slope=slope
        )
    )


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(
    edges=grids(),
    tip_speed=st.floats(5.0, 120.0),
    d_min=st.floats(0.0, 500.0),
    d50=st.floats(0.05, 1000.0),
    sharpness=st.floats(0.2, 6.0),
)
def test_impact_operator_conserves_mass_and_never_grows_a_particle(
    edges: np.ndarray, tip_speed: float, d_min: float, d50: float, sharpness: float
) -> None:
    assert_conserves(
        impact_operator(edges, tip_speed=tip_speed, d_min=d_min, d50=d50, sharpness=sharpness)
    )


def test_a_batch_gives_what_its_cases_give_one_by_one() -> None:
    css = np.array([8.0, 14.0, 32.0])
    share = np.array([0.6, 0.7, 0.65])
    whiten = whiten_operator(EDGES, k1=0.7 * css, k2=2.2 * css)
    curve = setting_curve_operator(EDGES, css=css, passing_css=share)
    impact = impact_operator(EDGES, tip_speed=css + 20.0, d_min=css, d50=30.0)
    for i, (setting, passing_css) in enumerate(zip(css, share, strict=True)):
        alone = whiten_operator(EDGES, k1=0.7 * setting, k2=2.2 * setting)
        assert whiten[i] == pytest.approx(alone[0], abs=1e-15)
        alone = setting_curve_operator(EDGES, css=setting, passing_css=passing_css)
        assert curve[i] == pytest.approx(alone[0], abs=1e-15)
        alone = impact_operator(EDGES, tip_speed=setting + 20.0, d_min=setting, d50=30.0)
        assert impact[i] == pytest.approx(alone[0], abs=1e-15)


def test_impossible_coefficients_and_grids_are_refused() -> None:
    with pytest.raises(ValueError, match="k2 must be above k1"):
        whiten_operator(EDGES, k1=30.0, k2=30.0)
    with pytest.raises(ValueError, match="passing_css"):
        setting_curve_operator(EDGES, css=20.0, passing_css=1.0)
    with pytest.raises(ValueError, match="usual_f80"):
        whiten_operator(EDGES, k1=20.0, k2=30.0, size_exponent=0.3)
    for edges in ([10.0, 20.0, 0.0], [20.0, 10.0, 1.0], [0.0]):
        with pytest.raises(ValueError, match="edges must fall"):
            whiten_operator(edges, k1=1.0, k2=2.0)
