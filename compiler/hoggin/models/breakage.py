"""What a crusher does to sizes: a matrix from feed classes to product classes, case by case.

Every operator M is (B, n, n), lower triangular, with M[b, i, j] the fraction of feed class j that
leaves in class i. Columns sum to 1 to rounding. The finest class takes what is broken into it and
passes through unbroken.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import (
    Array,
    class_sizes,
    column,
    over,
    per_case,
    size_grid,
)
from hoggin.models.chamber import (
    MOST,
    part_filled,
    size_scale,
    unbroken_size,
)
from hoggin.models.following import classification_sizes, mean_of_rocks, rock_scale
from hoggin.models.points import Band, Fineness, to_points
from hoggin.models.two_term import repeated_two_term, two_term

_UNBROKEN = 0.6  # of the css, up to which no piece is broken; common practice, no source
_WIDTH = 0.2  # log size of a class where the chance of breakage changes


def whiten_operator(
    edges_mm: ArrayLike,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    k3: ArrayLike = 2.3,
    fines_share: ArrayLike = 0.2,
    fines_exponent: ArrayLike = 0.5,
    coarse_exponent: ArrayLike = 2.5,
    size_exponent: ArrayLike = 0.0,
    rock_exponent: ArrayLike = 0.0,
    usual_work_index: ArrayLike = 15.0,
    k1_feed: ArrayLike = 0.0,
    k2_feed: ArrayLike = 0.0,
    usual_f80: ArrayLike = 0.0,
    starved_rise: ArrayLike = 0.0,
    filling: ArrayLike | None = None,
    f80_mm: ArrayLike | None = None,
    work_index_kwh_t: ArrayLike | None = None,
    rock_shares: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Crusher product p = (I - C)(I - B C)^-1 f as an operator on feed f.

    A particle is classified for breakage or leaves; broken ones are classified again. C is the
    classification of Whiten, Walter & White averaged over each class, so that a result does not
    jump when an edge is added; B the two-term breakage of `breakage_matrix`. Harder rock moves C
    to coarser sizes (`following.rock_scale`), and so does a coarser piece of feed
    (`chamber.size_scale`) or a chamber that is not full (`chamber.part_filled`).

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        k1: (B,) mm, size below which nothing is broken.
        k2: (B,) mm, size above which everything is broken; above k1.
        k3: (B,) shape of the classification between them, usually 2 to 2.3.
        fines_share, fines_exponent, coarse_exponent: (B,) K, n1, n2 of the breakage function.
        size_exponent, usual_f80: (B,) as in `chamber.size_scale`.
        rock_exponent, usual_work_index: (B,) as in `following.rock_scale`.
        k1_feed, k2_feed, usual_f80: (B,) as in `following.classification_sizes`.
        starved_rise: (B,) by what share k1 and k2 are larger in a starved chamber.
        filling: (B,) as in `chamber.part_filled`; without it the chamber is full.
        f80_mm: (B,) of the crusher's feed, mm; without it k1 and k2 hold as they are given.
        work_index_kwh_t: (B,), or (B, K) of each rock with `rock_shares`; without it the rock is
            the usual one.
        rock_shares: (B, K) mass fraction of each rock in the feed.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0, k2 is not above k1, or size_exponent is not 0
            and usual_f80 not above 0.

    Source: Whiten (1972); Whiten, Walter & White (1979); King (2001), ch. 5. The effects of rock,
    of the size of a piece and of the filling: common practice, no source.
    """
    edges = size_grid(edges_mm)
    if f80_mm is not None:
        k1, k2 = classification_sizes(
            k1=k1, k2=k2, k1_feed=k1_feed, k2_feed=k2_feed, usual_f80=usual_f80, f80_mm=f80_mm
        )
    if work_index_kwh_t is not None:
        harder = rock_scale(
            mean_of_rocks(work_index_kwh_t, rock_shares) / per_case(usual_work_index),
            rock_exponent=rock_exponent,
        )
        k1, k2 = per_case(k1) * harder, per_case(k2) * harder
    breakage = two_term(
        edges,
        fines_share=fines_share,
        fines_exponent=fines_exponent,
        coarse_exponent=coarse_exponent,
        points_mm=points_mm,
    )
    scale = size_scale(edges, size_exponent=size_exponent, usual_f80=usual_f80, points_mm=points_mm)

    def chamber(wider: Array) -> Array:
        sizes = {"k1": per_case(k1) * wider, "k2": per_case(k2) * wider}
        classified = chances(edges, **sizes, k3=k3, scale=scale, points_mm=points_mm)
        return repeated_two_term(breakage, classified)

    starved = 1.0 + per_case(starved_rise)
    return part_filled(lambda: chamber(np.ones(1)), lambda: chamber(starved), filling)


