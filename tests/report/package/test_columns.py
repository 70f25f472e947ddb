"""Tables on paper: all of each is set, within the width of the sheet."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoggin.report.lettering import BREAK
from hoggin.report.package.columns import SIZES_PT, Cell, breakable, laid, weight
from hoggin.report.tables import Column, Table, Value
from hoggin.report.wording import clean
from hoggin.schema import figures

ROOM_PT = 1100.0


def _sieves(count: int, rows: int = 2) -> Table:
    columns = (
        Column("no.", figures=figures.COUNT),
        Column("stream", width=32),
        *(Column(f"{n} mm", "%", figures.PERCENT) for n in range(count)),
    )
    line: tuple[Value, ...] = (1, "crusher.product -> screen", *(0.5 for _ in range(count)))
    return Table("Gradings", columns, (line,) * rows, keys=2)


def test_a_table_that_fits_is_set_in_the_largest_text() -> None:
    (run,) = laid(_sieves(6), ROOM_PT)
    assert run.size_pt == SIZES_PT[0]


@pytest.mark.slow
@pytest.mark.parametrize("count", [30, 60, 200, 500])
def test_a_table_too_wide_is_set_in_runs_each_led_by_the_keys(count: int) -> None:
    runs = laid(_sieves(count), ROOM_PT)
    shown = [heading for run in runs for heading in run.headings[2:]]
    assert shown == [(f"{n} mm", "(%)") for n in range(count)]
    for run in runs:
        assert run.width_pt <= ROOM_PT
        assert run.headings[:2] == (("no.", ""), ("stream", ""))
        assert {len(row) for row in run.rows} == {len(run.headings)}


@pytest.mark.slow
@given(st.lists(st.lists(st.text(max_size=200), min_size=3, max_size=3), min_size=1, max_size=5))
def test_any_text_is_kept_and_no_column_is_wider_than_the_sheet(rows: list[list[str]]) -> None:
    columns = tuple(Column(f"column {n}", width=30) for n in range(3))
    runs = laid(Table("Any", columns, tuple(map(tuple, rows))), ROOM_PT)
    for run in runs:
        assert run.width_pt <= ROOM_PT + 1.0
    kept = [[c.text.replace(BREAK, "") for c in row] for row in runs[0].rows]
    if len(runs) == 1:
        assert kept == [[clean(text) for text in row] for row in rows]


def test_a_long_word_may_be_broken_behind_its_joints() -> None:
    word = "a_very.long/name_of_something_in_a_plant"
    assert breakable(word).replace(BREAK, "") == word
    assert breakable(word).split(BREAK)[0] == "a_"
    assert breakable("word" * 50).count(BREAK) >= 7
    assert breakable("short words stay whole") == "short words stay whole"


def test_a_hash_stays_whole_where_its_column_is_wide_enough() -> None:
    assert breakable("0123456789abcdef" * 4, 64) == "0123456789abcdef" * 4


def test_words_of_verdicts_carry_weight() -> None:
    assert [weight(t) for t in ("OVER LIMIT", "NOT MET: a band", "OUTSIDE")] == [2, 2, 2]
    assert [weight(t) for t in ("WATCH", "ok", "over the bridge")] == [1, 0, 0]
    table = Table("Limits", (Column("verdict"),), (("OVER LIMIT",), ("ok",)))
    assert laid(table, ROOM_PT)[0].rows == ((Cell("OVER LIMIT", 2),), (Cell("ok", 0),))


def test_lines_are_counted_on_the_high_side() -> None:
    """Of a text of n letters of half its size each, a room of n / 2 holds no more than all."""
    table = Table("Notes", (Column("note", width=20),), (("word " * 400,), ("word",)))
    (run,) = laid(table, 400.0)
    letters_a_line = run.widths_pt[0] / run.size_pt / 0.5
    assert run.lines >= 2000 / letters_a_line + 1
