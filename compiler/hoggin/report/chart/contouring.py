"""Lines of equal value and the feasible region of a grid, in the grid's own coordinates.

Between its nodes a grid is taken to be bilinear: it is refined that way first, so that where
several margins bound a region its corners are where their lines meet. The lines themselves are
contourpy's.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Grid = NDArray[np.float64]
_PIECES = 8  # of a cell, along each side


def refined(x: Grid, y: Grid, z: Grid) -> tuple[Grid, Grid, Grid]:
    """Finer x, y and z (len(y), len(x)), bilinear; cells with a NaN corner are NaN."""
    fine_x, fine_y = _between(x), _between(y)
    return fine_x, fine_y, _along(_along(z, 1), 0)


def contours(x: Grid, y: Grid, z: Grid, level: float) -> list[Grid]:
    """Lines (n, 2) of z = level. x, y rise; z is (len(y), len(x)), NaN where it has no value."""
    from contourpy import LineType, contour_generator

    fine = refined(x, y, z)
    generator = contour_generator(*_masked(*fine), line_type=LineType.Separate)
    return [np.asarray(line, dtype=np.float64) for line in generator.lines(level) if len(line) > 1]


def region(x: Grid, y: Grid, margins: Sequence[Grid]) -> list[list[Grid]]:
    """The region where no margin is below 0: polygons of rings (n, 2), the outer one first."""
    from contourpy import FillType, contour_generator

    scaled = []
    for margin in margins:
        fine_x, fine_y, fine = refined(x, y, margin)
        largest = np.nan_to_num(np.abs(fine)).max()
        scaled.append(fine / largest if largest > 0 else fine)
    worst = np.min(scaled, axis=0)
    generator = contour_generator(*_masked(fine_x, fine_y, worst), fill_type=FillType.OuterOffset)
    found: list[list[Grid]] = []
    outlines, offsets = generator.filled(0.0, np.inf)[:2]
    for outline, cuts in zip(outlines, offsets, strict=True):
        assert outline is not None and cuts is not None, "only chunks may be without polygons"
        rings = [outline[a:b] for a, b in pairwise(int(cut) for cut in cuts)]
        found.append([np.asarray(ring, dtype=np.float64) for ring in rings])
    return found


def _masked(x: Grid, y: Grid, z: Grid) -> tuple[Grid, Grid, np.ma.MaskedArray]:
    return x, y, np.ma.masked_invalid(z)


def _between(values: Grid) -> Grid:
    shares = np.arange(_PIECES) / _PIECES
    steps = values[:-1, None] + np.diff(values)[:, None] * shares
    return np.append(steps.ravel(), values[-1])


def _along(z: Grid, axis: int) -> Grid:
    """z with points between its nodes along an axis, on straight lines."""
    moved = np.moveaxis(z, axis, 0)
    shares = (np.arange(_PIECES) / _PIECES)[None, :, None]
    steps = moved[:-1, None] * (1 - shares) + moved[1:, None] * shares
    joined = np.concatenate([steps.reshape(-1, moved.shape[1]), moved[-1:]])
    return np.moveaxis(joined, 0, axis)
