"""What a crusher does to sizes: a matrix from feed classes to product classes, case by case.

Every operator M is (B, n, n), lower triangular, with M[b, i, j] the fraction of feed class j that
leaves in class i. Columns sum to 1 to rounding. The finest class takes what is broken into it and
passes through unbroken.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from hoggin.models.arrays import CLASS_POINTS, CLASS_WEIGHTS, Array, class_sizes, column, size_grid
from hoggin.models.following import classification_sizes
from hoggin.models.points import Band, Fineness, to_points

_WIDTH = 0.18  # log size of a class where the chance of breakage changes
_SMALL = 24  # classes; below this a general inverse is as quick


def whiten_operator(
    edges_mm: ArrayLike,
    *,
    k1: ArrayLike,
    k2: ArrayLike,
    k3: ArrayLike = 2.3,
    fines_share: ArrayLike = 0.2,
    fines_exponent: ArrayLike = 0.5,
    coarse_exponent: ArrayLike = 2.5,
    k1_feed: ArrayLike = 0.0,
    k2_feed: ArrayLike = 0.0,
    usual_f80: ArrayLike = 0.0,
    f80_mm: ArrayLike | None = None,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Crusher product p = (I - C)(I - B C)^-1 f as an operator on feed f.

    A particle is classified for breakage or leaves; broken ones are classified again. C is the
    classification of Whiten, Walter & White averaged over each class, so that a result does not
    jump when an edge is added; B the two-term breakage of `breakage_matrix`.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        k1: (B,) mm, size below which nothing is broken.
        k2: (B,) mm, size above which everything is broken; above k1.
        k3: (B,) shape of the classification between them, usually 2 to 2.3.
        fines_share, fines_exponent, coarse_exponent: (B,) K, n1, n2 of the breakage function.
        k1_feed, k2_feed, usual_f80: (B,) as in `following.classification_sizes`.
        f80_mm: (B,) of the crusher's feed, mm; without it k1 and k2 hold as they are given.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0, or k2 is not above k1.

    Source: Whiten (1972); Whiten, Walter & White (1979); King (2001), ch. 5.
    """
    edges = size_grid(edges_mm)
    if f80_mm is not None:
        k1, k2 = classification_sizes(
            k1=k1, k2=k2, k1_feed=k1_feed, k2_feed=k2_feed, usual_f80=usual_f80, f80_mm=f80_mm
        )
    breakage = breakage_matrix(
        edges,
        fines_share=fines_share,
        fines_exponent=fines_exponent,
        coarse_exponent=coarse_exponent,
        points_mm=points_mm,
    )
    classified = classification(edges, k1=k1, k2=k2, k3=k3, points_mm=points_mm)
    return repeated_breakage(breakage, classified)


def whiten_fineness(*, k1: float, k2: float) -> Fineness:
    """Classes for `classification`: it bends at k1, and changes most between k1 and k2."""
    return Fineness((k1, k2), (Band(k1, k2, _WIDTH),))


def setting_curve_fineness(*, css: float, top_ratio: float) -> Fineness:
    """Classes for `setting_curve_operator`: the curve bends at the setting and ends at the top."""
    return Fineness((css, css * top_ratio), (Band(css, css * top_ratio, _WIDTH),))


