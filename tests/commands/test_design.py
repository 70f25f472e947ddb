"""`hoggin design` from the command line: exit codes, what it prints and what it writes."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from hoggin.commands.main import main
from tests.studies.design.plants import crushing, divided, results_of

_CHOICES = ("any(24 mm, 28 mm, 32 mm)", "any(40 mm, 45 mm)")
_AIMS = "  maximize sand.rate\n  minimize plant.power\n"


def _file(folder: Path, text: str) -> Path:
    path = folder / "hill.hog"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.slow
def test_a_found_revision_is_printed_and_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = "  require cone.load <= 90 %\n  minimize plant.power\n"
    file, into = _file(tmp_path, crushing(*_CHOICES, lines)), tmp_path / "found.hog"
    assert main(["design", str(file), "--into", str(into)]) == 0
    out = capsys.readouterr().out
    assert "minimize plant.power" in out
    assert "cone.load <= 90 %" in out
    assert "All 6 combinations of settings were balanced." in out
    assert "lock-out" in out
    assert str(into) in out
    text = into.read_text(encoding="utf-8")
    assert all(requirement.met for requirement in results_of(text).requirements)
    assert main(["compare", str(file), str(into)]) == 0
    assert re.search(r"cone\s+css\s+24 mm\s+32 mm", capsys.readouterr().out)


def test_a_file_that_is_there_is_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _file(tmp_path, crushing(*_CHOICES, "  minimize plant.power\n"))
    before = file.read_text(encoding="utf-8")
    assert main(["design", str(file), "--into", str(file)]) == 2
    assert "--overwrite" in capsys.readouterr().err
    assert file.read_text(encoding="utf-8") == before
    assert main(["design", str(file), "--into", str(file), "--overwrite"]) == 0
    assert "any(" not in file.read_text(encoding="utf-8")


@pytest.mark.slow
def test_several_aims_give_a_front_as_table_and_plot(tmp_path: Path) -> None:
    file, into = _file(tmp_path, crushing(*_CHOICES, _AIMS)), tmp_path / "found.hog"
    assert main(["design", str(file), "--into", str(into), "--point", "1"]) == 0
    with (tmp_path / "found_front.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [row["written"] for row in rows] == ["yes"] + [""] * (len(rows) - 1)
    power = [float(row["minimize plant.power (kW)"]) for row in rows]
    sand = [float(row["maximize sand.rate (t/h)"]) for row in rows]
    # On a front more of the one costs more of the other; aims stand in the order of their words.
    assert sand == sorted(sand, reverse=True) and power == sorted(power, reverse=True)
    assert {float(row["cone.css (mm)"]) for row in rows} <= {24.0, 28.0, 32.0}
    root = ElementTree.parse(tmp_path / "found_front.svg").getroot()
    space = "{http://www.w3.org/2000/svg}"
    assert len(root.findall(f"{space}circle")) == len(rows) - 1  # and a square for the written one
    squares = [r for r in root.findall(f"{space}rect") if r.get("class") in ("square", "frame")]
    assert len(squares) == 1


def test_requirements_in_conflict_end_with_4_and_write_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = "  require sand.share >= 22 %\n  require plant.power <= 176 kW\n  maximize stone.rate\n"
    file, into = _file(tmp_path, crushing(*_CHOICES, lines)), tmp_path / "found.hog"
    assert main(["design", str(file), "--into", str(into)]) == 4
    out = " ".join(capsys.readouterr().out.split())
    assert "These 2 requirements can't be met together" in out
    assert "every combination of settings was balanced" in out
    assert not into.exists()


@pytest.mark.slow
def test_json_is_the_whole_design(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _file(tmp_path, divided("  maximize first.rate\n  require first.rate <= 100 t/h\n"))
    assert main(["design", str(file), "--as", "json", "--starts", "16", "--seed", "5"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["seed"], found["starts"], found["conflict"]) == (5, 16, None)
    # At the limit of what is aimed at itself, a tonne more brings a tonne.
    assert found["requirements"][0]["worths"][0]["by_search"] == pytest.approx(1.0, rel=1e-3)


@pytest.mark.slow
def test_the_same_comes_of_several_processes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shares = ", ".join(f"{n} %" for n in range(5, 50, 3))
    text = divided("  maximize first.rate\n  require first.rate <= 100 t/h\n")
    text = text.replace("free(5 % to 70 %)", f"any({shares})").replace("free(5 % to 90 %)", "50 %")
    arguments = ["design", str(_file(tmp_path, text)), "--as", "json"]
    assert main([*arguments, "--jobs", "1"]) == 0
    first = capsys.readouterr().out
    assert json.loads(first)["balances"] == 15 * 15  # more than a batch holds
    assert main([*arguments, "--jobs", "2"]) == 0
    assert capsys.readouterr().out == first


@pytest.mark.slow
def test_markdown_has_its_tables(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = _file(tmp_path, crushing(*_CHOICES, _AIMS))
    assert main(["design", str(file), "--as", "markdown"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("# Design of Hill\n")
    assert "## Trade-off front" in out


@pytest.mark.parametrize(
    ("text", "arguments", "code", "said"),
    [
        (crushing(*_CHOICES, "  maximize chips.rate\n"), [], 1, "E0201"),
        (crushing("28 mm", "45 mm", "  minimize plant.power\n"), [], 2, "no setting is free"),
        (crushing(*_CHOICES, "  minimize plant.power\n"), ["--into", "a.txt"], 2, "`.hog`"),
        (crushing(*_CHOICES, _AIMS), ["--point", "90"], 2, "the front has the points 1 to"),
        ("let a = free(1 to 2)\n", [], 2, "is a library"),
    ],
)
def test_what_can_t_be_designed_is_told(
    text: str,
    arguments: list[str],
    code: int,
    said: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["design", str(_file(tmp_path, text)), *arguments]) == code
    assert said in capsys.readouterr().err


def test_a_file_that_is_not_there_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["design", str(tmp_path / "none.hog")]) == 2
    assert "there is no such file" in capsys.readouterr().err
