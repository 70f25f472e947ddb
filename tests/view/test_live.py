"""The state as files are saved: what is shown, and what is told of it."""

from __future__ import annotations

import errno
import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from hoggin.commands.viewing import read_plant
from hoggin.schema.results import Results
from hoggin.view.follow import Marks, mark
from hoggin.view.live import Live, State
from hoggin.view.reading import Reading
from hoggin.world import UnreadableError, World

pytestmark = pytest.mark.slow

PATIENCE_S = 20.0


@contextmanager
def following(live: Live) -> Iterator[Live]:
    thread = threading.Thread(target=live.follow)
    thread.start()
    try:
        yield live
    finally:
        live.stop()
        thread.join(timeout=PATIENCE_S)
        assert not thread.is_alive()


def until(live: Live, number: int) -> State:
    end = time.monotonic() + PATIENCE_S
    while live.state.number < number and time.monotonic() < end:
        live.wait(live.state.number, 0.5)
    assert live.state.number == number
    return live.state


def edited(file: Path, old: str, new: str) -> None:
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new))


def capacity(results: Results | None, tag: str) -> float:
    assert results is not None
    found = next(machine.capacity_t_h for machine in results.machines if machine.tag == tag)
    assert found is not None
    return found


def test_a_save_is_read_and_a_wider_setting_passes_more(plant: Path) -> None:
    """A wider closed side setting gives a crusher more capacity (common practice, no source)."""
    with following(Live(lambda: read_plant(plant))) as live:
        before = live.state.last.results
        edited(plant, "css     40 mm", "css     44 mm")
        after = until(live, 2)
        assert after.good_number == 2 and not after.stale
        assert capacity(after.last.results, "secondary") > capacity(before, "secondary")


def test_errors_keep_the_last_good_reading_and_a_mend_brings_the_new(plant: Path) -> None:
    with following(Live(lambda: read_plant(plant))) as live:
        good = live.state.good
        edited(plant, "css     40 mm", "css     400 mm")
        broken = until(live, 2)
        assert broken.stale and broken.good is good and broken.good_number == 1
        assert "error E0404" in broken.last.said and "400 mm" in broken.last.said
        edited(plant, "css     400 mm", "css     41 mm")
        mended = until(live, 3)
        assert not mended.stale and mended.good is mended.last


def test_a_library_of_ones_own_is_followed(plant: Path) -> None:
    library = plant.parent / "ours.hog"
    library.write_text("let setting = 40 mm\n")
    text = plant.read_text().replace("css     40 mm", "css     ours.setting")
    plant.write_text('use "ours.hog" as ours\n' + text)
    with following(Live(lambda: read_plant(plant))) as live:
        assert live.state.last.results is not None, live.state.last.said
        before = capacity(live.state.last.results, "secondary")
        library.write_text("let setting = 45 mm\n")
        after = until(live, 2)
        assert capacity(after.last.results, "secondary") > before


def test_a_file_replaced_as_editors_do_it_is_one_change(plant: Path) -> None:
    with following(Live(lambda: read_plant(plant))) as live:
        text = plant.read_text().replace("css     40 mm", "css     42 mm")
        plant.unlink()
        time.sleep(0.4)  # it is away for a while
        plant.write_text(text)
        until(live, 2)
        time.sleep(1.0)
        assert live.state.number == 2 and not live.state.stale


def test_a_file_that_stays_away_is_told(plant: Path) -> None:
    with following(Live(lambda: read_plant(plant))) as live:
        plant.unlink()
        gone = until(live, 2)
        assert gone.stale and "there is no such file" in gone.last.said


def test_a_save_of_the_same_text_is_no_new_reading(plant: Path) -> None:
    with following(Live(lambda: read_plant(plant))) as live:
        plant.write_text(plant.read_text())
        time.sleep(1.2)
        assert live.state.number == 1


def test_a_change_made_while_it_is_read_is_not_lost(tmp_path: Path) -> None:
    file = tmp_path / "a.hog"
    file.write_text("1")
    said: list[str] = []

    def read() -> tuple[Reading, Marks]:
        before = {file: mark(file)}
        said.append(file.read_text())
        if len(said) == 1:
            file.write_text("2")
        return Reading(None, said[-1]), before

    with following(Live(read)) as live:
        assert until(live, 2).last.said == "2"


