"""Requirements: their margins in all cases at once, and the verdict on one of them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from hoggin.balance.result import Array
from hoggin.rating.flow import Flow
from hoggin.rating.overload import anywhere, named
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.rating.view import picked, plain
from hoggin.schema.figures import ASKED
from hoggin.schema.plant import Band, Limit, Meets, Requirement
from hoggin.schema.results import BandVerdict, Judgement, RequirementResult

# A sieve analysis is reported to a whole per cent; a twentieth of one is no miss.
_GRADING_SLACK = 0.0005
_SLACK = 1e-9
_NO_MATERIAL = -100.0  # margin of a product that is not made, % passing


def margins(requirement: Requirement, readings: Readings, rated: Rated) -> Array:
    """By how much a requirement is met, (B,) or (1,) in its unit (% passing for a band): below 0
    where it is not, NaN where there is no value to judge, as downstream of an overload."""
    found = as_balanced(requirement, readings, rated)
    above = rated.overload.above_requirement(requirement)
    if not above:
        return found
    return np.where(anywhere(above, len(rated.balance.streams_t_h)), np.nan, found)


def as_balanced(requirement: Requirement, readings: Readings, rated: Rated) -> Array:
    """The same whether or not the machines upstream take their feed."""
    if isinstance(requirement, Meets):
        flow = rated.into(requirement.product)
        worst, _ = _worst(requirement.band, flow)
        return np.where(flow.empty, _NO_MATERIAL, 100.0 * worst)
    value = readings.asked(requirement)
    low, high = requirement.low, requirement.high
    sides = [] if low is None else [value - low]
    sides += [] if high is None else [high - value]
    nearest: Array = np.min(sides, axis=0)
    return nearest


def met(requirement: Requirement, margin: Array) -> NDArray[np.bool_]:
    """Whether a requirement is met, by its margin. What has no value is not met."""
    return margin >= -slack(requirement)


def slack(requirement: Requirement) -> float:
    """What is forgiven a margin, in its unit."""
    if isinstance(requirement, Meets):
        return 100.0 * _GRADING_SLACK
    limits = [abs(side) for side in (requirement.low, requirement.high) if side is not None]
    return _SLACK * max([1.0, *limits])


# -- bands --------------------------------------------------------------------------------------


def _worst(band: Band, flow: Flow) -> tuple[Array, NDArray[np.intp]]:
    """(B,) the least margin over a band's sieves, as a fraction, and the sieve's place; 1 and -1
    where no sieve binds.

    A limit of 0 % or 100 % can't be missed on its own side, and 100 % asked for and had is no near
    miss: those don't count for the worst sieve.
    """
    sides: list[tuple[int, Array]] = []
    for place, point in enumerate(band.points):
        passing = flow.passing(point.size_mm)
        if point.low > 0:
            reached = (point.low == 1) & (passing >= 1 - _GRADING_SLACK)
            sides.append((place, np.where(reached, np.inf, passing - point.low)))
        if point.high < 1:
            sides.append((place, point.high - passing))
    cases = len(flow.rate_t_h)
    if not sides:
        return np.ones(cases), np.full(cases, -1)
    all_sides = np.stack([margin for _, margin in sides])
    at = all_sides.argmin(axis=0)
    least = all_sides[at, np.arange(cases)]
    places = np.array([place for place, _ in sides])[at]
    bound = np.isfinite(least)
    return np.where(bound, least, 1.0), np.where(bound, places, -1)


def band_verdict(band: Band, flow: Flow, case: int = 0, *, void: bool = False) -> BandVerdict:
    """A grading against a specification, sieve by sieve; the worst sieve has the least margin."""
    worst, places = _worst(band, flow)
    margin, place = float(worst[case]), int(places[case])
    return BandVerdict(
        name=band.name,
        about=band.about,
        source=band.source,
        sizes_mm=tuple(point.size_mm for point in band.points),
        low=tuple(point.low for point in band.points),
        high=tuple(point.high for point in band.points),
        passing=picked(flow.passing_sieves([point.size_mm for point in band.points]), case),
        verdict=judged(not flow.empty[case] and margin >= -_GRADING_SLACK, void=void),
        worst_size_mm=None if place < 0 else band.points[place].size_mm,
        worst_margin=plain(margin),
    )


def judged(is_met: bool, *, void: bool) -> Judgement:
    """A verdict; there is none on numbers that are void."""
    return "not judged" if void else "met" if is_met else "not met"


# -- one case -----------------------------------------------------------------------------------


class _Words(NamedTuple):
    value: float | None
    value_text: str
    limit_text: str
    margin: float | None
    margin_text: str
    unit: str


def verdict(
    requirement: Requirement, readings: Readings, rated: Rated, case: int
) -> RequirementResult:
    """One requirement in one case."""
    margin = as_balanced(requirement, readings, rated)
    is_met = bool(picked(met(requirement, margin), case))
    near = picked(margin, case)
    reason = _void(named(rated.overload.above_requirement(requirement), case))
    if not reason and readings.is_void_over_the_year(requirement):
        reason = "in a case that gives a part of it, a machine upstream is overloaded"
    if isinstance(requirement, Meets):
        words = _of_band(requirement, rated.into(requirement.product), case, near)
    else:
        value = picked(readings.asked(requirement), case)
        words = _of_limit(requirement, value, near)
        if readings.is_over_the_year(requirement):
            words = words._replace(value_text=f"{words.value_text} over its cases")
    if reason:
        words = words._replace(margin=None, margin_text="none")
    return RequirementResult(
        text=requirement.text,
        verdict=judged(is_met, void=bool(reason)),
        reason=reason,
        file=requirement.place.file,
        line=requirement.place.line,
        **words._asdict(),
    )


def _void(tags: tuple[str, ...]) -> str:
    """Why a result of what is downstream of overloaded machines is not judged; "" for none."""
    if not tags:
        return ""
    listed = ", ".join(f"`{tag}`" for tag in tags)
    return f"{listed} upstream {'is' if len(tags) == 1 else 'are'} overloaded"


def _of_band(requirement: Meets, flow: Flow, case: int, margin: float) -> _Words:
    band = band_verdict(requirement.band, flow, case)
    value = None
    if flow.empty[case] or band.worst_size_mm is None:
        text = "no material" if flow.empty[case] else "no sieve binds"
    else:
        index = band.sizes_mm.index(band.worst_size_mm)
        value = 100 * band.passing[index]
        text = (
            f"worst at {band.worst_size_mm:g} mm: {value:.1f} % passing, "
            f"{100 * band.low[index]:g} % to {100 * band.high[index]:g} % wanted"
        )
    said = f"{margin:+.1f} points"
    return _Words(value, text, band.about or band.name, margin, said, "% passing")


def _of_limit(requirement: Limit, value: float | None, margin: float | None) -> _Words:
    unit, low, high = requirement.unit, requirement.low, requirement.high
    sides = [] if low is None else [f">= {_number(low, unit)}"]
    sides += [] if high is None else [f"<= {_number(high, unit)}"]
    limits = " and ".join(sides)
    if value is None or margin is None:
        return _Words(None, "no value", limits, None, "none", unit)
    nearest = low if high is None or (low is not None and value - low < high - value) else high
    assert nearest is not None, "a requirement has a limit"
    said = _signed(margin, "points" if unit == "%" else unit)
    if nearest and unit != "%":
        said += f" ({100 * margin / abs(nearest):+.1f} %)"
    return _Words(value, _number(value, unit), limits, margin, said, unit)


def _number(value: float, unit: str) -> str:
    text = ASKED.text(value)
    return f"{f'{value:.1g}' if value and not float(text) else text} {unit}".strip()


def _signed(value: float, unit: str) -> str:
    return ("+" if value >= 0 else "-") + _number(abs(value), unit)
