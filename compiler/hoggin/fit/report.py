"""What a fit found, as tables for the terminal."""

from __future__ import annotations

import math
from collections.abc import Iterator

from hoggin.fit.base import BaseClass
from hoggin.fit.calibrate import Calibration, SampleFit
from hoggin.fit.wording import figure, interval, points, summary
from hoggin.report.tables import Column, Document, Section, Table, Value
from hoggin.report.wording import DEFERENCE, PREDICTION, size


def report(base: BaseClass, calibration: Calibration, data: str) -> Document:
    """Coefficients with their intervals, residuals by sample, and what to be wary of."""
    return Document(
        title=f"Fit of {base.name}, breakage {base.model.name}, to {data}",
        subtitle=summary(base, calibration)
        + f" ({points(calibration.before)} root mean square before the fit)",
        sections=(
            Section("Coefficients", table=_coefficients(calibration)),
            Section("Residuals, measured minus fitted % passing", table=_residuals(calibration)),
            Section("To bear in mind", points=tuple(_remarks(calibration))),
        ),
    )


def _coefficients(calibration: Calibration) -> Table:
    columns = (
        Column("coefficient"),
        Column("fitted"),
        Column("class"),
        Column("searched from", width=12),
        Column("to"),
        Column("95 % confidence", width=60),
    )
    rows = tuple(
        (
            e.parameter.label,
            *map(figure, (e.value, e.parameter.start, e.parameter.low, e.parameter.high)),
            interval(e).removeprefix("95 % confidence "),
        )
        for e in calibration.estimates
    )
    return Table("Coefficients", columns, rows)


def _residuals(calibration: Calibration) -> Table:
    columns = (
        Column("sample"),
        Column("css", "mm", "size"),
        Column("sieves", "", "count"),
        Column("mean", "points", "number"),
        Column("root mean square", "points", "number"),
        Column("largest", "points", "number"),
        Column("at", "mm", "size"),
    )
    return Table("Residuals", columns, tuple(_residual_row(s) for s in calibration.samples))


def _residual_row(fit: SampleFit) -> tuple[Value, ...]:
    percent = [100.0 * residual for residual in fit.residuals]
    worst = max(range(len(percent)), key=lambda place: abs(percent[place]))
    return (
        fit.sample.name or "all",
        fit.css_mm,
        len(percent),
        math.fsum(percent) / len(percent),
        math.sqrt(math.fsum(p * p for p in percent) / len(percent)),
        percent[worst],
        fit.sample.product[worst].size_mm,
    )


def _remarks(calibration: Calibration) -> Iterator[str]:
    for estimate in calibration.estimates:
        parameter = estimate.parameter
        span = f"{figure(parameter.low)} to {figure(parameter.high)}"
        if estimate.verdict == "undetermined":
            yield (
                f"{parameter.label} is not determined by these data: its interval is wider than "
                f"the range of {span} that was searched. Hold it by leaving it out of --free, or "
                "measure more samples, at other settings and on more sieves."
            )
        elif estimate.verdict == "at a bound":
            yield (
                f"{parameter.label} stands at a bound of the range of {span} that was searched: "
                "the data or the form of the model may not be what it is meant for. The other "
                "intervals hold it there."
            )
    for first, second, correlation in calibration.alike:
        yield (
            f"{first} and {second} can hardly be told apart (correlation {correlation:.2f}): an "
            "error in one is made good by the other. Hold one of them."
        )
    if len({fit.css_mm for fit in calibration.samples}) == 1:
        css = size(calibration.samples[0].css_mm)
        yield (
            f"All samples were taken at css {css} mm: that lengths follow the css in proportion "
            "is assumed, not measured. Check it by samples at another setting."
        )
    yield (
        "The intervals take the residuals as independent and alike on all sieves. Points of one "
        "grading are not quite independent, and errors of the feed's grading and of the css are "
        "not in them: take the intervals as the least there is."
    )
    yield (
        "The fit holds for rock, feed, moisture, chamber and speed like those of the samples. "
        f"{PREDICTION} {DEFERENCE}"
    )
    yield (
        "Belt cuts are taken from a belt that is stopped, locked out and proved dead, by the "
        "site's procedure; dust may hold respirable silica."
    )
