"""The result of a fit, as tables for the terminal."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from hoggin.fit.base import BaseClass
from hoggin.fit.calibrate import Calibration, SampleFit
from hoggin.fit.wording import figure, interval, points, summary
from hoggin.report.fields import number, table, words
from hoggin.report.tables import Document, Section, Table
from hoggin.report.wording import DEFERENCE, PREDICTION, size

_CONFIDENCE = "95 % confidence"


def report(base: BaseClass, calibration: Calibration, data: str) -> Document:
    """Coefficients with their intervals, residuals by sample, and warnings."""
    return Document(
        title=f"Fit of {base.name}, breakage {base.model.name}, to {data}",
        subtitle=summary(base, calibration)
        + f" ({points(calibration.before)} root mean square before the fit)",
        sections=(
            Section("Coefficients", table=_coefficients(calibration)),
            Section("Residuals, measured minus fitted % passing", table=_residuals(calibration)),
            Section("Notes", points=tuple(_remarks(calibration))),
        ),
    )


def _coefficients(calibration: Calibration) -> Table:
    fields = (
        words("coefficient", lambda estimate: estimate.parameter.label),
        words("fitted", lambda estimate: figure(estimate.value)),
        words("class", lambda estimate: figure(estimate.parameter.start)),
        words("searched from", lambda estimate: figure(estimate.parameter.low), 12),
        words("to", lambda estimate: figure(estimate.parameter.high)),
        words(_CONFIDENCE, lambda one: interval(one).removeprefix(f"{_CONFIDENCE} "), 60),
    )
    return table("Coefficients", fields, calibration.estimates)


def _residuals(calibration: Calibration) -> Table:
    fields = (
        words("sample", lambda fit: fit.sample.name or "all"),
        number("css", "mm", "stated", lambda fit: fit.css_mm),
        number("sieves", "", "count", lambda fit: len(fit.residuals)),
        number("mean", "points", "number", lambda fit: 100.0 * _mean(fit.residuals)),
        number("root mean square", "points", "number", _root_mean_square),
        number("largest", "points", "number", lambda fit: 100.0 * fit.residuals[_worst(fit)]),
        number("at", "mm", "stated", lambda fit: fit.sample.product[_worst(fit)].size_mm),
    )
    return table("Residuals", fields, calibration.samples)


def _root_mean_square(fit: SampleFit) -> float:
    return 100.0 * math.sqrt(_mean([residual**2 for residual in fit.residuals]))


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _worst(fit: SampleFit) -> int:
    """The place of the largest residual."""
    return max(range(len(fit.residuals)), key=lambda place: abs(fit.residuals[place]))


def _remarks(calibration: Calibration) -> Iterator[str]:
    for estimate in calibration.estimates:
        parameter = estimate.parameter
        span = f"{figure(parameter.low)} to {figure(parameter.high)}"
        if estimate.verdict == "undetermined":
            yield (
                f"{parameter.label} is not determined by these data: its interval is wider than "
                f"the range of {span} that was searched. Fix it by leaving it out of --free, or "
                "measure more samples, at other settings and on more sieves."
            )
        elif estimate.verdict == "at a bound":
            yield (
                f"{parameter.label} is at a bound of the range of {span} that was searched: "
                "the model may not suit these data. The other intervals assume that it is fixed "
                "there."
            )
    for first, second, correlation in calibration.alike:
        yield (
            f"{first} and {second} can hardly be distinguished (correlation {correlation:.2f}): "
            "the other can compensate for an error in one. Fix one of them."
        )
    if len({fit.css_mm for fit in calibration.samples}) == 1:
        css = size(calibration.samples[0].css_mm)
        yield (
            f"All samples were taken at css {css} mm. It is assumed, not measured, that lengths "
            "are proportional to the css. Check this with samples at another setting."
        )
    yield (
        "The intervals assume that residuals are independent and equally spread on all sieves. "
        "Points of one grading are not quite independent, and errors of the feed's grading and of "
        "the css are not included. Treat the intervals as lower bounds."
    )
    yield (
        "The fit holds for rock, feed, moisture, chamber and speed like those of the samples. "
        f"{PREDICTION} {DEFERENCE}"
    )
    yield (
        "Take belt cuts only from a belt that is stopped, locked out and proved dead, by the "
        "site's procedure. Dust may contain respirable silica."
    )