def impact_fineness(
    *,
    tip_speed: float,
    reference_speed: float,
    d_min: float,
    d50: float,
    energy_factor: float,
    energy_exponent: float,
) -> Fineness:
    """Classes for `impact_operator`: the chance of breakage bends at dmin."""
    shrink = (0.5 * reference_speed**2 / (energy_factor * tip_speed**2)) ** energy_exponent
    smallest = d_min * shrink
    return Fineness((smallest,), (Band(smallest, smallest + 3.0 * d50 * shrink, _WIDTH),))


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
    """
    edges = size_grid(edges_mm)
    share = column(fines_share)[..., np.newaxis]
    finer = share * _power_below(edges, column(fines_exponent), points_mm) + (
        1.0 - share
    ) * _power_below(edges, column(coarse_exponent), points_mm)
    return progeny(finer, points_mm)


def setting_curve_operator(
    edges_mm: ArrayLike,
    *,
    css: ArrayLike,
    passing_css: ArrayLike,
    top_ratio: ArrayLike = 2.0,
    slope: ArrayLike = 0.9,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Crusher product on a curve tied to the setting.

    The curve has `passing_css` finer than the css and all finer than `top_ratio` css; it is a
    Gaudin-Schuhmann line of the given slope below the css, and one through both points above it.
    Rock finer than the css passes unbroken. A parent coarser than the top size is broken onto the
    curve, one between css and top size onto the curve truncated at its own size.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        css: (B,) closed side setting, mm.
        passing_css: (B,) fraction finer than the css, above 0 and below 1.
        top_ratio: (B,) top size over css, above 1.
        slope: (B,) log-log slope below the css.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0, passing_css is not a fraction between 0 and 1
            or top_ratio not above 1.

    Source: common practice, no source.
    """
    edges = size_grid(edges_mm)
    setting, passing, ratio, fines_slope = map(column, (css, passing_css, top_ratio, slope))
    if np.any((passing <= 0.0) | (passing >= 1.0)) or np.any(ratio <= 1.0):
        raise ValueError("passing_css must lie between 0 and 1, and top_ratio be above 1")
    coarse_slope = np.log(1.0 / passing) / np.log(ratio)

    def curve(size: Array) -> Array:
        relative = size / setting
        fine = passing * np.minimum(relative, 1.0) ** fines_slope
        coarse = passing * np.clip(relative, 1.0, ratio) ** coarse_slope
        return np.where(relative <= 1.0, fine, coarse)

    upper, lower = edges[:-1], edges[1:]
    # Only the part of a class above the css is broken: parents run from `start` to the upper edge.
    start = np.clip(lower, np.minimum(setting, upper), upper)
    parents = (
        start[..., np.newaxis] + (upper[:, np.newaxis] - start[..., np.newaxis]) * CLASS_POINTS
    )
    weights = CLASS_WEIGHTS
    if points_mm is not None:
        parents, weights = np.maximum(start, np.asarray(points_mm))[..., np.newaxis], np.ones(1)
    cases, classes = start.shape
    scale = (weights / curve(parents.reshape(cases, -1)).reshape(cases, classes, -1)).sum(axis=-1)
    finer = curve(np.broadcast_to(edges, (cases, edges.size)))[..., np.newaxis] * scale[:, None, :]
    broken = (upper - start) / (upper - lower)
    broken[:, -1] = 0.0
    unbroken = (1.0 - broken)[:, np.newaxis, :] * np.eye(classes)
    return unbroken + progeny(finer, points_mm) * broken[:, np.newaxis, :]


def impact_operator(
    edges_mm: ArrayLike,
    *,
    tip_speed: ArrayLike,
    d_min: ArrayLike,
    d50: ArrayLike,
    reference_speed: ArrayLike = 35.0,
    sharpness: ArrayLike = 1.0,
    energy_factor: ArrayLike = 0.5,
    energy_exponent: ArrayLike = 0.5,
    fines_share: ArrayLike = 0.2,
    fines_exponent: ArrayLike = 0.5,
    coarse_exponent: ArrayLike = 2.5,
    points_mm: ArrayLike | None = None,
) -> Array:
    """Impactor product as an operator, finer as the rotor turns faster.

    The chance of breakage is C(d) = 1 - exp(-((d - dmin) / d50)^k) above dmin. Both sizes fall as
    (E0 / E)^n with the impact energy E = energy_factor v^2 a kilogram: 0.5 for a horizontal
    shaft, 1 for a vertical one, whose rock also keeps its tangential speed. The reference E0 is
    that of a horizontal shaft at `reference_speed`. Broken rock is struck again, as in
    `whiten_operator`.

    Args:
        edges_mm: (n + 1,) class limits, mm, strictly falling to 0.
        tip_speed, reference_speed: (B,) m/s.
        d_min, d50: (B,) mm, at the reference energy.
        sharpness: (B,) k.
        energy_factor, energy_exponent: (B,) pure numbers.
        fines_share, fines_exponent, coarse_exponent: (B,) of `breakage_matrix`.
        points_mm: (n,) mm, the size that stands for each class, as in `points`; without it the
            class is averaged.

    Returns:
        (B, n, n) operator.

    Raises:
        ValueError: if the edges do not fall to 0.

    Source: Nikolov (2002), Nikolov (2004); form and constants from memory.
    """
    edges = size_grid(edges_mm)
    energy = column(energy_factor) * column(tip_speed) ** 2
    reference = 0.5 * column(reference_speed) ** 2
    shrink = (reference / energy) ** column(energy_exponent)
    smallest, scale, shape = column(d_min) * shrink, column(d50) * shrink, column(sharpness)
    sizes, weights = class_sizes(edges, points_mm)
    above = np.maximum(sizes - smallest[..., np.newaxis], 0.0)
    chance = 1.0 - np.exp(-((above / scale[..., np.newaxis]) ** shape[..., np.newaxis]))
    mean = chance @ weights
    mean[:, -1] = 0.0
    breakage = breakage_matrix(
        edges,
        fines_share=fines_share,
        fines_exponent=fines_exponent,
        coarse_exponent=coarse_exponent,
        points_mm=points_mm,
    )
    return repeated_breakage(breakage, mean)


