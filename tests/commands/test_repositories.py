"""What a repository of plants gets: its files, and the steps and hooks in them, run as CI and git
run them. The steps that CI takes from elsewhere (`uses`) are only counted."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from hoggin.commands.main import main
from tests.repository import Driven

CHANGED = re.compile(r"\| crusher cone \| css +\| 13 mm +\| 14 mm +\|")
ROOT = Path(__file__).parents[2]
ACTION = ROOT / ".github/actions/hoggin/action.yml"
FILES = {
    ".gitattributes",
    ".gitignore",
    ".pre-commit-config.yaml",
    ".github/workflows/plants.yml",
    "requirements.txt",
}

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(os.name == "nt", reason="its steps are for bash"),
]


@pytest.fixture
def plants(tmp_path: Path) -> Driven:
    """A repository of one plant, in which the hoggin of these sources is on the path; on a branch
    that changes a setting."""
    folder = tmp_path / "our plants"
    folder.mkdir()
    found = Driven(folder, "diff")
    (folder / ".gitattributes").unlink()
    assert main(["repository", str(folder), "--requirement", "hoggin"]) == 0
    shutil.copy(ROOT / "examples/gravel.hog", folder)
    found.commit({})
    found.git("checkout", "--quiet", "-b", "change")
    text = (folder / "gravel.hog").read_text(encoding="utf-8")
    found.commit({"gravel.hog": text.replace("13 mm", "14 mm")})
    found.git("update-ref", "refs/remotes/origin/main", "main")
    return found


def read(path: Path) -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return found


def filled(text: str, context: Mapping[str, str]) -> str:
    """A text with its expressions replaced; each has to be one that the context answers."""
    return re.sub(r"\$\{\{ (.*?) \}\}", lambda found: context[found[1]], text)


def run_steps(steps: list[dict[str, Any]], plants: Driven, context: Mapping[str, str]) -> Path:
    """Run each `run` step as CI does, and return the summary."""
    summary = plants.root.parent / "summary.md"
    path = f"{plants.shim.parent}{os.pathsep}{Path(sys.executable).parent}{os.pathsep}"
    for step in steps:
        if "run" not in step:
            assert re.fullmatch(r"actions/[a-z-]+@v\d+", step["uses"])
            continue
        own = {name: filled(value, context) for name, value in step.get("env", {}).items()}
        environment = {"PATH": path + os.environ["PATH"], "GITHUB_STEP_SUMMARY": str(summary)}
        done = subprocess.run(
            ["bash", "--noprofile", "--norc", "-eo", "pipefail", "-c", filled(step["run"], {})],
            cwd=plants.root,
            env={**os.environ, **environment, **own},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, f"{step['name']}: {done.stdout}{done.stderr}"
    return summary


def test_it_writes_its_files_and_leaves_those_that_are_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / ".gitignore").write_text("mine\n", encoding="utf-8")
    assert main(["repository", str(tmp_path)]) == 0
    printed = capsys.readouterr()
    assert len(printed.out.splitlines()) == len(FILES) - 1
    assert ".gitignore` already exists and is not changed" in printed.err
    written = {p.relative_to(tmp_path).as_posix() for p in tmp_path.rglob("*") if p.is_file()}
    assert written == FILES
    assert (tmp_path / ".gitignore").read_text(encoding="utf-8") == "mine\n"


@pytest.mark.parametrize(
    ("version", "arguments", "warned"),
    [
        ("1.2.0", [], False),
        ("0.1.dev1122+g272a88881", [], True),
        ("0.1.dev1122+g272a88881", ["--requirement", "./hoggin.whl"], False),
    ],
)
def test_a_version_that_no_registry_can_have_is_warned_of(
    version: str,
    arguments: list[str],
    warned: bool,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """PEP 440: a public index takes no local version, which is what follows `+`."""
    monkeypatch.setattr("hoggin.commands.repositories.__version__", version)
    assert main(["repository", str(tmp_path), *arguments]) == 0
    told = capsys.readouterr().err
    assert ("is not a release" in told) == warned
    assert "pre-commit install" in told


def test_what_ci_installs_is_stated_in_one_place(tmp_path: Path) -> None:
    assert main(["repository", str(tmp_path), "--requirement", "./tools/hoggin.whl"]) == 0
    wanted = (tmp_path / "requirements.txt").read_text(encoding="utf-8").splitlines()
    assert wanted[-1] == "./tools/hoggin.whl"


@pytest.mark.parametrize("base", ["main", ""], ids=["pull request", "push"])
def test_the_workflow_reviews_the_plants(base: str, plants: Driven) -> None:
    workflow = read(plants.root / ".github/workflows/plants.yml")
    assert set(workflow) == {"name", True, "permissions", "jobs"}  # YAML 1.1 reads `on` as true
    [job] = workflow["jobs"].values()
    summary = run_steps(job["steps"], plants, {"github.base_ref": base})
    page = summary.read_text(encoding="utf-8")
    assert "- plant gravel.hog: ok\n" in page
    assert bool(CHANGED.search(page)) == bool(base)
    uploaded = job["steps"][-1]
    assert uploaded["if"] == "always()"  # also the documents of a plant that fails
    assert (plants.root / uploaded["with"]["path"] / "gravel/flowsheet.pdf").is_file()
    assert plants.git("status", "--porcelain") == ""  # nothing that a commit would take up


def test_the_action_reviews_the_plants(plants: Driven) -> None:
    action = read(ACTION)
    context = {
        "github.action_path": str(ACTION.parent),
        "inputs.base || (github.base_ref && format('origin/{0}', github.base_ref))": "origin/main",
        "inputs.folder": action["inputs"]["folder"]["default"],
        "inputs.requirement": "hoggin",  # its default builds these sources, which needs a network
    }
    page = run_steps(action["runs"]["steps"], plants, context).read_text(encoding="utf-8")
    assert CHANGED.search(page)
    uploaded = action["runs"]["steps"][-1]
    assert (plants.root / uploaded["with"]["path"] / "gravel/flowsheet.pdf").is_file()


def test_the_action_installs_the_sources_that_it_is_in() -> None:
    [install] = [s for s in read(ACTION)["runs"]["steps"] if s.get("name") == "Install Hoggin"]
    own = filled(install["env"]["OWN"], {"github.action_path": str(ACTION.parent)})
    assert (Path(own) / "pyproject.toml").samefile(ROOT / "pyproject.toml")


def run_hooks(plants: Driven, tmp_path: Path) -> subprocess.CompletedProcess[str]:
    """Run every hook on every file, with a cache of its own."""
    path = f"{plants.shim.parent}{os.pathsep}{os.environ['PATH']}"
    return subprocess.run(
        [sys.executable, "-m", "pre_commit", "run", "--all-files", "--color=never"],
        cwd=plants.root,
        env={**os.environ, "PATH": path, "PRE_COMMIT_HOME": str(tmp_path / "hooks")},
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_hooks_let_a_plant_in_order_pass(plants: Driven, tmp_path: Path) -> None:
    done = run_hooks(plants, tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.count("Passed") == 2


def test_the_hooks_lay_out_a_plant_and_stop_at_an_error(plants: Driven, tmp_path: Path) -> None:
    file = plants.root / "gravel.hog"
    tidy = file.read_text(encoding="utf-8")
    file.write_text(tidy.replace("use std.feeders", "use   std.feeders"), encoding="utf-8")
    plants.git("add", ".")
    assert run_hooks(plants, tmp_path).returncode == 1
    assert file.read_text(encoding="utf-8") == tidy
    file.write_text(tidy.replace("use std.cones", "use std.cnes"), encoding="utf-8")
    plants.git("add", ".")
    done = run_hooks(plants, tmp_path)
    assert done.returncode == 1 and "did you mean `std.cones`?" in done.stdout


def test_the_hooks_offered_to_others_are_the_same_commands(plants: Driven) -> None:
    offered = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text(encoding="utf-8"))
    [local] = read(plants.root / ".pre-commit-config.yaml")["repos"]
    kept = ("id", "name", "entry", "files", "pass_filenames")
    for ours, theirs in zip(offered, local["hooks"], strict=True):
        assert [ours.get(key) for key in kept] == [theirs.get(key) for key in kept]


def test_the_attributes_name_the_drivers_that_git_is_given(plants: Driven) -> None:
    plants.git("config", "diff.hoggin.command", "hoggin git-compare")
    shown = plants.driven("diff", "main", "--", "gravel.hog").stdout
    assert "crusher cone  css   13 mm   14 mm" in shown
    assert "eol: lf" in plants.git("check-attr", "eol", "gravel.hog")


def test_our_own_workflows_run_what_is_there() -> None:
    steps = [
        step
        for path in (ROOT / ".github/workflows").glob("*.yml")
        for job in read(path)["jobs"].values()
        for step in job["steps"]
    ]
    runs = [step.get("run", "") for step in steps]
    scripts = {name for run in runs for name in re.findall(r"\.ci/[\w/.]*\w", run)}
    assert ".ci/run" in scripts
    assert [name for name in scripts if not (ROOT / name).is_file()] == []
