"""`hoggin example`: what it lists, what it copies, and what it leaves alone."""

from __future__ import annotations

import re
import shlex
import subprocess
from pathlib import Path

import pytest

from hoggin.check.checker import check_file
from hoggin.commands.completing import _examples
from hoggin.commands.main import main
from hoggin.examples import examples

EXAMPLES = Path(__file__).parents[2] / "examples"


def files_below(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}


@pytest.mark.slow
def test_every_file_with_a_plant_is_an_example_under_a_name_of_its_own() -> None:
    plants = [path for path in EXAMPLES.rglob("*.hog") if check_file(path).plant is not None]
    assert sorted(path.stem for path in plants) == sorted(examples())


def test_the_list_has_each_example_with_the_first_sentence_of_its_file(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["example"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    for name, one in examples().items():
        text = (EXAMPLES / one.path).read_text(encoding="utf-8")
        words = " ".join(re.sub(r"^#", " ", text, flags=re.MULTILINE).split())
        assert words.startswith(f"{one.title}.")
        assert f"{name} {one.title}" in shown


def test_the_name_of_a_folder_lists_its_examples(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["example", "cookbook"]) == 0
    shown = capsys.readouterr().out
    assert "open_circuit" in shown and "plants:" not in shown


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(examples()))
def test_a_copied_example_has_no_errors(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["example", name]) == 0
    told = re.findall(r"`([^`]+)`", capsys.readouterr().err)
    plant = told[-1].removeprefix("hoggin issue ")
    for command in told[:-1]:
        subprocess.run(shlex.split(command), check=True, capture_output=True)
    assert Path(plant).name == f"{name}.hog"
    assert Path(plant).read_bytes() == (EXAMPLES / examples()[name].path).read_bytes()
    assert main(["check", plant]) == 0


@pytest.mark.parametrize(
    ("name", "held"),
    [
        ("quarry", {"quarry.hog"}),
        ("scalping", {"scalping.hog"}),
        ("north", {"north.hog", "closed_circuit.hog"}),
        ("tabulated", {"tabulated.hog", "tabulated_jaw.csv"}),
        (
            "pit",
            {
                "fleet/pit.hog",
                "fleet/regression.toml",
                "fleet/sites.csv",
                "standard/closed_circuit.hog",
            },
        ),
    ],
)
def test_an_example_comes_with_what_it_names_and_nothing_else(
    name: str, held: set[str], tmp_path: Path
) -> None:
    assert main(["example", name, "--into", str(tmp_path)]) == 0
    assert files_below(tmp_path) == held


def test_an_existing_file_is_not_replaced_and_nothing_else_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "closed_circuit.hog").write_text("mine", encoding="utf-8")
    assert main(["example", "north", "--into", str(tmp_path)]) == 2
    assert "closed_circuit.hog` already exists and is not changed" in capsys.readouterr().err
    assert files_below(tmp_path) == {"closed_circuit.hog"}
    assert (tmp_path / "closed_circuit.hog").read_text(encoding="utf-8") == "mine"


def test_a_misspelt_name_is_reported_with_the_one_that_was_meant(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["example", "quary"]) == 2
    assert "did you mean `quarry`?" in capsys.readouterr().err


def test_the_shell_completes_the_names() -> None:
    assert {"quarry", "scalping", "step_1"} <= set(_examples())
