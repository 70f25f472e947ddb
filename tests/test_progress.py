"""The line that a terminal has while a command works."""

from __future__ import annotations

import io
from threading import Event

import pytest

from hoggin.progress import CLEAR, Working


class _Watched(io.StringIO):
    """A stream that reports when a text has been written to it."""

    def __init__(self, awaited: str) -> None:
        super().__init__()
        self.awaited, self.there = awaited, Event()

    def write(self, text: str) -> int:
        count = super().write(text)
        if self.awaited in self.getvalue():
            self.there.set()
        return count


def test_a_terminal_is_told_what_is_done_and_for_how_long_and_keeps_nothing_of_it() -> None:
    stream, clock = _Watched("drawing, 7 s"), iter([0.0, *[7.0] * 100_000])
    with Working(
        "balancing", stream, terminal=True, every_s=0.01, clock=lambda: next(clock)
    ) as one:
        one.now("drawing")
        assert stream.there.wait(30)
    assert stream.getvalue().endswith(CLEAR)


def test_what_is_done_within_a_second_needs_no_line() -> None:
    stream = io.StringIO()
    with Working("balancing", stream, terminal=True, every_s=3600):
        pass
    assert stream.getvalue() == ""


def test_nothing_is_written_where_no_one_watches() -> None:
    stream = io.StringIO()
    with Working("balancing", stream, terminal=False, every_s=0.0) as one:
        one.now("drawing")
    assert stream.getvalue() == ""


def test_the_line_is_wiped_when_the_work_fails() -> None:
    stream = _Watched("balancing")
    with pytest.raises(ValueError), Working("balancing", stream, terminal=True, every_s=0.01):
        assert stream.there.wait(30)
        raise ValueError
    assert stream.getvalue().endswith(CLEAR)


def test_things_done_one_after_another_are_counted() -> None:
    stream, clock = _Watched("balancing plant 2 of 3, 7 s"), iter([0.0, *[7.0] * 100_000])
    with Working("reading", stream, terminal=True, every_s=0.01, clock=lambda: next(clock)) as one:
        for thing in one.each("balancing plant", ["a", "b", "c"]):
            assert thing != "b" or stream.there.wait(30)
    assert stream.getvalue().endswith(CLEAR)
