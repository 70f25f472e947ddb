"""Records: what is written reads back, one quantity a line, whatever names and titles hold."""

from __future__ import annotations

import tomllib
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.errors import HogginError
from hoggin.revise.regress.acceptance import Acceptance
from hoggin.revise.regress.measured import MadeFrom, Measured, Spot, Verdict
from hoggin.revise.regress.quantities import Quantity, rounded
from hoggin.revise.regress.record import read_record, record_text, written

ACCEPTED = Acceptance("A. Tester <a@example.org>", "2026-03-02", "a first look")
SPOT = Spot("a.hog", 1, 1, 1, 1)
MEASURED = Measured(
    title="Hill",
    revision="C",
    quantities=(
        Quantity("plant", "feed", "rate", 450.0, "t/h"),
        Quantity("product chips", "P80", "size", 12.4, "mm"),
        Quantity("product chips", "passing 4 mm", "passing", 12.5, "%"),
    ),
    verdicts=(Verdict("chips.rate >= 20 t/h", "met", "30 t/h", SPOT),),
    limits={"crusher c: load": "ok"},
    warnings=(),
    spots={"plant": SPOT},
    made_from=MadeFrom("0.1.0", "1.0", 2026, {"a.hog": "0123456789abcdef"}),
)


def test_one_quantity_a_line_in_the_trades_units() -> None:
    lines = record_text(MEASURED, {"css": "12 mm"}, ACCEPTED).splitlines()
    for line in (
        'feed = "450 t/h"',
        'P80 = "12.4 mm"',
        '"passing 4 mm" = "12.5 %"',
        'css = "12 mm"',
    ):
        assert lines.count(line) == 1


def test_a_record_reads_back_as_it_was_written() -> None:
    record = read_record(record_text(MEASURED, {}, ACCEPTED))
    assert record.verdicts == {"chips.rate >= 20 t/h": "met"}
    assert record.values == {(q.subject, q.what): written(q) for q in MEASURED.quantities}
    assert record.limits == {"crusher c: load": "ok"}
    assert record.made_from == MEASURED.made_from
    assert record.accepted == ACCEPTED


@pytest.mark.slow
@given(st.text(), st.text())
def test_any_text_reads_back_with_the_standard_librarys_toml(title: str, name: str) -> None:
    """Against tomllib: the record is TOML 1.0, whatever a title or a file's name holds."""
    made = MadeFrom("0.1.0", "1.0", 2026, {name: "00"})
    plain = tomllib.loads(record_text(replace(MEASURED, title=title, made_from=made), {}, ACCEPTED))
    assert plain["plant"]["title"] == title
    assert plain["made_from"]["sources"] == {name: "00"}


def test_a_lone_surrogate_of_a_files_name_does_no_harm() -> None:
    text = record_text(replace(MEASURED, title="a\udcff"), {}, ACCEPTED)
    assert tomllib.loads(text.encode("utf-8").decode())["plant"]["title"] == "a?"


@pytest.mark.parametrize(
    ("value", "unit", "kept"),
    [
        (123.456789, "t/h", 123.457),
        (1234567.0, "t/h", 1234570.0),
        (0.0000001, "t/h", 0.0),
        (12.34567, "%", 12.346),
        (-1e-12, "%", 0.0),
    ],
)
def test_figures_are_kept_to_six_digits_without_dust(value: float, unit: str, kept: float) -> None:
    """Rounded by hand."""
    assert rounded(value, unit) == kept
    assert str(rounded(value, unit)) != "-0.0"


def test_small_numbers_are_written_plainly() -> None:
    assert written(Quantity("plant", "feed", "rate", 0.00001, "t/h")) == "0.00001 t/h"


def test_a_merge_conflict_is_named_with_its_line() -> None:
    text = record_text(MEASURED, {}, ACCEPTED)
    at = text.index('feed = "450')
    broken = text[:at] + "<<<<<<< ours\n" + text[at:]
    with pytest.raises(HogginError, match=rf"line {broken[:at].count(chr(10)) + 1}: .*conflict"):
        read_record(broken)


@pytest.mark.parametrize(
    "text",
    ["", "format = 1", "format = 2", "format = 2\nresults = 3", "format = 2\n[results]\nplant = 3"],
)
def test_what_is_no_record_is_told(text: str) -> None:
    with pytest.raises(HogginError):
        read_record(text)
