"""Links that lead out of the folder that a command was given, and names that look like others."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.studies.runner.keeping import NAME, study_file

EXAMPLES = Path(__file__).parents[2] / "examples"

ROUGH = "let  a=5 mm"
SECRET = "token = not to be shown\n"


@pytest.fixture
def outside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder beside the one that the command is started in."""
    (tmp_path / "project").mkdir()
    monkeypatch.chdir(tmp_path / "project")
    (tmp_path / "outside").mkdir()
    return tmp_path / "outside"


@pytest.mark.parametrize("name", ["secret", "secret.hog"])
@pytest.mark.parametrize(
    "command",
    [["check", "plants/a.hog"], ["balance", "plants/a.hog"], ["regress", "plants"],
     ["compare", "plants", "plants"], ["format", "--check", "plants"]],
    ids=lambda command: command[0],
)  # fmt: skip
def test_no_command_prints_lines_of_a_file_that_a_plant_links_to(
    outside: Path, capsys: pytest.CaptureFixture[str], name: str, command: list[str]
) -> None:
    (outside / name).write_text(SECRET)
    Path("plants").mkdir()
    Path("plants/a.hog").symlink_to(outside / name)
    assert main(command) == 2
    printed = capsys.readouterr()
    assert "token" not in printed.out + printed.err
    assert "a.hog" in printed.err


@pytest.mark.usefixtures("outside")
def test_a_link_within_the_project_to_another_kind_of_file_is_refused(
    capsys: pytest.CaptureFixture[str],
) -> None:
    Path(".git").mkdir()
    Path(".git/config").write_text(SECRET)
    Path("a.hog").symlink_to(".git/config")
    Path("b.hog").write_text('use "a.hog" as a\n')
    for command in (["check", "a.hog"], ["check", "b.hog"]):
        assert main(command) != 0
        printed = capsys.readouterr()
        assert "token" not in printed.out + printed.err
        assert "does not end in `.hog`" in printed.err


@pytest.mark.usefixtures("outside")
def test_a_link_within_the_project_is_followed() -> None:
    Path("real.hog").write_text("let a = 5 mm\n")
    Path("link.hog").symlink_to("real.hog")
    assert main(["check", "link.hog"]) == 0


def test_format_of_a_folder_changes_nothing_outside_it(
    outside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (outside / "theirs.hog").write_text(ROUGH)
    Path("ours.hog").write_text(ROUGH)
    Path("link.hog").symlink_to(outside / "theirs.hog")
    assert main(["format", "."]) == 2
    assert (outside / "theirs.hog").read_text() == ROUGH
    assert Path("ours.hog").read_text() == "let a = 5 mm\n"
    assert "`link.hog`: it is a link out of `.`" in capsys.readouterr().err


@pytest.mark.slow
def test_issue_follows_no_link_to_another_folder(
    outside: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copy(EXAMPLES / "gravel.hog", "gravel.hog")
    Path("out").symlink_to(outside)
    assert main(["issue", "gravel.hog"]) == 2
    assert "leads out of this folder by a link" in capsys.readouterr().err
    Path("out").unlink()
    Path("out/gravel").mkdir(parents=True)
    Path("out/gravel/gradings").symlink_to(outside)
    assert main(["issue", "gravel.hog"]) == 2
    assert "`out/gravel/gradings` is a link" in capsys.readouterr().err
    assert not list(outside.iterdir())


@pytest.mark.slow
@pytest.mark.usefixtures("outside")
@pytest.mark.parametrize("name", ["...hog", "..hog"])
def test_a_plant_whose_name_is_dots_is_issued_into_a_folder_of_its_own(
    name: str,
) -> None:
    shutil.copy(EXAMPLES / "gravel.hog", name)
    main(["issue", name])
    assert sorted(path.name for path in Path.cwd().iterdir()) == sorted([name, "out"])
    assert [path.is_dir() for path in Path("out").iterdir()] == [True]


def test_a_study_file_takes_no_link_for_its_own(outside: Path) -> None:
    mine = outside / "mine"
    mine.write_bytes(b"mine")
    for name in (NAME, f"{NAME}.draft"):
        Path(name).symlink_to(mine)
    study_file(Path(), {"asked": 1}, resume=False).close()
    assert mine.read_bytes() == b"mine"


@pytest.mark.slow
@pytest.mark.usefixtures("outside")
def test_a_drawing_is_not_named_between_json(
    capsys: pytest.CaptureFixture[str],
) -> None:
    shutil.copy(EXAMPLES / "gravel.hog", "a.hog")
    assert main(["compare", "a.hog", "a.hog", "--as", "json", "--into", "drawn"]) == 0
    printed = capsys.readouterr()
    json.loads(printed.out)
    assert "drawn" in printed.err and list(Path("drawn").iterdir())