def test_who_waits_is_woken_by_a_change_and_by_the_end(small: Results) -> None:
    live = Live(lambda: (Reading(small), {}))
    assert live.wait(0, 60).number == 1  # at once: it is another already
    woken: list[float] = []

    def waiter(ends: Callable[[], None]) -> None:
        start = time.monotonic()

        def wait() -> None:
            live.wait(1, 60)
            woken.append(time.monotonic() - start)

        thread = threading.Thread(target=wait)
        thread.start()
        time.sleep(0.1)
        ends()
        thread.join(timeout=PATIENCE_S)

    waiter(live.stop)
    assert woken and woken[0] < 10


def _failing(monkeypatch: pytest.MonkeyPatch, of: str, fault: OSError) -> None:
    """A file system that fails for every path that ends so."""
    real = os.stat

    def stat(path: str | Path, *rest: Any, **options: Any) -> os.stat_result:
        if str(path).endswith(of):
            raise fault
        return real(path, *rest, **options)

    monkeypatch.setattr(os, "stat", stat)


@pytest.mark.parametrize(
    ("of", "fault", "said"),
    [
        (".git", errno.EIO, "input/output error"),  # of the project's root
        (".git", errno.EACCES, "permission denied"),
        (".git", errno.ESTALE, "stale file handle"),  # as a network file system gives it
        ("quarry.hog", errno.EIO, "Input/output error"),
        ("quarry.hog", errno.EACCES, "Permission denied"),
    ],
)
def test_a_file_system_that_fails_is_told_and_what_follows_is_read(
    plant: Path, monkeypatch: pytest.MonkeyPatch, of: str, fault: int, said: str
) -> None:
    with following(Live(lambda: read_plant(plant))) as live:
        with monkeypatch.context() as broken:
            _failing(broken, of, OSError(fault, os.strerror(fault)))
            edited(plant, "css     40 mm", "css     41 mm")
            failed = until(live, 2)
            assert failed.stale and failed.good_number == 1
            assert failed.last.results is None and said in failed.last.said + failed.last.fault
            assert live.wait(2, 1.0).number == 2, "it is told once"
        mended = until(live, 3)
        assert mended.last.results is not None and not mended.stale


def test_a_file_that_could_not_be_read_for_a_moment_is_read_again(
    plant: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It looks the same before and after, so that no change of its text would tell."""
    real, refused = World._bytes, [plant]

    def failing(world: World, path: Path) -> bytes:
        if path in refused:
            refused.remove(path)
            raise UnreadableError("it can't be read: Input/output error")
        return real(world, path)

    monkeypatch.setattr(World, "_bytes", failing)
    live = Live(lambda: read_plant(plant))
    assert live.state.last.results is None and "Input/output error" in live.state.last.said
    with following(live):
        assert until(live, 2).last.results is not None


def test_an_error_of_any_kind_does_not_end_the_following(small: Results, tmp_path: Path) -> None:
    file, faults = tmp_path / "a.hog", [MemoryError("no room"), RuntimeError("odd")]
    file.write_text("1")

    def read() -> tuple[Reading, Marks]:
        if file.read_text() == "2" and faults:
            raise faults.pop()
        return Reading(small), {file: mark(file)}

    with following(Live(read)) as live:
        file.write_text("2")
        assert until(live, 2).last.fault == "The files can't be followed: odd"
        assert until(live, 3).last.results is small


def test_a_text_that_is_told_of_as_a_look_begins_is_read(plant: Path) -> None:
    """A page may tell of its text at any moment, and tells it once."""

    class Late(threading.Event):
        told = False

        def wait(self, timeout: float | None = None) -> bool:
            found = super().wait(timeout)
            if not found and not self.told:
                self.told = True
                self.set()  # just after the wait is over
            return found

    live = Live(lambda: read_plant(plant))
    live._asked = Late()
    with following(live):
        until(live, 2)
