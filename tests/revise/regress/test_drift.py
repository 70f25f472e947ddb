"""Tolerances and drift: what holds and what does not, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from hoggin.revise.regress.drift import Drift, causes, drifts
from hoggin.revise.regress.measured import Finding, MadeFrom, Measured, Verdict
from hoggin.revise.regress.quantities import Quantity
from hoggin.revise.regress.record import Record, read_record, record_text
from hoggin.revise.regress.tolerances import (
    DEFAULTS,
    Tolerance,
    parse_tolerance,
    units_for,
)

from .test_record import ACCEPTED, MEASURED, SPOT


def _record(measured: Measured = MEASURED) -> Record:
    return read_record(record_text(measured, {}, ACCEPTED))


def _with(*quantities: Quantity) -> Measured:
    return replace(MEASURED, quantities=quantities)


def _drifts(before: Quantity, now: Quantity) -> tuple[Drift, ...]:
    return drifts(_record(_with(before)), _with(now), DEFAULTS)


@pytest.mark.parametrize(
    ("kind", "unit", "before", "held", "beyond"),
    [
        ("rate", "t/h", 200.0, 201.0, 201.2),  # 0.5 % of 200 t/h is 1 t/h
        ("rate", "t/h", 200.0, 199.0, 198.8),
        ("size", "mm", 20.0, 20.2, 20.3),  # 1 % of 20 mm is 0.2 mm
        ("passing", "%", 4.0, 4.5, 4.6),  # half a point, whatever the share
        ("passing", "%", 96.0, 95.5, 95.4),
        ("load", "%", 80.0, 81.0, 81.1),
        ("power", "kW", 150.0, 151.5, 151.6),
    ],
)
def test_what_is_just_allowed_holds_and_more_does_not(
    kind: str, unit: str, before: float, held: float, beyond: float
) -> None:
    recorded = Quantity("x", "y", kind, before, unit)
    assert _drifts(recorded, replace(recorded, value=held)) == ()
    (drift,) = _drifts(recorded, replace(recorded, value=beyond))
    assert drift.beyond > 1


def test_a_drift_tells_both_values_and_how_far_beyond() -> None:
    """102 t/h for 100 t/h is 2 % more, four times the half per cent allowed."""
    before = Quantity("product a", "rate", "rate", 100.0, "t/h")
    (drift,) = _drifts(before, replace(before, value=102.0))
    assert (drift.name, drift.recorded, drift.now) == ("product a: rate", "100 t/h", "102 t/h")
    assert (drift.difference, drift.allowed, drift.verdict) == ("+2 %", "0.5 %", "4 x")


def test_the_furthest_beyond_comes_first_and_what_can_not_be_measured_before_it() -> None:
    rate = Quantity("a", "rate", "rate", 100.0, "t/h")
    share = Quantity("a", "passing 4 mm", "passing", 50.0, "%")
    gone = Quantity("b", "rate", "rate", 10.0, "t/h")
    now = _with(replace(rate, value=101.0), replace(share, value=55.0))
    found = drifts(_record(_with(rate, share, gone)), now, DEFAULTS)
    assert [(d.name, d.verdict) for d in found] == [
        ("b: rate", "gone"),
        ("a: passing 4 mm", "10 x"),
        ("a: rate", "2 x"),
    ]


def test_nothing_recorded_allows_no_per_cent_of_it() -> None:
    zero = Quantity("a", "rate", "rate", 0.0, "t/h")
    (drift,) = _drifts(zero, replace(zero, value=0.01))
    assert drift.verdict == "changed"
    assert _drifts(zero, zero) == ()


def test_a_value_that_comes_or_goes_is_drift() -> None:
    some = Quantity("a", "P80", "size", 4.0, "mm")
    other = replace(some, what="P50")
    (came,) = drifts(_record(_with(other)), _with(other, some), DEFAULTS)
    (went,) = drifts(_record(_with(other, some)), _with(other), DEFAULTS)
    assert (came.verdict, came.now) == ("new", "4 mm")
    assert (went.verdict, went.recorded) == ("gone", "4 mm")


def test_a_tolerance_in_a_unit_holds_for_what_is_measured_in_it() -> None:
    """2 t/h says nothing of tonnes a year, which keep the default of 0.5 %."""
    stated = {**DEFAULTS, "rate": Tolerance(2, "t/h")}
    hourly = Quantity("a", "rate", "rate", 100.0, "t/h")
    yearly = Quantity("a", "per year", "rate", 200_000.0, "t/y")
    record = _record(_with(hourly, yearly))
    more = _with(replace(hourly, value=101.9), replace(yearly, value=203_800.0))
    assert [drift.what for drift in drifts(record, more, stated)] == ["per year"]


def test_verdicts_that_turn_and_requirements_that_come_or_go_are_drift() -> None:
    stays, goes = Verdict("a", "met", "", SPOT), Verdict("b", "met", "", SPOT)
    comes = Verdict("c", "met", "", SPOT)
    record = _record(replace(MEASURED, verdicts=(stays, goes)))
    now = replace(MEASURED, verdicts=(replace(stays, verdict="not met"), comes))
    told = {d.name: (d.recorded, d.now) for d in drifts(record, now, DEFAULTS)}
    assert told == {
        "require a": ("met", "not met"),
        "require b": ("met", ""),
        "require c": ("", "met"),
    }


def test_a_tolerance_of_nothing_asks_for_the_very_figure() -> None:
    exact = {**DEFAULTS, "rate": Tolerance(0, "%")}
    before = Quantity("a", "rate", "rate", 100.0, "t/h")
    record = _record(_with(before))
    assert drifts(record, _with(before), exact) == ()
    assert len(drifts(record, _with(replace(before, value=100.001)), exact)) == 1


def test_what_a_record_was_made_from_is_no_drift_but_told() -> None:
    then = MadeFrom("0.1.0", "1.0", 2026, {"a.hog": "1", "b.hog": "2", "c.hog": "3"})
    now = MadeFrom("0.2.0", "1.1", 2026, {"a.hog": "4", "c.hog": "3", "d.hog": "5"})
    record, later = _record(replace(MEASURED, made_from=then)), replace(MEASURED, made_from=now)
    assert drifts(record, later, DEFAULTS) == ()
    assert causes(record, later) == (
        "a.hog changed",
        "b.hog no longer used",
        "d.hog added",
        "compiler 0.1.0 is 0.2.0 now",
        "library 1.0 is 1.1 now",
    )


def test_a_file_that_only_lies_elsewhere_is_not_told() -> None:
    """As where a folder becomes a part of a larger repository."""
    then = MadeFrom("0.1.0", "1.0", 2026, {"a.hog": "1", "b.hog": "2"})
    now = replace(then, sources={"north/a.hog": "1", "north/b.hog": "3"})
    record, later = _record(replace(MEASURED, made_from=then)), replace(MEASURED, made_from=now)
    assert causes(record, later) == ("b.hog no longer used", "north/b.hog added")


def test_a_limit_that_turns_and_a_warning_that_comes_or_goes_are_drift() -> None:
    """Whatever the figures say: no tolerance holds for them."""
    gone = Finding("W0507", "`s.top`: area use 97 %", "", SPOT, "", "s.top")
    comes = Finding("W0508", "`s.top`: bed depth 41 mm", "", SPOT, "", "s.top")
    then = replace(MEASURED, limits={"crusher c: load": "ok", "d: e": "ok"}, warnings=(gone,))
    now = replace(MEASURED, limits={"crusher c: load": "over", "d: e": "ok"}, warnings=(comes,))
    told = {d.name: (d.recorded, d.now) for d in drifts(_record(then), now, DEFAULTS)}
    assert told == {
        "limit crusher c: load": ("ok", "over"),
        "warning W0507 s.top": ("given", ""),
        "warning W0508 s.top": ("", "given"),
    }
    worse = replace(gone, message="`s.top`: area use 99 %")
    assert drifts(_record(then), replace(then, warnings=(worse,)), DEFAULTS) == ()
    twice = replace(then, warnings=(gone, worse))
    assert [d.now for d in drifts(_record(then), twice, DEFAULTS)] == ["given 2 times"]


@pytest.mark.parametrize("kind", DEFAULTS)
def test_tolerances_are_stated_as_their_quantity_is_measured(kind: str) -> None:
    for unit in units_for(kind):
        assert parse_tolerance(kind, f" 0.25 {unit} ") == Tolerance(0.25, unit)
    for wrong in ("0.5 rpm", "0.5", "-1 %", "much", "", "1 % 2"):
        with pytest.raises(ValueError, match=kind):
            parse_tolerance(kind, wrong)


def test_per_cent_of_a_share_is_refused_because_it_could_mean_two_things() -> None:
    with pytest.raises(ValueError, match=r"0\.5 points"):
        parse_tolerance("passing", "0.5 %")


def test_an_absolute_tolerance_is_in_the_quantitys_own_unit() -> None:
    assert not Tolerance(2, "t/h").beyond(100, 102)
    assert Tolerance(2, "t/h").beyond(100, 103) == 1.5
