"""The cache folder: damaged files, files that are none, a full disk. None of them is an error."""

from __future__ import annotations

import errno
import os
import random
import time
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest

from hoggin.caches import cache_folder, keep, kept, tidied
from hoggin.commands.main import main
from hoggin.syntax.tables import tables
from tests.altered.changes import altered_bytes

PLANT = """
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
plant "Two halves" {
  sieves { 63 mm, 4 mm }
  feed rock { rock granite; rate 200 t/h; passing { 200 mm: 100 %, 5 mm: 10 % } }
  splitter half { out a 40 %; out b rest }
  rock -> half; half.a -> product left; half.b -> product right
}
"""


@pytest.fixture
def grammar(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The file of the grammar's tables, in a cache of its own, and a plant to be checked."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.chdir(tmp_path)
    tables.cache_clear()
    yield tmp_path / "cache" / "hoggin" / "grammar"
    tables.cache_clear()


_TEXTS = count()


def _check() -> int:
    """A check as a new process runs it: another text, as a known one is not read again."""
    Path("plant.hog").write_text(f"{PLANT}# {next(_TEXTS)}\n")
    tables.cache_clear()
    return main(["check", "plant.hog"])


@pytest.mark.slow
def test_tables_that_were_altered_are_made_anew(grammar: Path) -> None:
    """A wrong number among the tables would read another language, or none."""
    assert _check() == 0
    whole = grammar.read_bytes()
    random_ = random.Random(17)
    for _ in range(12):
        grammar.write_bytes(altered_bytes(whole, random_))
        assert _check() == 0
        assert kept(grammar) is not None


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_in_place_of_the_tables_is_not_waited_for(grammar: Path) -> None:
    assert _check() == 0
    grammar.unlink()
    os.mkfifo(grammar)
    assert _check() == 0
    assert grammar.is_file()


def test_a_full_disk_leaves_no_draft(grammar: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Path, _to: Path) -> Path:
        raise OSError(errno.ENOSPC, "No space left on device", str(self))

    monkeypatch.setattr(Path, "replace", full)
    assert _check() == 0
    assert list(grammar.parent.iterdir()) == []


def test_a_draft_of_a_command_that_was_killed_is_removed_by_a_later_one(grammar: Path) -> None:
    grammar.parent.mkdir(parents=True)
    for name, age in ((".draft-killed", 7200.0), (".draft-in-use", 1.0)):
        (grammar.parent / name).write_bytes(b"x")
        os.utime(grammar.parent / name, (time.time() - age,) * 2)
    assert _check() == 0
    assert {path.name for path in grammar.parent.iterdir()} == {"grammar", ".draft-in-use"}


def test_what_was_kept_is_read_back_and_nothing_else_is(tmp_path: Path) -> None:
    file = tmp_path / "entry"
    assert kept(file) is None
    for content in (b"", b"\n\n", bytes(range(256))):
        keep(file, content)
        assert kept(file) == content
    assert [Path(entry.path) for entry in tidied(tmp_path)] == [file]
    whole, random_ = file.read_bytes(), random.Random(3)
    for _ in range(300):
        file.write_bytes(altered_bytes(whole, random_))
        assert kept(file) is None


def test_a_file_in_the_place_of_the_folder_means_no_cache(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "hoggin").write_text("a file in the way")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert cache_folder() is None
