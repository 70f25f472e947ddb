"""The command line as a user meets it: output, exit codes, files written or left alone."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.schema.results import FORMAT_VERSION

PLANT = """
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "small" {
  sieves sieves.iso_r20_3
  feed f { rock rock; rate 100 t/h; passing { 63 mm: 100 %, 4 mm: 10 % } }
  splitter s { out a 30 %; out b rest }
  f -> s
  s.a -> product a
  s.b -> product b
  require a.rate >= %LEAST% t/h
}
"""
STUCK = """
use std.sieves
use std.cones
use std.screens
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "stuck" {
  sieves sieves.iso_r20_3
  feed f { rock rock; rate 100 t/h; passing { 120 mm: 100 %, 4 mm: 10 % } }
  crusher c: cones.high_speed(head: 1300 mm) { duty secondary; chamber coarse; css 45 mm }
  screen s: screens.inclined(width: 2.1 m, length: 6 m) { deck top 10 mm }
  f -> s
  s.over -> c -> s
  s.under -> product p
}
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "small.hog"
    path.write_text(PLANT.replace("%LEAST%", "20"), encoding="utf-8")
    return path


def test_check_says_what_the_plant_is(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(file)]) == 0
    assert "small: 1 machine, 2 products, no errors" in capsys.readouterr().out


def test_check_takes_a_folder(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (file.parent / "below").mkdir()
    (file.parent / "below" / "library.hog").write_text("let x = 3 kW + 1 mm\n", encoding="utf-8")
    assert main(["check", str(file.parent)]) == 1
    printed = capsys.readouterr()
    assert "small: 1 machine" in printed.out and "library.hog:1:" in printed.err


def test_errors_exit_1_and_write_nothing(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text(file.read_text().replace("100 t/h", "100 kW"), encoding="utf-8")
    into = tmp_path / "out"
    assert main(["issue", str(file), "--into", str(into)]) == 1
    told = capsys.readouterr().err
    assert "error E0302" in told and "small.hog:6:28" in told and "^^^^^^" in told
    assert not into.exists()


@pytest.mark.slow
def test_errors_leave_an_earlier_issue_as_it_was(file: Path, tmp_path: Path) -> None:
    into = tmp_path / "out"
    assert main(["issue", str(file), "--into", str(into)]) == 0
    before = {p: p.read_bytes() for p in into.rglob("*") if p.is_file()}
    file.write_text("plant {", encoding="utf-8")
    assert main(["issue", str(file), "--into", str(into)]) == 1
    assert {p: p.read_bytes() for p in into.rglob("*") if p.is_file()} == before


@pytest.mark.slow
def test_an_unmet_requirement_exits_4_and_the_documents_are_written(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file.write_text(PLANT.replace("%LEAST%", "31"), encoding="utf-8")
    assert main(["issue", str(file), "--into", str(tmp_path / "out")]) == 4
    out = capsys.readouterr().out
    assert "NOT MET a.rate >= 31 t/h: 30 t/h, margin -1 t/h (-3.2 %)" in out
    assert (tmp_path / "out" / "flowsheet.svg").exists()


@pytest.mark.slow
def test_issue_gives_the_same_bytes_twice(file: Path, tmp_path: Path) -> None:
    for folder in ("one", "two"):
        assert main(["issue", str(file), "--into", str(tmp_path / folder)]) == 0
    names = sorted(p.relative_to(tmp_path / "one") for p in (tmp_path / "one").rglob("*.*"))
    assert len(names) >= 12
    for name in names:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()


def test_a_loop_that_cannot_settle_exits_3_and_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """At 45 mm the crusher lets 10 mm to about 29 mm through whole, and the deck returns them."""
    path = tmp_path / "stuck.hog"
    path.write_text(STUCK, encoding="utf-8")
    assert main(["issue", str(path), "--into", str(tmp_path / "out")]) == 3
    told = capsys.readouterr().err
    assert "E0801" in told and "`c`" in told and "`s`" in told
    assert "Traceback" not in told and not (tmp_path / "out").exists()


@pytest.mark.parametrize("name", ["nothing.hog", ".", "bad\0name.hog"])
def test_a_file_that_cannot_be_had_exits_2(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(tmp_path) + "/" + name]) == 2
    assert "hoggin: " in capsys.readouterr().err


@pytest.mark.slow
def test_a_folder_that_cannot_be_written_exits_2(
    file: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "out").write_text("a file in the way")
    assert main(["issue", str(file), "--into", str(tmp_path / "out")]) == 2
    assert "Traceback" not in capsys.readouterr().err
    assert (tmp_path / "out").read_text() == "a file in the way"


def test_a_library_is_checked_but_not_balanced(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "lib.hog"
    path.write_text("let x = 3 mm\n", encoding="utf-8")
    assert main(["check", str(path)]) == 0
    assert main(["balance", str(path)]) == 2
    assert "no plant" in capsys.readouterr().err


def test_json_is_the_versioned_document(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["balance", str(file), "--show", "json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["format_version"] == FORMAT_VERSION
    assert [round(p["rate_t_h"], 6) for p in document["products"]] == [30.0, 70.0]


@pytest.mark.slow
def test_explain_knows_every_code(capsys: pytest.CaptureFixture[str]) -> None:
    from hoggin.diagnostics.codes import CODES

    for code in CODES:
        assert main(["explain", code]) == 0
        assert CODES[code].title in capsys.readouterr().out
    assert main(["explain", "E9999"]) == 2


def test_wrong_use_exits_2() -> None:
    with pytest.raises(SystemExit) as exit_:
        main(["no-such-command"])
    assert exit_.value.code == 2


@pytest.mark.slow
def test_a_closed_pipe_is_no_traceback(file: Path) -> None:
    """`hoggin balance plant.hog | head -1`, as a user would."""
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    process = subprocess.run(
        f'"{sys.executable}" -m hoggin balance "{file}" | head -1',
        shell=True,
        capture_output=True,
        text=True,
        env=environment,
        check=False,
    )
    assert "Traceback" not in process.stderr


@pytest.mark.slow
def test_checking_a_file_imports_no_numpy(file: Path) -> None:
    """So that it stays quick: see tests/benchmarks."""
    script = (
        "import sys; from hoggin.commands.main import main; "
        f"code = main(['check', {str(file)!r}]); print('numpy' in sys.modules, code)"
    )
    out = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert out.stdout.splitlines()[-1] == "False 0"


@pytest.mark.slow
def test_a_character_that_no_drawing_can_hold_is_left_out(file: Path, tmp_path: Path) -> None:
    file.write_text(file.read_text("utf-8").replace('"small"', '"sm\uffffall"'), "utf-8")
    assert main(["issue", str(file), "--into", str(tmp_path / "out")]) == 0
    assert "sm all" in (tmp_path / "out" / "flowsheet.svg").read_text("utf-8")
