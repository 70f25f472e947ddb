"""Crusher tests that never were: gradings from known coefficients, with the noise of sieving.

The rock, the settings and the feeds are invented.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.fit.measured import Sample, read_samples
from hoggin.models.breakage import whiten_operator
from hoggin.models.grading import class_fractions, passing

SIZES = (160.0, 125.0, 100.0, 80.0, 63.0, 50.0, 40.0, 31.5, 25.0, 20.0, 16.0, 12.5, 10.0, 8.0,
         5.6, 4.0, 2.0, 1.0, 0.5)  # fmt: skip
TRUTH = {"k1": 0.72, "k2": 2.3, "fines_share": 0.28}  # k1 and k2 over the css
# All else as std.cones.high_speed has it.
HELD = {"k3": 2.5, "fines_exponent": 0.6, "coarse_exponent": 4.0, "size_exponent": 0.3}
USUAL = 3.7  # usual_f80 over the css
HEADING = "sample,css mm,size mm,feed % passing,product % passing"
_GRID = np.array([*sorted({*np.geomspace(160.0, 0.063, 360)[1:], *SIZES}, reverse=True), 0.0])


def feed_passing() -> np.ndarray:
    """A feed scalped at 25 mm, as fractions passing SIZES rounded to a tenth of a per cent."""
    sizes = np.array(SIZES)
    finer = (sizes / SIZES[0]) ** 0.9
    return np.round(np.where(sizes < 25.0, 0.3 * finer, finer), 3)


def product_passing(css: float, truth: dict[str, float] = TRUTH) -> np.ndarray:
    """Fractions of the product passing SIZES, on a grid of its own."""
    feed = class_fractions(_GRID, SIZES, feed_passing())
    operator = whiten_operator(
        _GRID,
        k1=truth["k1"] * css,
        k2=truth["k2"] * css,
        fines_share=truth["fines_share"],
        usual_f80=USUAL * css,
        **HELD,
    )
    curve = passing(_GRID, operator @ feed)[0]
    return np.array([curve[np.flatnonzero(size == _GRID)[0]] for size in SIZES])


def table(
    seed: int | None = None,
    noise: float = 0.003,
    settings: Sequence[float] = (20.0, 26.0, 32.0),
    truth: dict[str, float] = TRUTH,
) -> str:
    """The CSV of one sample a setting; `noise` is the standard deviation, a fraction passing.

    With noise, sieves near 0 % and 100 %, where it could not be normal, are left blank.
    """
    random = np.random.default_rng(seed)
    lines = [HEADING]
    for css in settings:
        product = product_passing(css, truth)
        blurred = product + random.normal(0.0, noise, product.size)
        for size, fed, made, read in zip(SIZES, feed_passing(), product, blurred, strict=True):
            cell = f"{100 * made:.6f}" if seed is None else ""
            if seed is not None and 0.02 < made < 0.98:
                cell = f"{100 * read:.4f}"
            lines.append(f"css {css:g},{css:g},{size:g},{100 * fed:.1f},{cell}")
    return "\n".join(lines) + "\n"


def samples_of(text: str) -> tuple[Sample, ...]:
    diagnostics = Diagnostics()
    samples = read_samples(Source("data.csv", text), diagnostics)
    assert not diagnostics.has_errors, [(d.span.line, d.message) for d in diagnostics]
    return samples
