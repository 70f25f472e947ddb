"""Files that are watched: what a change is, whatever the clock and the editor do."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from hoggin.commands.viewing import read_plant
from hoggin.view.follow import Mark, mark, marks, same_text


def test_a_change_shows_even_when_time_and_size_do_not(tmp_path: Path) -> None:
    """Two saves within one tick of the file system's clock."""
    file = tmp_path / "a.hog"
    file.write_text("css 40 mm")
    before = mark(file)
    stat = file.stat()
    file.write_text("css 41 mm")
    os.utime(file, ns=(stat.st_atime_ns, stat.st_mtime_ns))
    assert not same_text(marks({file: before}), {file: before})


def test_an_old_file_is_not_read_again(tmp_path: Path) -> None:
    file = tmp_path / "a.hog"
    file.write_text("css 40 mm")
    os.utime(file, (1e9, 1e9))
    stat = file.stat()
    told = Mark(stat.st_mtime_ns, stat.st_size, stat.st_ino, "its digest as known")
    assert mark(file, told) is told


def test_a_new_time_alone_is_no_new_text(tmp_path: Path) -> None:
    file = tmp_path / "a.hog"
    file.write_text("css 40 mm")
    before = {file: mark(file)}
    os.utime(file, (1e9, 1e9))
    assert marks(before) != before
    assert same_text(marks(before), before)


def test_a_file_put_in_the_place_of_the_old_one_is_a_change(tmp_path: Path) -> None:
    file, new = tmp_path / "a.hog", tmp_path / "a.hog~"
    file.write_text("css 40 mm")
    new.write_text("css 41 mm")
    for path in (file, new):
        os.utime(path, (1e9, 1e9))
    before = {file: mark(file)}
    new.replace(file)
    assert not same_text(marks(before), before)


def test_a_file_that_is_not_there_has_a_mark_too(tmp_path: Path) -> None:
    file = tmp_path / "a.hog"
    before = {file: mark(file)}
    assert before[file] == Mark()
    file.write_text("")
    assert not same_text(marks(before), before)


def test_own_libraries_are_followed_and_those_not_there_yet(plant: Path) -> None:
    (plant.parent / "ours.hog").write_text("let a = 1 mm\n")
    plant.write_text('use "ours.hog" as ours\nuse "later.hog" as later\n' + plant.read_text())
    reading, asked = read_plant(plant)
    assert reading.results is None
    assert {path.name for path in asked} == {"quarry.hog", "ours.hog", "later.hog"}
    assert asked[plant.parent / "later.hog"] == Mark()


@pytest.mark.slow
def test_a_link_is_followed_to_where_it_leads_and_to_where_it_stands(
    plant: Path, tmp_path: Path
) -> None:
    link = tmp_path / "link.hog"
    link.symlink_to(plant)
    _, asked = read_plant(link)
    assert {path.name for path in asked} == {"link.hog", "quarry.hog"}