def whiten_fineness(
    *,
    k1: float,
    k2: float,
    size_exponent: float,
    usual_f80: float,
    rock_exponent: float,
    usual_work_index: float,
    starved_rise: float = 0.0,
    work_index_kwh_t: float | None = None,
) -> Fineness:
    """Classes for `whiten_operator` on one rock, whose hardness moves k1 and k2."""
    hardness = 1.0 if work_index_kwh_t is None else work_index_kwh_t / usual_work_index
    harder = float(rock_scale(hardness, rock_exponent=rock_exponent)[0])
    return chamber_fineness(
        k1=k1 * harder,
        k2=k2 * harder,
        size_exponent=size_exponent,
        usual_f80=usual_f80,
        starved_rise=starved_rise,
        width=_WIDTH,
    )


def chamber_fineness(
    *,
    k1: float,
    k2: float,
    size_exponent: float,
    usual_f80: float,
    starved_rise: float = 0.0,
    width: float,
) -> Fineness:
    """Classes for `chances`: they bend at the size of piece that is not broken, in a full chamber
    and in a starved one, and change most from there to the k2 of the coarsest pieces."""
    wider = (1.0, 1.0 + starved_rise) if starved_rise else (1.0,)
    coarsest = k2 * MOST**size_exponent * wider[-1]
    kinks = [
        unbroken_size(k * rise, size_exponent=size_exponent, usual_f80=usual_f80)
        if size_exponent
        else k * rise
        for rise in wider
        for k in (k1, k2)
    ]
    held = (usual_f80 / MOST, usual_f80 * MOST) if size_exponent else ()
    smallest = kinks[0]
    return Fineness((*kinks, *held), (Band(smallest, coarsest, width),), (smallest,))


def setting_curve_fineness(*, css: float, top_ratio: float) -> Fineness:
    """Classes for `setting_curve_operator`: pieces are broken from a share of the setting up, the
    curve bends at the setting and ends at the top. What of a piece does not pass the setting stays
    above it, ever nearer."""
    smallest, largest = _UNBROKEN * css, top_ratio * css
    band = Band(smallest, largest, _WIDTH)
    return Fineness((smallest, css, largest), (band,), (smallest, css))


