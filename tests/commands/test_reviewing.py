"""`hoggin review`: what the reviewer of a change to a folder of plants is shown."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from hoggin.commands.main import main
from tests.repository import Repository

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture
def plants(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository of three plants and a library, at a path with a space."""
    folder = tmp_path / "our plants"
    shutil.copytree(EXAMPLES / "standard", folder / "standard")
    shutil.copy(EXAMPLES / "gravel.hog", folder)
    Repository(folder).commit({".gitignore": "out/\n"})
    monkeypatch.chdir(folder)
    return folder


def change(file: Path, before: str, after: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert before in text
    file.write_text(text.replace(before, after, 1), encoding="utf-8")


def outcomes(capsys: pytest.CaptureFixture[str]) -> dict[str, str]:
    """The outcome of each step."""
    lines = capsys.readouterr().out.splitlines()
    shown = (line[2:].rpartition(": ") for line in lines if line.startswith("- "))
    return {name: outcome for name, _, outcome in shown}


def test_plants_in_order_pass_and_their_documents_are_written(
    plants: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review"]) == 0
    assert outcomes(capsys) == {
        "layout": "ok",
        "errors": "ok",
        "plant gravel.hog": "ok",
        "plant standard/north.hog": "ok",
        "plant standard/south.hog": "ok",
    }
    for plant in ("gravel", "standard/north", "standard/south"):
        assert (plants / "out/review" / plant / "flowsheet.pdf").is_file()


def test_every_step_is_done_whatever_another_finds_and_the_gravest_code_counts(
    plants: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change(plants / "gravel.hog", "use std.feeders\n", "use   std.feeders\n")  # the layout: 5
    change(plants / "standard/north.hog", "stone.rate >= 95 t/h", "stone.rate >= 295 t/h")  # 4
    assert main(["review"]) == 4
    found = outcomes(capsys)
    assert found["layout"] == "differs"
    assert found["plant gravel.hog"] == "ok"
    assert found["plant standard/north.hog"].endswith("a requirement is not met")
    change(plants / "standard/south.hog", "use std.sieves", "use std.seives")  # 1
    assert main(["review"]) == 1
    found = outcomes(capsys)
    assert found["errors"] == "errors" and "plant standard/south.hog" not in found


def test_a_comparison_with_a_revision_says_what_the_change_does(
    plants: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change(plants / "gravel.hog", "13 mm", "14 mm")
    assert main(["review", "--base", "HEAD", "--summary", "review.md"]) == 0
    assert "crusher cone  css   13 mm   14 mm" in capsys.readouterr().out
    page = (plants / "review.md").read_text(encoding="utf-8")
    assert "- compared with HEAD: ok\n" in page
    assert re.search(r"\| crusher cone \| css +\| 13 mm +\| 14 mm +\|", page)
    assert [line for line in page.splitlines() if line.startswith("# ")] == ["# Review of plants"]


def test_a_revision_that_is_not_there_is_reported_beside_the_other_steps(
    plants: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", "--base", "absent"]) == 2
    printed = capsys.readouterr().out
    assert "compared with absent: could not be done\n" in printed
    assert "plant gravel.hog: ok\n" in printed
    assert plants.is_dir()


def test_recorded_results_are_compared_once_there_are_any(
    plants: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    accept = ["--accept", "--reason", "as built", "--by", "A. Planner"]
    assert main(["regress", "standard", *accept]) == 0
    capsys.readouterr()
    assert main(["review", "standard"]) == 0
    assert outcomes(capsys)["recorded results"] == "ok"
    change(plants / "standard/north.hog", "rate 150 t/h", "rate 155 t/h")
    assert main(["review", "standard", "--summary", "review.md"]) == 5
    assert outcomes(capsys)["recorded results"] == "differs"
    page = (plants / "review.md").read_text(encoding="utf-8")
    assert "## Not all plants match their records\n" in page


def test_what_is_in_hidden_folders_is_not_reviewed(
    plants: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As the compiler's own library in `.venv`."""
    shutil.copytree(plants / "standard", plants / ".venv/standard")
    assert main(["review", "--base", "HEAD"]) == 0
    assert ".venv" not in capsys.readouterr().out


def test_a_folder_without_plants_is_an_error(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", str(tmp_path)]) == 2
    assert "there is no `.hog` file in" in capsys.readouterr().err
