"""Requirement verdicts: each `require` line against the results, with its margin."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from hoggin.rating.flows import Flow
from hoggin.schema.plant import (
    Band,
    Combination,
    Constant,
    Expression,
    Limit,
    Meets,
    Reading,
    Requirement,
)
from hoggin.schema.results import BandVerdict, RequirementResult

# A sieve analysis is reported to a whole per cent; a twentieth of one is no miss.
_GRADING_SLACK = 0.0005
_SLACK = 1e-9

Read = Callable[[Reading], float | None]


def band_verdict(band: Band, flow: Flow) -> BandVerdict:
    """A grading against a specification, sieve by sieve; the worst sieve has the least margin."""
    passing = [flow.passing(point.size_mm) for point in band.points]
    worst_size: float | None = None
    worst = 1.0
    for point, share in zip(band.points, passing, strict=True):
        # A limit of 0 % or 100 % can't be missed on its own side, and 100 % asked for and had is
        # no near miss: those say nothing of the worst sieve.
        reached = point.low == 1 and share >= 1 - _GRADING_SLACK
        sides = (
            (share - point.low, point.low > 0 and not reached),
            (point.high - share, point.high < 1),
        )
        for margin, binds in sides:
            if binds and margin < worst:
                worst, worst_size = margin, point.size_mm
    return BandVerdict(
        name=band.name,
        about=band.about,
        source=band.source,
        sizes_mm=tuple(point.size_mm for point in band.points),
        low=tuple(point.low for point in band.points),
        high=tuple(point.high for point in band.points),
        passing=tuple(passing),
        met=not flow.empty and worst >= -_GRADING_SLACK,
        worst_size_mm=worst_size,
        worst_margin=worst,
    )


def verdict(
    requirement: Requirement, read: Read, product_flow: Callable[[str], Flow]
) -> RequirementResult:
    if isinstance(requirement, Meets):
        return _meets(requirement, product_flow(requirement.product))
    return _limit(requirement, read)


def _meets(requirement: Meets, flow: Flow) -> RequirementResult:
    band = band_verdict(requirement.band, flow)
    if flow.empty or band.worst_size_mm is None:
        value = "no material" if flow.empty else "no sieve binds"
    else:
        index = band.sizes_mm.index(band.worst_size_mm)
        value = (
            f"worst at {band.worst_size_mm:g} mm: {100 * band.passing[index]:.1f} % passing, "
            f"{100 * band.low[index]:g} % to {100 * band.high[index]:g} % wanted"
        )
    margin = 100 * band.worst_margin if not flow.empty else -100.0
    return RequirementResult(
        text=requirement.text,
        met=band.met,
        value_text=value,
        limit_text=band.about or band.name,
        margin=margin,
        margin_text=f"{margin:+.1f} % passing",
        file=requirement.place.file,
        line=requirement.place.line,
    )


def _limit(requirement: Limit, read: Read) -> RequirementResult:
    raw = evaluate(requirement.expression, read)
    unit = requirement.unit
    low, high = requirement.low, requirement.high
    sides = []
    if low is not None:
        sides.append(f">= {_number(low, unit)}")
    if high is not None:
        sides.append(f"<= {_number(high, unit)}")
    value = None if raw is None else raw / requirement.unit_size
    if value is None:
        margin, margin_text, met = 0.0, "no value", False
    else:
        margins = [(value - low, low)] if low is not None else []
        margins += [(high - value, high)] if high is not None else []
        margin, limit = min(margins)
        met = margin >= -_SLACK * max(1.0, abs(limit))
        margin_text = _signed(margin, unit) + (
            f" ({100 * margin / abs(limit):+.1f} %)" if limit and unit != "%" else ""
        )
    return RequirementResult(
        text=requirement.text,
        met=met,
        value_text="no value" if value is None else _number(value, unit),
        limit_text=" and ".join(sides),
        margin=margin,
        margin_text=margin_text,
        file=requirement.place.file,
        line=requirement.place.line,
    )


def evaluate(expression: Expression, read: Read) -> float | None:
    """The value of an expression over results; None where a result has no value (the P80 of an
    empty stream), or for a division by nothing."""
    match expression:
        case Constant():
            return expression.value
        case Reading():
            return read(expression)
        case Combination():
            left, right = evaluate(expression.left, read), evaluate(expression.right, read)
            if left is None or right is None:
                return None
            match expression.operator:
                case "+":
                    return left + right
                case "-":
                    return left - right
                case "*":
                    return left * right
                case "/":
                    return left / right if right else None
    return None


def readings(expression: Expression) -> Iterator[Reading]:
    """Every result that an expression names."""
    match expression:
        case Reading():
            yield expression
        case Combination():
            yield from readings(expression.left)
            yield from readings(expression.right)


def _number(value: float, unit: str) -> str:
    text = f"{value:.2f}" if abs(value) < 100 else f"{value:.1f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{text} {unit}".strip()


def _signed(value: float, unit: str) -> str:
    sign = "+" if value >= 0 else "-"
    return sign + _number(abs(value), unit)