def classification(
    edges_mm: ArrayLike,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    k3: ArrayLike = 2.3,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Mean over each class of the chance that a particle is broken.

    C(d) = 0 up to K1, 1 - ((K2 - d) / (K2 - K1))^K3 between, 1 from K2; integrated in closed form
    over the class width. The finest class is never broken: it has nowhere to go.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        k1, k2, k3: (B,) mm, mm and pure number.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n) fraction, 0 to 1.

    Raises:
        ValueError: if the edges do not fall to 0, or k2 is not above k1.

    Source: Whiten, Walter & White (1979); class mean as in King (2001), ch. 5.

    Example, by hand: 40 mm is half way from K1 to K2: 1 - 0.5^2. The finest class is never broken.

    >>> classification([70.0, 30.0, 0.0], k1=20.0, k2=60.0, k3=2.0, points_mm=[40.0, 10.0])
    array([[0.75, 0.  ]])
    """
    edges = size_grid(edges_mm)
    smallest, largest, shape = column(k1), column(k2), column(k3)
    if np.any(largest <= smallest):
        raise ValueError("k2 must be above k1: it is the size from which all is broken")
    if points_mm is not None:
        within = np.clip(points_mm, smallest, largest)
        at: Array = 1.0 - ((largest - within) / (largest - smallest)) ** shape
        at[:, -1] = 0.0
        return at
    # The integral of C from 0 to d: nothing up to k1, the curve's between, and d beyond k2.
    within = np.clip(edges, smallest, largest)
    span = largest - smallest
    curve = (within - smallest) - span / (shape + 1.0) * (
        1.0 - ((largest - within) / span) ** (shape + 1.0)
    )
    integral = curve + np.maximum(edges - largest, 0.0)
    mean = (integral[:, :-1] - integral[:, 1:]) / (edges[:-1] - edges[1:])
    mean = np.where(edges[1:] >= largest, 1.0, np.clip(mean, 0.0, 1.0))  # exactly 1 above k2
    mean[:, -1] = 0.0
    return mean


def chances(
    edges_mm: ArrayLike,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    k3: ArrayLike,
    scale: Array | None,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Chances of breakage as `chamber` takes them: (B, n), or with a scale of `chamber.size_scale`
    (B, n, m + 1). The arguments are those of `classification`; the scale multiplies k1 and k2."""
    if scale is None:
        return classification(edges_mm, k1=k1, k2=k2, k3=k3, points_mm=points_mm)
    count = int((scale != scale[:, -1:]).any(axis=0).sum())  # the finest are held at one scale
    of_parent = scale[:, [*range(count), -1]]
    lower, upper, shape = np.broadcast_arrays(
        column(k1) * of_parent, column(k2) * of_parent, column(k3)
    )
    flat = classification(
        edges_mm, k1=lower.ravel(), k2=upper.ravel(), k3=shape.ravel(), points_mm=points_mm
    )
    return flat.reshape(*lower.shape, -1).swapaxes(1, 2)


def breakage_matrix(
    edges_mm: ArrayLike,
    *,
    fines_share: ArrayLike = 0.2,
    fines_exponent: ArrayLike = 0.5,
    coarse_exponent: ArrayLike = 2.5,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Progeny by class of one breakage of each parent class.

    B(x, y) = K (x/y)^n1 + (1 - K) (x/y)^n2, the fraction finer than x from a parent of size y,
    averaged over parents across their class.

    Args:
        edges_mm: (n + 1,) class limits, mm.
        fines_share, fines_exponent, coarse_exponent: (B,) K, n1 and n2.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) matrix, [b, i, j] the fraction of parents j that ends in class i.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: King (2001), ch. 5; Napier-Munn et al. (1996).

    Example, by hand: of 100 mm, with B = x / y, half is finer than 50 mm.

    >>> breakage_matrix(
    ...     [100.0, 50.0, 0.0], fines_share=0.0, coarse_exponent=1.0, points_mm=[100.0, 50.0]
    ... )
    array([[[0.5, 0. ],
            [0.5, 1. ]]])
    """
    return two_term(
        edges_mm,
        fines_share=fines_share,
        fines_exponent=fines_exponent,
        coarse_exponent=coarse_exponent,
        points_mm=points_mm,
    ).matrix()


def setting_curve_operator(
    edges_mm: ArrayLike,
    *,
    css: ArrayLike,
    passing_css: ArrayLike,
    top_ratio: ArrayLike = 2.0,
    slope: ArrayLike = 0.9,
    starved_loss: ArrayLike = 0.0,
    filling: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Crusher product on a curve tied to the setting, whatever the feed.

    The curve P has `passing_css` finer than the css and all finer than `top_ratio` css; it is a
    Gaudin-Schuhmann line of the given slope below the css, and one through both points above it.
    Of a piece coarser than the css, P(css) leaves finer than the css, on the curve; the rest lies
    between the css and the piece's own size, as on the curve. So the share that passes the css is
    the same whatever the size of the feed. Of a piece finer than the css a part is broken onto the
    curve and the rest leaves as it came: all at the css, nothing at 0.6 css.

    In a chamber that is not full a share less passes the css.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        css: (B,) closed side setting, mm.
        passing_css: (B,) fraction finer than the css, above 0 and below 1.
        top_ratio: (B,) top size over css, above 1.
        slope: (B,) log-log slope below the css.
        starved_loss: (B,) by how much less passes the css in a starved chamber.
        filling: (B,) as in `chamber.filling_under`; without it the chamber is full.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0, passing_css is not a fraction between 0 and 1
            or top_ratio not above 1.

    Source: common practice, no source.

    Example, by hand: 100 t/h of rock over 80 mm on a setting of 40 mm that 60 % pass: all pass 80
    mm, and 0.6 x 0.5^0.9 = 32.2 % pass 20 mm.

    >>> rock = [[100.0, 0.0, 0.0, 0.0]]
    >>> crusher = setting_curve_operator([160.0, 80.0, 40.0, 20.0, 0.0], css=40.0, passing_css=0.6)
    >>> np.einsum("bij,bj->bi", crusher, rock).round(1)
    array([[ 0. , 40. , 27.8, 32.2]])
    """
    edges = size_grid(edges_mm)
    setting, passing, ratio, fines_slope = map(column, (css, passing_css, top_ratio, slope))
    if np.any((passing <= 0.0) | (passing >= 1.0)) or np.any(ratio <= 1.0):
        raise ValueError("passing_css must lie between 0 and 1, and top_ratio be above 1")

    def curve(passed: Array) -> Array:
        return _curve_operator(edges, setting, passed, ratio, fines_slope, points_mm)

    starved = passing - column(starved_loss)
    return part_filled(lambda: curve(passing), lambda: curve(starved), filling)


