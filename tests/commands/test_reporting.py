"""`hoggin report` from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.errors import Exit

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = ["report.html", "report.pdf", "workbook.xlsx"]


def _copied(tmp_path: Path, change: tuple[str, str] = ("", "")) -> Path:
    (tmp_path / ".git").mkdir(exist_ok=True)
    file = tmp_path / "gravel.hog"
    file.write_text((EXAMPLES / "gravel.hog").read_text().replace(*change))
    return file


def test_the_package_goes_into_a_folder_of_the_plants_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["report", str(_copied(tmp_path))]) == Exit.DONE
    folder = tmp_path / "out" / "gravel" / "report"
    assert sorted(path.name for path in folder.iterdir()) == FILES
    assert "out/gravel/report/report.pdf" in capsys.readouterr().out


def test_the_same_plant_gives_the_same_bytes_and_the_title_block_what_the_plant_says(
    tmp_path: Path,
) -> None:
    client = 'project { client "<b>A & B</b>" }'
    file = _copied(tmp_path, ('gravel, 120 t/h" {', f'gravel, 120 t/h" {{\n  {client}'))
    for into in ("one", "two"):
        assert main(["report", str(file), "--into", str(tmp_path / into)]) == Exit.DONE
    for name in FILES:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
    page = (tmp_path / "one" / "report.html").read_text()
    assert "&lt;b&gt;A &amp; B&lt;/b&gt;" in page
    assert "<b>" not in page


def test_a_requirement_not_met_is_told_by_the_exit_code_and_in_the_report(tmp_path: Path) -> None:
    file = _copied(tmp_path, ("require cone.load <= 100 %", "require cone.load <= 1 %"))
    assert main(["report", str(file), "--into", str(tmp_path / "out")]) == Exit.UNMET
    assert ">NOT MET</strong>" in (tmp_path / "out" / "report.html").read_text()


def test_errors_in_the_source_write_nothing(tmp_path: Path) -> None:
    file = _copied(tmp_path, ("material", "materiel"))
    assert main(["report", str(file), "--into", str(tmp_path / "out")]) == Exit.SOURCE
    assert not (tmp_path / "out").exists()


def test_a_folder_that_is_a_file_is_a_plain_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = _copied(tmp_path)
    assert main(["report", str(file), "--into", str(file)]) == Exit.USE
    assert "cannot write the documents" in capsys.readouterr().err


def test_a_package_keeps_what_else_is_in_the_folder(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "letter.txt").write_text("mine")
    assert main(["report", str(_copied(tmp_path)), "--into", str(tmp_path / "out")]) == Exit.DONE
    kept = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert kept == ["letter.txt", *FILES]
