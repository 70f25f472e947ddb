"""Plants read from git revisions. Real git makes the repositories, and says what is in them."""

from __future__ import annotations

from pathlib import Path, PurePosixPath
from subprocess import CalledProcessError

import pytest

from hoggin.check.checker import check
from hoggin.commands.designs import in_revision, world_of
from hoggin.revisions import RevisionWorld, find_commit, find_index
from hoggin.world import UnreadableError, World
from tests.repository import Repository

LIBRARY = """\
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
let opening = 20 mm
"""
PLANT = """\
use std.screens
use std.sieves
use "../lib/ours.hog" as ours
plant "Hill" {
  sieves sieves.quarry
  feed rock {
    rock ours.granite
    rate 200 t/h
    passing { 63 mm: 100 %, 20 mm: 50 %, 4 mm: 10 % }
  }
  screen sizing: screens.inclined(width: 1.8 m, length: 4.8 m) { deck top ours.opening square }
  rock -> sizing
  sizing.top.over -> product coarse
  sizing.under    -> product fine
}
"""


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    (tmp_path / "site").mkdir()
    made = Repository(tmp_path / "site")
    made.commit({"lib/ours.hog": LIBRARY, "plants/hill.hog": PLANT})
    return made


def aperture(world: World) -> float:
    checked = check(world, world.open_main())
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    return checked.plant.machines[0].decks[0].aperture_mm


