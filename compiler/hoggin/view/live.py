"""The plant's current state: read again whenever one of its files is saved."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from hoggin.view.follow import Marks, Watch
from hoggin.view.reading import Reading

EVERY_S = 0.2  # between two looks at the files

Read = Callable[[], tuple[Reading, Marks]]
"""Reads the plant: the reading, and the state of every file that it asked for."""


@dataclass(frozen=True, slots=True)
class State:
    """`number` counts the readings. `good` is the last one with results, `good_number` its number;
    they are older than `last` while the text has errors. `before` is the good one before it, of a
    text that was saved."""

    number: int
    last: Reading
    good_number: int
    good: Reading | None
    before: Reading | None = None

    @property
    def stale(self) -> bool:
        return self.good is not None and self.good_number != self.number

    def followed_by(self, reading: Reading) -> State:
        number = self.number + 1
        if reading.results is None:
            return State(number, reading, self.good_number, self.good, self.before)
        saved = self.good is None or self.good.saved
        return State(number, reading, number, reading, self.good if saved else self.before)


class Live:
    """Nature the state and watches the files; thread-safe.

    told: called with the number of each new reading.
    """

    def __init__(self, read: Read, told: Callable[[int], None] = lambda _: None) -> None:
        self._read = read
        self._told = told
        self._asked = threading.Event()
        self._changed = threading.Condition()
        self._stopped = threading.Event()
        self._state = State(0, Reading(None), 0, None)
        self._seen: Marks = {}
        self._take()

    @property
    def state(self) -> State:
        return self._state

    @property
    def stopped(self) -> bool:
        return self._stopped.is_set()

    def wait(self, number: int, seconds: float) -> State:
        """The state, at once if it is no longer the one of that number, else when it changes or the
        time is over."""
        with self._changed:
            self._changed.wait_for(lambda: self._state.number != number or self.stopped, seconds)
            return self._state

    def follow(self) -> None:
        """Look at the files until `stop`. What goes wrong meanwhile, such as a disk that does not
        answer, is shown in place of verdicts, and the plant is read again until it goes well."""
        watch, failing = Watch(self._seen), False
        while not self.stopped:
            asked = self._asked.wait(EVERY_S)
            if asked:  # what is asked just after the wait stays for the next
                self._asked.clear()
            if self.stopped:
                return
            try:
                if asked or failing or watch.changed():
                    self._take()
                    watch, failing = Watch(self._seen), False
            except Exception as fault:  # of any kind: a thread that ends would leave old verdicts
                if not failing:
                    self._show(_unfollowed(fault))
                failing = True

    def read_soon(self) -> None:
        """The text is another, though no file is."""
        self._asked.set()

    def reads(self, path: Path) -> bool:
        """Whether the last reading asked for this file."""
        return path in self._seen

    def stop(self) -> None:
        self._stopped.set()
        self._asked.set()
        with self._changed:
            self._changed.notify_all()

    def _take(self) -> None:
        reading, self._seen = self._read()
        self._show(reading)

    def _show(self, reading: Reading) -> None:
        with self._changed:
            self._state = self._state.followed_by(reading)
            self._changed.notify_all()
        self._told(self._state.number)


def _unfollowed(fault: Exception) -> Reading:
    why = ((fault.strerror if isinstance(fault, OSError) else "") or str(fault)).lower()
    said = f"The system reports: {why}. What is shown may be older than the files.\n"
    said += "They are read again several times a second until it goes well.\n"
    return Reading(None, said, f"The files can't be followed: {why}")
