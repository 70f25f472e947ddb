"""Accepting: who, when and why stand in the record, and no record is written by halves."""

from __future__ import annotations

import subprocess
import tomllib
from pathlib import Path

import pytest

from hoggin.commands.main import main

from .conftest import ACCEPT, edit


def _accepted(project: Path, name: str = "east") -> dict[str, str]:
    record = project / "recorded" / f"{name}.toml"
    found: dict[str, str] = tomllib.loads(record.read_text(encoding="utf-8"))["accepted"]
    return found


@pytest.mark.slow
def test_a_record_says_who_accepted_it_when_and_why(project: Path) -> None:
    """1772442000 s after 1970-01-01 is 2026-03-02, 9 h UTC: 20,514 days of 86,400 s and 9 h."""
    assert 20_514 * 86_400 + 9 * 3600 == 1_772_442_000
    assert main(["regress", "plants", "--accept", "--reason", "  new\tliners\n"]) == 0
    assert _accepted(project) == {
        "by": "tester",
        "on": "2026-03-02T09:00:00Z",
        "reason": "new liners",
    }


@pytest.mark.slow
def test_git_says_who_where_it_knows(project: Path) -> None:
    subprocess.run(["git", "init", "-q"], cwd=project, check=True)
    for name, value in (("name", "A. Tester"), ("email", "a@example.org")):
        subprocess.run(["git", "config", f"user.{name}", value], cwd=project, check=True)
    assert main(["regress", "plants", *ACCEPT]) == 0
    assert _accepted(project)["by"] == "A. Tester <a@example.org>"


@pytest.mark.slow
def test_the_command_line_goes_before_git_and_the_clock(project: Path) -> None:
    more = ["--by", "B. Other", "--date", "2026-02-01"]
    assert main(["regress", "plants", *ACCEPT, *more]) == 0
    assert _accepted(project) == {"by": "B. Other", "on": "2026-02-01", "reason": "a test"}


@pytest.mark.slow
def test_a_moment_with_its_zone_is_recorded_in_utc(project: Path) -> None:
    assert main(["regress", "plants", *ACCEPT, "--date", "2026-02-01T01:30+02:00"]) == 0
    assert _accepted(project)["on"] == "2026-01-31T23:30:00Z"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--accept"], "`--reason"),
        (["--accept", "--reason", " "], "`--reason"),
        ([*ACCEPT, "--date", "yesterday"], "`yesterday` is not a date"),
        ([*ACCEPT, "--date", "2026-02-30"], "is not a date"),
        (["--reason", "why"], "goes with `--accept`"),
        (["--by", "me"], "goes with `--accept`"),
    ],
)
def test_without_a_reason_or_with_an_odd_date_nothing_is_run(
    project: Path, arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["regress", "plants", *arguments]) == 2
    out, err = capsys.readouterr()
    assert said in err and out == ""
    assert not list(project.glob("recorded/*"))


def test_who_must_be_known(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("USER", "LOGNAME", "USERNAME"):
        monkeypatch.delenv(name, raising=False)
    assert main(["regress", "plants", *ACCEPT]) == 2
    assert "--by" in capsys.readouterr().err
    assert not list(project.glob("recorded/*"))


def test_an_odd_time_of_the_build_is_told(
    project: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "noon")
    assert main(["regress", "plants", *ACCEPT]) == 2
    assert "SOURCE_DATE_EPOCH" in capsys.readouterr().err
    assert not list(project.glob("recorded/*"))


@pytest.mark.slow
def test_accepting_again_leaves_the_record_of_what_holds(project: Path) -> None:
    main(["regress", "plants", *ACCEPT])
    edit(project / "west.hog", "share: 30 %", "share: 40 %")
    assert main(["regress", "plants", "--accept", "--reason", "more for a"]) == 0
    assert _accepted(project, "east")["reason"] == "a test"
    assert _accepted(project, "west")["reason"] == "more for a"


@pytest.mark.slow
def test_a_record_that_can_not_be_written_leaves_all_as_they_were(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The place of the second record is taken by a folder."""
    main(["regress", "plants", *ACCEPT])
    before = (project / "recorded" / "east.toml").read_bytes()
    (project / "recorded" / "west.toml").unlink()
    (project / "recorded" / "west.toml").mkdir()
    for name in ("east", "west"):
        edit(project / f"{name}.hog", "share: 30 %", "share: 40 %")
    assert main(["regress", "plants", *ACCEPT]) == 2
    assert "in the way" in capsys.readouterr().err
    assert (project / "recorded" / "east.toml").read_bytes() == before
    left = {path.name for path in (project / "recorded").iterdir()}
    assert left == {"east.toml", "west.toml"}