def repeated_breakage(breakage: Array, classified: Array) -> Array:
    """(I - C)(I - B C)^-1 for breakage (B, n, n) and the diagonal of C (B, n)."""
    system = breakage * -classified[:, np.newaxis, :]
    diagonal = np.arange(classified.shape[-1])
    system[:, diagonal, diagonal] += 1.0
    operator = _lower_inverse(system)
    # In place from here: for a batch of cases these arrays are the largest there are.
    operator *= (1.0 - classified)[..., np.newaxis]
    # Columns sum to 1 by algebra; this removes what rounding left.
    operator /= operator.sum(axis=-2, keepdims=True)
    return operator


def _lower_inverse(lower: Array) -> Array:
    """Inverse of lower-triangular matrices (B, n, n).

    By halves: the inverse of [[A, 0], [C, D]] is [[A', 0], [-D' C A', D']]. Half the work of a
    general inverse, and most of it in products.
    """
    size = lower.shape[-1]
    if size <= _SMALL:
        return np.linalg.inv(lower).astype(np.float64, copy=False)
    half = size // 2
    inverse = np.zeros_like(lower)
    first = _lower_inverse(lower[:, :half, :half])
    last = _lower_inverse(lower[:, half:, half:])
    inverse[:, :half, :half] = first
    inverse[:, half:, half:] = last
    inverse[:, half:, :half] = -(last @ (lower[:, half:, :half] @ first))
    return inverse


def _power_below(edges: Array, exponent: Array, points_mm: ArrayLike | None) -> Array:
    """(B, n + 1, n): mean of (x/y)^exponent, for x each edge and y across each parent class.

    The mean of y^-n over a class is (u^a - l^a) / (a (u - l)) with a = 1 - n, written so that it
    also holds as a nears 0. The finest class breaks into nothing; its mean is not used.
    """
    if points_mm is not None:
        scale = np.asarray(points_mm) ** -exponent
        return (edges**exponent)[..., np.newaxis] * scale[:, np.newaxis, :]
    upper, lower = edges[:-1], np.where(edges[1:] > 0.0, edges[1:], 0.5 * edges[:-1])
    power = 1.0 - exponent
    safe = np.where(np.abs(power) < 1e-12, 1e-12, power)
    scale = -np.expm1(-safe * np.log(upper / lower)) / safe * upper**safe / (upper - lower)
    below: Array = (edges**exponent)[..., np.newaxis] * scale[:, np.newaxis, :]
    return below


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
    # Within a class: what stays of a point's rock with the point stays of the finer one's.
    first = np.arange(0, classes, 2)
    finer_one = 1.0 - finer[:, first + 2, first + 1]
    whole = 1.0 - finer[:, first + 2, first]
    shares[:, first, first] = np.minimum(finer_one, whole)
    shares[:, first + 1, first] = whole - shares[:, first, first]
    shares[:, first, first + 1] = 0.0
    shares[:, first + 1, first + 1] = finer_one
    return shares
