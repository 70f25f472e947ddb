"""Files are had from the project root and the compiler's library, and from nowhere else."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check.checker import check_file
from hoggin.world import World, library_names
from tests.check.reading import MATERIAL, codes, small_plant

_USING = 'use "../lib/ours.hog" as ours\nlet b = ours.a\n'


def _codes(file: Path) -> list[str]:
    return [found.code for found in check_file(file).diagnostics]


def _write(file: Path, text: str) -> Path:
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")
    return file


def test_the_root_is_the_nearest_folder_with_a_repository(tmp_path: Path) -> None:
    (tmp_path / ".git").mkdir()
    _write(tmp_path / "lib" / "ours.hog", "let a = 1 mm\n")
    main = _write(tmp_path / "plants" / "hill.hog", _USING)
    assert World(main).root == tmp_path
    assert _codes(main) == []


def test_without_a_repository_the_plants_own_folder_is_the_root(tmp_path: Path) -> None:
    _write(tmp_path / "lib" / "ours.hog", "let a = 1 mm\n")
    main = _write(tmp_path / "plants" / "hill.hog", _USING)
    assert _codes(main) == ["E0205"]


def test_a_link_that_leaves_the_root_is_followed_first_and_refused(tmp_path: Path) -> None:
    outside = _write(tmp_path / "outside.hog", "let a = 1 mm\n")
    main = _write(
        tmp_path / "project" / "main.hog",
        'use "file.hog" as one\nuse "folder/outside.hog" as two\nlet b = one.a + two.a\n',
    )
    (main.parent / "file.hog").symlink_to(outside)
    (main.parent / "folder").symlink_to(tmp_path, target_is_directory=True)
    assert _codes(main) == ["E0205", "E0205"]


def test_a_link_within_the_root_is_as_good_as_its_file(tmp_path: Path) -> None:
    _write(tmp_path / "ours.hog", "let a = 1 mm\n")
    (tmp_path / "linked.hog").symlink_to(tmp_path / "ours.hog")
    main = _write(tmp_path / "main.hog", 'use "linked.hog" as ours\nlet b = ours.a\n')
    assert _codes(main) == []


def test_a_link_to_itself_is_refused(tmp_path: Path) -> None:
    (tmp_path / "ring.hog").symlink_to(tmp_path / "ring.hog")
    main = _write(tmp_path / "main.hog", 'use "ring.hog" as ring\nlet b = ring.a\n')
    assert _codes(main) == ["E0203"]


@pytest.mark.parametrize(
    "written", ["/etc/passwd", "../../../../etc/passwd.hog", "a\0b.hog", "..", "", ".hog", "lib/"]
)
def test_odd_paths_are_refused(written: str, tmp_path: Path) -> None:
    main = _write(tmp_path / "main.hog", f'use "{written}" as odd\nlet b = odd.a\n')
    assert set(_codes(main)) <= {"E0203", "E0205", "E0102", "E0109"}
    assert _codes(main)


def test_two_files_may_use_a_third(tmp_path: Path) -> None:
    _write(tmp_path / "base.hog", "let a = 1 mm\n")
    _write(tmp_path / "one.hog", 'use "base.hog" as base\nlet b = base.a\n')
    _write(tmp_path / "two.hog", 'use "base.hog" as base\nlet b = 2 * base.a\n')
    main = _write(
        tmp_path / "main.hog", 'use "one.hog" as one\nuse "two.hog" as two\nlet c = one.b + two.b\n'
    )
    assert _codes(main) == []


def test_faults_in_a_used_file_are_told_with_its_name(tmp_path: Path) -> None:
    _write(tmp_path / "lib" / "ours.hog", "let a = 5 mn\n")
    main = _write(tmp_path / "main.hog", 'use "lib/ours.hog" as ours\nlet b = ours.a\n')
    (found,) = check_file(main).diagnostics
    assert (found.code, found.span.source.name, found.span.line) == ("E0301", "lib/ours.hog", 1)


def test_every_library_is_clean_and_has_its_name() -> None:
    names = list(library_names())
    assert "std.cones" in names
    assert "std.gradings.astm" in names
    assert names == sorted(names)


def test_a_rock_of_a_library_is_named_with_a_dot(tmp_path: Path) -> None:
    (tmp_path / "rocks.hog").write_text(MATERIAL)
    plant = tmp_path / "plant.hog"
    text = small_plant("rock -> product all", 'use "rocks.hog" as rocks')
    plant.write_text(text.replace(MATERIAL, "").replace("rock granite", "rock rocks.granite"))
    checked = check_file(plant)
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    assert checked.plant.materials["granite"].work_index_kwh_t == 15.0


def test_what_is_declared_has_no_dot_in_its_name() -> None:
    assert "E0101" in codes(small_plant("rock -> product all") + MATERIAL.replace("granite", "a.b"))