def test_imports_are_taken_from_the_same_revision(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.commit({"lib/ours.hog": LIBRARY.replace("20 mm", "25 mm")})
    (repository.root / "lib/ours.hog").write_text(LIBRARY.replace("20 mm", "31.5 mm"))
    monkeypatch.chdir(repository.root)
    assert aperture(world_of("HEAD~1:plants/hill.hog")) == 20.0
    assert aperture(world_of("HEAD:plants/hill.hog")) == 25.0
    assert aperture(world_of("plants/hill.hog")) == 31.5


def test_the_work_tree_and_index_are_not_touched(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(repository.root)
    (repository.root / "plants/hill.hog").unlink()
    (repository.root / "note.txt").write_text("mine")
    before = repository.git("status", "--porcelain")
    assert aperture(world_of("main:plants/hill.hog")) == 20.0
    assert repository.git("status", "--porcelain") == before


def test_a_path_is_seen_from_the_current_folder(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(repository.root / "lib")
    found = in_revision("HEAD:../plants/hill.hog")
    assert found is not None
    assert found[1] == PurePosixPath("plants/hill.hog")
    with pytest.raises(UnreadableError, match="outside"):
        in_revision("HEAD:../../other.hog")


def test_a_file_whose_name_holds_a_colon_is_a_file(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(repository.root)
    Path("a:b.hog").write_text(PLANT)
    assert in_revision("a:b.hog") is None


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("nowhere:plants/hill.hog", "no revision `nowhere`"),
        ("--help:plants/hill.hog", "no revision `--help`"),
        ("HEAD:plants/dale.hog", "no such file in HEAD"),
        ("HEAD:plants", "it is not a file"),
        ("HEAD:out.hog", "leads out of the repository"),
        ("HEAD:ring.hog", "no such file"),
    ],
)
def test_what_cannot_be_had_is_said_in_a_sentence(
    repository: Repository, monkeypatch: pytest.MonkeyPatch, name: str, said: str
) -> None:
    (repository.root / "out.hog").symlink_to("/etc/hosts")
    (repository.root / "ring.hog").symlink_to("ring.hog")
    repository.commit({})
    monkeypatch.chdir(repository.root)
    with pytest.raises(UnreadableError, match=said):
        world_of(name).open_main()


def test_links_within_the_revision_are_followed(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    (repository.root / "plants/linked.hog").symlink_to("hill.hog")
    repository.commit({})
    monkeypatch.chdir(repository.root)
    assert aperture(world_of("HEAD:plants/linked.hog")) == 20.0


def test_outside_any_repository_git_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    with pytest.raises(UnreadableError, match="git reports: not a git repository"):
        world_of("HEAD:plants/hill.hog")


def test_names_with_spaces_and_letters_of_other_scripts_are_found(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    repository.commit({"plants/Høj Åsen 2.hog": PLANT})
    monkeypatch.chdir(repository.root)
    assert aperture(world_of("HEAD:plants/Høj Åsen 2.hog")) == 20.0


def test_a_folder_of_a_revision_lists_as_git_does(repository: Repository) -> None:
    repository.commit({"plants/north/dale.hog": PLANT, "plants/note.md": "no plant"})
    revision = find_commit("HEAD", repository.root)
    listed = repository.git("ls-tree", "-r", "--name-only", "HEAD", "plants").split("\n")
    expected = [PurePosixPath(line) for line in listed if line.endswith(".hog")]
    assert revision.plants(PurePosixPath("plants")) == sorted(expected)
    assert revision.is_folder(PurePosixPath("plants/north"))
    assert revision.is_folder(PurePosixPath("."))
    assert not revision.is_folder(PurePosixPath("plants/hill.hog"))
    assert RevisionWorld(revision, PurePosixPath("plants/hill.hog")).root == repository.root


# -- the index, and the sides of a merge ---------------------------------------------------------


def _library(opening: str) -> str:
    return LIBRARY.replace("20 mm", opening)


def test_the_index_is_read_with_its_own_libraries(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(repository.root)
    (repository.root / "lib/ours.hog").write_text(_library("25 mm"))
    repository.git("add", "lib/ours.hog")
    (repository.root / "lib/ours.hog").write_text(_library("31.5 mm"))
    assert aperture(world_of("HEAD:plants/hill.hog")) == 20.0
    assert aperture(world_of(":plants/hill.hog")) == 25.0
    assert aperture(world_of(":0:plants/hill.hog")) == 25.0
    assert aperture(world_of("plants/hill.hog")) == 31.5


def _merge(repository: Repository, ours: dict[str, str], theirs: dict[str, str]) -> None:
    """A merge that stops at what both changed."""
    repository.git("checkout", "--quiet", "-b", "theirs")
    repository.commit(theirs)
    repository.git("checkout", "--quiet", "main")
    repository.commit(ours)
    with pytest.raises(CalledProcessError):
        repository.git("merge", "theirs")


@pytest.mark.slow
def test_each_side_of_a_merge_is_read_with_the_libraries_of_that_side(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    _merge(
        repository,
        {"lib/ours.hog": _library("25 mm"), "plants/hill.hog": PLANT.replace("200", "210")},
        {"lib/ours.hog": _library("31.5 mm"), "plants/hill.hog": PLANT.replace("200", "220")},
    )
    monkeypatch.chdir(repository.root / "plants")
    assert aperture(world_of(":1:hill.hog")) == 20.0
    assert aperture(world_of(":2:hill.hog")) == 25.0
    assert aperture(world_of(":3:hill.hog")) == 31.5
    for stage, rate in ((1, "200"), (2, "210"), (3, "220")):
        text = world_of(f":{stage}:hill.hog").open_main().text
        assert text == repository.git("show", f":{stage}:plants/hill.hog") + "\n"
        assert f"rate {rate} t/h" in text
    with pytest.raises(UnreadableError, match="not merged yet: name a side, `:2:plants"):
        world_of(":hill.hog").open_main()


def test_a_library_that_is_merged_already_stands_for_every_side(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    _merge(
        repository,
        {"lib/ours.hog": _library("25 mm"), "plants/hill.hog": PLANT.replace("200", "210")},
        {"plants/hill.hog": PLANT.replace("200", "220")},
    )
    monkeypatch.chdir(repository.root)
    assert aperture(world_of(":3:plants/hill.hog")) == 25.0


def test_a_folder_of_the_index_lists_what_is_staged(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(repository.root)
    (repository.root / "plants/dale.hog").write_text(PLANT)
    found = in_revision(":plants")
    assert found is not None
    index, folder = found
    assert index.is_folder(folder)
    assert index.plants(folder) == [PurePosixPath("plants/hill.hog")]
    repository.git("add", "plants")
    staged = find_index(0, repository.root)
    assert staged.plants(PurePosixPath(".")) == [
        PurePosixPath(path) for path in repository.git("ls-files", "*.hog").split("\n")
    ]
    assert not staged.is_folder(PurePosixPath("plants/hill.hog"))


@pytest.mark.slow
def test_links_within_the_index_are_followed(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    (repository.root / "plants/linked.hog").symlink_to("hill.hog")
    (repository.root / "again").symlink_to("plants")
    (repository.root / "out.hog").symlink_to("/etc/hosts")
    (repository.root / "ring.hog").symlink_to("ring.hog")
    repository.git("add", "--all")
    monkeypatch.chdir(repository.root)
    assert aperture(world_of(":plants/linked.hog")) == 20.0
    assert aperture(world_of(":again/linked.hog")) == 20.0
    with pytest.raises(UnreadableError, match="leads out of the repository"):
        world_of(":out.hog").open_main()
    with pytest.raises(UnreadableError, match="no such file in the index"):
        world_of(":ring.hog").open_main()
    with pytest.raises(UnreadableError, match="it is not a file"):
        world_of(":plants").open_main()
