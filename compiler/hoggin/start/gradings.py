"""Typical gradings of feeds by their largest piece, to be replaced by measured ones."""

from __future__ import annotations

import numpy as np

from hoggin.start.answers import Answers

# Size over the largest piece, and per cent passing. Invented after the usual look of such feeds;
# common practice, no source.
_BLASTED = ((1.0, 100), (0.75, 93), (0.5, 76), (0.31, 56), (0.156, 36), (0.08, 23), (0.025, 11),
            (0.005, 4), (0.0006, 1.5), (0.0001, 0.5))  # fmt: skip
_DUG = ((1.0, 100), (0.5, 88), (0.25, 72), (0.125, 55), (0.064, 42), (0.032, 33), (0.016, 26),
        (0.004, 14), (0.001, 4), (0.0001, 0.5))  # fmt: skip
_SIZES_MM = (800, 500, 315, 200, 125, 80, 50, 31.5, 16, 8, 4, 1, 0.25)


def usual_grading(answers: Answers) -> tuple[tuple[float, float], ...]:
    """Sizes in mm, coarse to fine, and the per cent passing each."""
    shares, percents = np.array(_BLASTED if answers.rock.blasted else _DUG)[::-1].T
    found = [(answers.top_mm, 100.0)]
    for size in _SIZES_MM:
        share = size / answers.top_mm
        if share > 0.8:
            continue
        # Between the curve's points, straight over the logarithm of size.
        passing = float(np.interp(np.log(share), np.log(shares), percents, left=0.0))
        passing = round(passing) if passing >= 5 else round(2 * passing) / 2
        if 0 < passing < found[-1][1]:
            found.append((float(size), passing))
    return tuple(found)
