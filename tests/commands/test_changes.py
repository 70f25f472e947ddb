"""The change log of a plant as a user meets it; real git keeps the plant."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from hoggin.commands.main import main
from tests.commands.test_git_compare import PATH, library, plant
from tests.commands.test_main import STUCK
from tests.repository import Repository


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    root = tmp_path / "site"
    root.mkdir()
    made = Repository(root)
    monkeypatch.chdir(root)
    for number in range(1, 9):  # the dates of commits to come
        monkeypatch.setenv("GIT_COMMITTER_DATE", f"2026-03-0{number}T12:00:00+01:00")
    made.commit({PATH: plant(100), "plants/lib.hog": library(30)})
    return made


def log(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    capsys.readouterr()
    assert main(["changes", *arguments]) == 0
    return capsys.readouterr().out


def entries(shown: str) -> list[str]:
    return [f"## {part}" for part in shown.split("\n## ")[1:]]


@pytest.mark.slow
def test_each_revision_of_the_plant_or_its_libraries_is_an_entry(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.commit({"note.txt": "no part of the plant"})
    second = repository.commit({PATH: plant(120)})
    repository.commit({"plants/other.hog": "let a = 1 mm\n"})
    third = repository.commit({"plants/lib.hog": library(20)})
    newest, middle, oldest = entries(log(capsys, PATH))
    assert newest.startswith(f"## {third[:10]}, 2026-03-08\n")
    assert "share a" in newest and "120 t/h" not in newest
    assert middle.startswith(f"## {second[:10]}")
    assert "100 t/h" in middle and "120 t/h" in middle and "share a" not in middle
    assert "First revision" in oldest
    assert "| product a" in newest or "product a" in newest


@pytest.mark.slow
def test_tags_alone_and_what_is_not_tagged_yet(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.git("tag", "A")
    repository.commit({PATH: plant(110)})
    repository.commit({PATH: plant(120)})
    repository.git("tag", "-a", "B", "--message=issued")
    tip = repository.commit({PATH: plant(130)})
    newest, second, first = entries(log(capsys, PATH, "--tags"))
    assert newest.startswith(f"## {tip[:10]}") and "130 t/h" in newest
    assert second.startswith("## B, ") and "100 t/h" in second and "110 t/h" not in second
    assert first.startswith("## A, ")
    assert f"Compared with B:{PATH}." in newest


@pytest.mark.slow
def test_since_compares_with_that_revision(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    second = repository.commit({PATH: plant(110)})
    third = repository.commit({PATH: plant(120)})
    repository.commit({"note.txt": "later"})
    (only,) = entries(log(capsys, PATH, "--since", second))
    assert only.startswith(f"## {third[:10]}")
    assert "110 t/h" in only and "120 t/h" in only
    assert entries(log(capsys, PATH, "--since", "HEAD")) == []


def test_a_revision_that_can_not_be_read_does_not_stop_the_rest(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.commit({PATH: plant(110).replace("rock rock;", "rock sand;")})
    repository.commit({PATH: plant(120)})
    newest, broken, _ = entries(log(capsys, PATH))
    assert "### Not read" in broken and "E0201" in broken and PATH in broken
    assert "100 t/h" in newest and "120 t/h" in newest


def test_a_revision_that_can_not_be_balanced_says_so(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.commit({"stuck.hog": STUCK.replace("css 45 mm", "css 40 mm")})
    repository.commit({"stuck.hog": STUCK})
    (newest, _) = entries(log(capsys, "stuck.hog"))
    assert "can't be balanced: the loop of \\`s\\`, \\`c\\` can't settle" in newest
    assert "40 mm" in newest and "45 mm" in newest  # what was changed is told all the same


def test_a_plant_that_was_renamed_keeps_its_history(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.commit({PATH: plant(110)})
    repository.git("mv", PATH, "plants/renamed.hog")
    repository.commit({})
    repository.commit({"plants/renamed.hog": plant(120)})
    shown = entries(log(capsys, "plants/renamed.hog"))
    assert "120 t/h" in shown[0]
    assert "100 t/h" in shown[-2] and "110 t/h" in shown[-2]
    assert "First revision" in shown[-1]


def test_a_merge_is_one_revision_of_the_line_it_came_into(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.git("checkout", "--quiet", "-b", "side")
    repository.commit({PATH: plant(110)})
    repository.commit({PATH: plant(120)})
    repository.git("checkout", "--quiet", "main")
    repository.git("merge", "--quiet", "--no-ff", "--message=side comes in", "side")
    merge, _ = entries(log(capsys, PATH))
    assert "side comes in" in merge and "100 t/h" in merge and "120 t/h" in merge
    assert "110 t/h" not in merge


@pytest.mark.slow
def test_the_log_is_the_same_bytes_twice_and_is_data_as_well(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.commit({PATH: plant(120)})
    assert log(capsys, PATH) == log(capsys, PATH)
    data = json.loads(log(capsys, PATH, "--as", "json"))
    assert [entry["mark"]["date"] for entry in data["entries"]] == ["2026-03-08T12:00:00+01:00"] * 2
    assert data["entries"][0]["comparison"]["changes"]
    assert main(["changes", PATH, "--into", "out/changes.md"]) == 0
    assert Path("out/changes.md").read_text() == log(capsys, PATH)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["plants/none.hog"], "no commit up to HEAD holds `plants/none.hog`"),
        (["../out.hog"], "git"),
        ([":plants/split.hog"], "the index is not a revision yet"),
        ([PATH, "--since", "nowhere"], "git has no revision `nowhere`"),
    ],
)
def test_what_has_no_log_is_said_in_a_sentence(
    repository: Repository,  # noqa: ARG001
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    arguments: list[str],
    said: str,
) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    assert main(["changes", *arguments]) == 2
    assert said in capsys.readouterr().err


@pytest.mark.slow
def test_the_package_takes_the_changes_since_a_revision(
    repository: Repository, tmp_path: Path
) -> None:
    repository.git("tag", "A")
    repository.commit({PATH: plant(120)})
    into = tmp_path / "package"
    assert main(["report", PATH, "--since", "A", "--into", str(into)]) == 0
    report = (into / "report.html").read_text(encoding="utf-8")
    assert "Compared with A:" in report and "120 t/h" in report
    assert "Flowsheet: what was changed" in report and "Changes since A" in report
    assert main(["report", PATH, "--since", "nowhere", "--into", str(into)]) == 2


@pytest.mark.slow
def test_the_documents_have_a_drawing_of_the_changes_since_a_revision(
    repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    repository.git("tag", "A")
    repository.commit({PATH: plant(120)})
    into = tmp_path / "out"
    assert main(["issue", PATH, "--since", "A", "--into", str(into)]) == 0
    drawn = (into / "changes.svg").read_text(encoding="utf-8")
    assert "Changes since A" in drawn and "-&gt; 120 t/h" in drawn
    for ending in ("pdf", "png", "dxf"):
        assert (into / f"changes.{ending}").exists()
    assert main(["issue", PATH, "--into", str(tmp_path / "plain")]) == 0
    assert not (tmp_path / "plain" / "changes.svg").exists()
    capsys.readouterr()
    assert main(["issue", PATH, "--since", "nowhere", "--into", str(tmp_path / "none")]) == 2
    assert "git has no revision `nowhere`" in capsys.readouterr().err
    assert not (tmp_path / "none").exists()
