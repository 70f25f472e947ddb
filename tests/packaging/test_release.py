"""What a release refuses, and what its workflow builds."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.repository import Repository

ROOT = Path(__file__).parents[2]
CHANGES = """\
# Changes

## 1.2.0, 2026-12-01

- more

## 1.1.0, 2026-06-01

- less
"""


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """With the scripts and a change log, and a commit that has no tag yet."""
    folder = tmp_path / "repository"
    (folder / ".ci").mkdir(parents=True)
    for name in ("release", "changes"):
        shutil.copy(ROOT / ".ci" / name, folder / ".ci" / name)
    made = Repository(folder)
    made.commit({"CHANGELOG.md": CHANGES})
    return made


def test_a_changed_working_tree_is_refused(repository: Repository) -> None:
    repository.git("tag", "v1.2.0")
    (repository.root / "CHANGELOG.md").write_text(CHANGES + "more\n")
    assert "the working tree has changes" in _refusal(repository)


def test_a_commit_without_a_version_tag_is_refused(repository: Repository) -> None:
    repository.git("tag", "tried")
    assert "this commit has no version tag" in _refusal(repository)


@pytest.mark.parametrize("tag", ["v1.3.0", "v1.2", "v1.2.00"])
def test_a_version_that_the_change_log_does_not_have_is_refused(
    repository: Repository, tag: str
) -> None:
    repository.git("tag", tag)
    assert f"CHANGELOG.md has no heading `## {tag[1:]}`" in _refusal(repository)


def test_an_option_that_is_mistyped_is_refused(repository: Repository) -> None:
    assert "unknown option `--without-test`" in _refusal(repository, "--without-test")


def test_a_version_has_its_part_of_the_change_log(repository: Repository) -> None:
    """Its headings are written `## VERSION, DATE`."""
    command = ["bash", str(repository.root / ".ci" / "changes"), "1.2.0"]
    assert subprocess.run(command, capture_output=True, text=True).stdout.strip() == "- more"


def test_the_workflow_builds_for_every_system_with_scripts_that_are_there() -> None:
    workflow = pytest.importorskip("yaml").safe_load(
        (ROOT / ".github" / "workflows" / "release.yml").read_text(encoding="utf-8")
    )
    jobs = workflow["jobs"]
    systems = jobs["standalone"]["strategy"]["matrix"]["system"]
    assert {system.partition("-")[0] for system in systems} == {"ubuntu", "macos", "windows"}
    commands = [step.get("run", "") for job in jobs.values() for step in job["steps"]]
    words = [word for command in commands for word in command.split()]
    scripts = [word for word in words if word.startswith(".ci/")]
    assert len(scripts) >= 4
    for script in scripts:
        assert (ROOT / script).is_file()


def _refusal(repository: Repository, *options: str) -> str:
    command = ["bash", str(repository.root / ".ci" / "release"), *options]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert not (repository.root / "dist").exists()
    return done.stderr
