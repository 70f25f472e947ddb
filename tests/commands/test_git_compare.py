"""Hoggin as git's diff driver: it never balances with libraries of another commit in silence. Real
git runs it."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from hoggin.commands.main import main
from tests.repository import Driven
from tests.revise.compare.test_consequences import SPLIT

pytestmark = pytest.mark.slow

USING = 'use "lib.hog" as lib\n' + SPLIT.replace("a 30 %", "a lib.share")
PATH = "plants/split.hog"


def library(share: int) -> str:
    return f"let share = {share} %\n"


def plant(rate: int) -> str:
    return USING.replace("rate 100", f"rate {rate}")


class Comparing(Driven):
    """A repository with the diff driver set up."""

    def __init__(self, root: Path) -> None:
        super().__init__(root, "diff")
        self.git("config", "diff.hoggin.command", "hoggin git-compare")

    def shown(self, *arguments: str, within: str = ".") -> str:
        done = self.driven("--no-pager", *arguments, within=within)
        assert done.returncode == 0 and "Traceback" not in done.stderr
        return done.stdout


@pytest.fixture
def repository(tmp_path: Path) -> Comparing:
    (tmp_path / "site").mkdir()
    return Comparing(tmp_path / "site")


def test_the_commit_that_libraries_are_taken_from_is_named(repository: Comparing) -> None:
    first = repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    second = repository.commit({PATH: plant(120), "plants/lib.hog": library(20)})
    shown = repository.shown("diff", first, second, "--", PATH)
    assert f"libraries: before those of {first[:10]}; after those of {second[:10]}" in shown
    assert "100 t/h" in shown and "120 t/h" in shown
    assert "share" in shown  # 30 % before, 20 % after: each with its own library


def test_a_library_changed_without_the_plant_is_never_guessed(repository: Comparing) -> None:
    """The fault as it was reported: the library changes in a commit that leaves the plant alone,
    and git's driver took its share for that of the commit shown."""
    repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    second = repository.commit({PATH: plant(120)})
    third = repository.commit({"plants/lib.hog": library(20)})
    fourth = repository.commit({PATH: plant(140)})
    shown = repository.shown("log", "-1", "-p", "--ext-diff", "--", PATH)
    assert "PRODUCTS" not in shown
    assert "git does not say which" in shown
    assert f"before those of {third[:10]}, or of {second[:10]}" in shown
    assert f"after those of {fourth[:10]}" in shown
    assert "-plant: feed f: rate 120 t/h" in shown and "+plant: feed f: rate 140 t/h" in shown
    command = f"hoggin compare {third[:10]}:{PATH} {fourth[:10]}:{PATH}"
    assert f"to see the effect on results: {command}\n" in shown
    told = subprocess.run(
        [repository.shim, *command.split()[1:]],
        cwd=repository.root,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "120 t/h" in told and "140 t/h" in told and "share a" not in told


def test_many_commits_with_the_same_libraries_leave_nothing_open(repository: Comparing) -> None:
    first = repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    repository.commit({"note.txt": "one"})
    repository.commit({"plants/other.hog": SPLIT})
    last = repository.commit({PATH: plant(120)})
    shown = repository.shown("diff", first, last, "--", PATH)
    assert "(the same in 2 other states)" in shown
    assert "git does not say" not in shown
    assert "PRODUCTS" in shown


def test_a_library_of_a_library_counts_as_well(repository: Comparing) -> None:
    using = 'use "base.hog" as base\nlet share = base.share\n'
    first = repository.commit(
        {PATH: plant(100), "plants/lib.hog": using, "plants/base.hog": library(30)}
    )
    repository.commit({"plants/base.hog": library(20)})
    last = repository.commit({PATH: plant(120)})
    assert "git does not say which" in repository.shown("diff", first, last, "--", PATH)


def test_commits_that_only_the_reflog_knows_count_as_well(repository: Comparing) -> None:
    repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    gone = repository.commit({PATH: plant(120), "plants/lib.hog": library(25)})
    repository.git("reset", "--quiet", "--hard", "HEAD~1")
    last = repository.commit({PATH: plant(140)})
    shown = repository.shown("diff", gone, last, "--", PATH)
    assert f"before those of {gone[:10]};" in shown


def test_the_work_tree_is_taken_for_what_git_hands_out_of_it(repository: Comparing) -> None:
    repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    (repository.root / PATH).write_text(plant(120))
    shown = repository.shown("diff")
    assert "after those of the working tree" in shown
    assert "PRODUCTS" in shown


def test_the_index_is_not_taken_for_the_work_tree_that_git_borrows_its_file_from(
    repository: Comparing,
) -> None:
    """Git hands out the work tree's file for the index's where both are the same."""
    repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    (repository.root / PATH).write_text(plant(120))
    repository.git("add", "--all")
    (repository.root / "plants/lib.hog").write_text(library(5))
    shown = repository.shown("diff", "--cached", "--", PATH)
    assert "after those of the working tree, or of the index" in shown
    assert "git does not say which" in shown


def test_what_is_staged_has_the_libraries_that_are_staged(repository: Comparing) -> None:
    repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    (repository.root / PATH).write_text(plant(120))
    (repository.root / "plants/lib.hog").write_text(library(20))
    repository.git("add", "--all")
    (repository.root / PATH).write_text(plant(130))
    (repository.root / "plants/lib.hog").write_text(library(10))
    shown = repository.shown("diff", "--cached", "--", PATH)
    assert "after those of the index" in shown
    assert "100 t/h  120 t/h" in shown


def test_content_that_no_commit_holds_is_compared_by_what_it_states(repository: Comparing) -> None:
    first = repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    loose = repository.root.parent / "loose.hog"
    loose.write_text(plant(120))
    digest = repository.git("hash-object", "-w", str(loose))
    shown = repository.shown("diff", f"{first}:{PATH}", digest)
    assert "unknown: no commit holds this content" in shown
    assert "+plant: feed f: rate 120 t/h" in shown


@pytest.mark.parametrize("name", ["-plant.hog", "--help", "a plant's.hog", "Høj.hog"])
def test_any_file_name_works(repository: Comparing, name: str) -> None:
    (repository.root / ".gitattributes").write_text("* diff=hoggin\n")
    first = repository.commit({name: SPLIT})
    second = repository.commit({name: SPLIT.replace("rate 100", "rate 120")})
    shown = repository.shown("diff", first, second, "--", f"./{name}")
    assert "100 t/h  120 t/h" in shown


def test_paths_told_from_a_folder_are_found(repository: Comparing) -> None:
    first = repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    second = repository.commit({PATH: plant(120)})
    shown = repository.shown("diff", "--relative", first, second, within="plants")
    assert "PRODUCTS" in shown


def test_the_index_is_compared_and_asked_why_by_its_name(
    repository: Comparing, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    (repository.root / "plants/lib.hog").write_text(library(20))
    repository.git("add", "--all")
    (repository.root / "plants/lib.hog").write_text(library(10))
    monkeypatch.chdir(repository.root / "plants")
    assert main(["compare", "HEAD:split.hog", ":split.hog"]) == 0
    shown = capsys.readouterr().out
    assert "30 %" in shown and "20 %" in shown and "10 %" not in shown
    assert main(["why", "HEAD:split.hog", ":split.hog", "a.rate"]) == 0
    assert "share" in capsys.readouterr().out
    assert main(["compare", ":2:split.hog", ":3:split.hog"]) == 0  # merged: the same on every side