def _curve_operator(
    edges: Array,
    setting: Array,
    passing: Array,
    ratio: Array,
    fines_slope: Array,
    points_mm: ArrayLike | None,
) -> Array:
    """The operator of `setting_curve_operator` whose curve has `passing` at the setting; all
    (B, 1)."""
    coarse_slope = np.log(1.0 / passing) / np.log(ratio)

    def below(relative: Array) -> Array:
        """P up to the css; from there P(css)."""
        return np.asarray(passing * np.minimum(relative, 1.0) ** fines_slope)

    def above(relative: Array) -> Array:
        """P over the css less P(css); 0 up to the css."""
        return np.asarray(passing * (np.clip(relative, 1.0, ratio) ** coarse_slope - 1.0))

    sizes, weights = class_sizes(edges, points_mm)
    parents = sizes / setting[..., np.newaxis]  # (B, n, points), over the css
    broken = np.clip((parents - _UNBROKEN) / (1.0 - _UNBROKEN), 0.0, 1.0) @ weights
    coarse = above(parents.reshape(len(setting), -1)).reshape(-1, *parents.shape[1:])
    kept = over((1.0 - passing)[..., np.newaxis], coarse, coarse > 0.0, 0.0) @ weights
    relative = edges / setting
    finer = (
        below(relative)[..., np.newaxis] * broken[:, np.newaxis, :]
        + above(relative)[..., np.newaxis] * kept[:, np.newaxis, :]
    )
    return progeny(finer, points_mm)


def progeny(finer: Array, points_mm: ArrayLike | None = None) -> Array:
    """Class fractions (B, n, n) from fraction finer than each edge (B, n + 1, n).

    No progeny is coarser than its parent's class; the finest class keeps all it gets.
    """
    classes = finer.shape[-1]
    edge, parent = np.arange(classes + 1)[:, np.newaxis], np.arange(classes)
    finer = np.minimum(finer, 1.0)
    np.copyto(finer, 1.0, where=edge <= parent)
    shares: Array = finer[:, :-1, :] - finer[:, 1:, :]
    if points_mm is None:
        return shares
    to_points(np.moveaxis(shares, 1, 2))
    # Within a class: of a point's rock as much stays with the point as of the finer one's, unless
    # more leaves its half.
    first = np.arange(0, classes, 2)
    finer_one = 1.0 - finer[:, first + 2, first + 1]
    half, whole = 1.0 - finer[:, first + 1, first], 1.0 - finer[:, first + 2, first]
    shares[:, first, first] = np.minimum(finer_one, half)
    shares[:, first + 1, first] = whole - shares[:, first, first]
    shares[:, first, first + 1] = 0.0
    shares[:, first + 1, first + 1] = finer_one
    return shares
