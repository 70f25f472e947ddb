"""`hoggin sweep` and `hoggin uncertainty` as a user runs them."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any

import pytest

from hoggin.check import checker
from hoggin.check.checker import Checked, check_file
from hoggin.commands.main import main
from hoggin.studies.runner.keeping import NAME
from hoggin.studies.runner.opening import opened
from tests.check.reading import small_plant
from tests.studies.uncertainty.plants import splitter_plant

pytestmark = pytest.mark.slow

UNCERTAIN = splitter_plant(
    "normal(200 t/h, 10 t/h)", "uniform(20 % to 40 %)", "  require a.rate >= 55 t/h"
)


def plant(folder: Path, text: str = UNCERTAIN) -> Path:
    file = folder / "plant.hog"
    file.write_text(text)
    return file


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_a_sweep_prints_and_writes_its_steps(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, into = plant(tmp_path), tmp_path / "out"
    over = ["--over", "s.cut 10 % to 50 % in 9", "--jobs", "1"]
    assert main(["sweep", str(file), *over, "--into", str(into)]) == 0
    shown = capsys.readouterr().out
    assert "All requirements are met from about 27.5 % to 50 %." in shown  # 55 of 200 t/h
    found = contents(into)
    assert sorted(found) == [
        "sweep.csv",
        "sweep.json",
        "sweep.md",
        "sweep.svg",
        "sweep.xlsx",
    ]
    rows = list(csv.DictReader(found["sweep.csv"].decode().splitlines()))
    assert [float(row["a.rate (t/h)"]) for row in rows] == pytest.approx(
        [20, 30, 40, 50, 60, 70, 80, 90, 100]
    )
    assert [row["requirements"] for row in rows] == ["NOT MET: 1"] * 4 + ["all met"] * 5
    drawn = ElementTree.fromstring(found["sweep.svg"])
    text = "".join(drawn.itertext())
    assert "All requirements are met from about 27.5 % to 50 %." in text
    assert "at least 55 t/h" in text
    assert main(["sweep", str(file), *over, "--into", str(tmp_path / "again")]) == 0
    assert contents(tmp_path / "again") == found


def test_a_grid_draws_its_region_and_names_the_limits(tmp_path: Path) -> None:
    file, into = plant(tmp_path), tmp_path / "out"
    over = ["--over", "s.cut 10 % to 50 %", "--over", "rock.rate 100 t/h to 300 t/h"]
    assert main(["sweep", str(file), *over, "--into", str(into), "--jobs", "1"]) == 0
    found = contents(into)
    assert sorted(found) == [
        "contours/a.rate.svg",
        "contours/b.rate.svg",
        *("sweep.csv", "sweep.json", "sweep.md", "sweep.xlsx"),
    ]
    drawn = ElementTree.fromstring(found["contours/b.rate.svg"])
    text = "".join(drawn.itertext())
    assert "a.rate >= 55 t/h: limit on this line" in text
    assert "at least 55 t/h" in text
    assert "all requirements are met here" in text
    paths = drawn.iter("{http://www.w3.org/2000/svg}path")
    assert any(node.get("fill") == "url(#slant)" for node in paths)


def test_uncertainty_prints_and_writes_what_it_found(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, into = plant(tmp_path), tmp_path / "out"
    arguments = ["uncertainty", str(file), "--samples", "100", "--jobs", "1", "--seed", "4"]
    assert main([*arguments, "--into", str(into)]) == 0
    shown = capsys.readouterr().out
    for part in ("CHANCE OF MEETING", "P10", "uniform, from 20 %, to 40 %", "seed 4", "Sobol"):
        assert part in shown
    found = contents(into)
    assert sorted(found) == [
        "causes.csv",
        "chances.csv",
        "ranking.svg",
        "samples.csv",
        "spread.csv",
        "uncertainty.json",
        "uncertainty.md",
    ]
    document = json.loads(found["uncertainty.json"])
    samples = list(csv.DictReader(found["samples.csv"].decode().splitlines()))
    assert len(samples) == 100 == document["samples"]
    met = sum(float(row["a.rate (t/h)"]) >= 55 for row in samples)
    assert document["chances"][0]["met"] == met
    for row in samples:
        share, rate = float(row["s.cut (%)"]), float(row["rock.rate (t/h)"])
        assert float(row["a.rate (t/h)"]) == pytest.approx(share / 100 * rate, rel=1e-6)
    assert "What causes the spread" in "".join(
        ElementTree.fromstring(found["ranking.svg"]).itertext()
    )
    assert main([*arguments, "--into", str(tmp_path / "again")]) == 0
    assert contents(tmp_path / "again") == found


def test_jobs_change_no_byte(tmp_path: Path) -> None:
    file = plant(tmp_path)
    for jobs in ("1", "2"):
        arguments = [
            "--samples",
            "600",
            "--no-ranking",
            "--jobs",
            jobs,
            "--into",
            str(tmp_path / jobs),
        ]
        assert main(["uncertainty", str(file), *arguments]) == 0
    assert contents(tmp_path / "1") == contents(tmp_path / "2")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["sweep", "{}", "--over", "s.cot 1 %, 2 %"], "E0403"),
        (["sweep", "{}", "--over", "s.cut 1 %, 2 %", "--result", "b.colour"], "E0209"),
        (["sweep", "{}", *["--over", "s.cut 1 %, 2 %"] * 3], "two as a grid"),
        (["sweep", "nowhere.hog", "--over", "s.cut 1 %, 2 %"], "there is no such file"),
        (["uncertainty", "nowhere.hog"], "there is no such file"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    file = plant(tmp_path)
    into = tmp_path / "out"
    code = main([part.format(file) for part in arguments] + ["--into", str(into)])
    assert code in (1, 2)
    assert said in capsys.readouterr().err
    assert not into.exists()


@pytest.mark.parametrize("more", [[], ["--over", "rock.rate 100 t/h, 200 t/h"]])
def test_a_plant_that_settles_at_no_step_is_told_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], more: list[str]
) -> None:
    text = small_plant(
        "  crusher cone: cones.high_speed(head: 1300 mm)"
        " { duty secondary; chamber coarse; css 12 mm }\n"
        "  screen top: screens.inclined(width: 2.1 m, length: 6 m) { deck top 12 mm }\n"
        "  rock -> top\n  top.over -> cone -> top\n  top.under -> product fine\n"
        "  require fine.rate >= 1 t/h\n"
    )
    over = ["--over", "cone.css 48 mm to 50 mm in 3", *more]
    arguments = [str(plant(tmp_path, text)), *over, "--into", str(tmp_path / "out")]
    assert main(["sweep", *arguments]) == 3
    shown = capsys.readouterr().out
    assert "NOT MET anywhere" in shown and "STEPS WITHOUT A BALANCE" in shown
    for name, content in contents(tmp_path / "out").items():
        if name.endswith(".svg"):
            ElementTree.fromstring(content)


def run_hoggin(*arguments: str) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "hoggin", *arguments],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        start_new_session=True,  # a group of its own, which a terminal would interrupt as one
    )


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_an_interrupted_command_goes_on_to_the_same_bytes(tmp_path: Path, jobs: str) -> None:
    """By a real signal, in the midst of a real study of a plant with a loop."""
    text = small_plant(
        "  crusher cone: cones.high_speed(head: 1300 mm)"
        " { duty secondary; chamber coarse; css normal(20 mm, 1 mm) }\n"
        "  screen top: screens.inclined(width: 2.1 m, length: 6 m) { deck top 30 mm }\n"
        "  rock -> top\n  top.over -> cone -> top\n  top.under -> product fine\n"
    ).replace("rate 200 t/h", "rate normal(200 t/h, 5 %)")
    assert "normal(200 t/h" in text
    file, into, whole = plant(tmp_path, text), tmp_path / "out", tmp_path / "whole"
    arguments = ["uncertainty", str(file), "--samples", "1200", "--jobs", jobs, "--into"]
    study = run_hoggin(*arguments, str(into))
    kept = into / NAME
    while study.poll() is None and not (kept.exists() and kept.read_bytes().count(b"\n") > 2):
        time.sleep(0.01)
    os.killpg(study.pid, signal.SIGINT)
    _, said = study.communicate()
    assert study.returncode == 130, said.decode()
    assert b"`--resume` continues it" in said
    assert b"Traceback" not in said
    assert [name for name in contents(into) if not name.startswith("PARTIAL_")] == [NAME]
    samples = list(csv.DictReader((into / "PARTIAL_samples.csv").read_text().splitlines()))
    done = [row for row in samples if row["balance"] == "yes"]
    assert len(samples) == 1200 and all(row["fine.rate (t/h)"] for row in done)
    assert "PARTIAL" in (into / "PARTIAL_uncertainty.md").read_text().splitlines()[0]
    so_far = json.loads((into / "PARTIAL_uncertainty.json").read_text())["cases"]
    assert run_hoggin(*arguments, str(into)).wait() == 2, "it is not begun anew unasked"
    # A plant that has changed is not gone on with.
    file.write_text(text.replace("css normal(20 mm, 1 mm)", "css normal(20 mm, 2 mm)"))
    assert run_hoggin(*arguments, str(into), "--resume").wait() == 2
    file.write_text(text)
    assert run_hoggin(*arguments, str(into), "--resume").wait() == 0
    assert run_hoggin(*arguments, str(whole)).wait() == 0
    assert contents(into) == contents(whole)
    in_all = json.loads((whole / "uncertainty.json").read_text())["cases"]
    assert len(done) <= so_far < in_all, "balanced, not planned"


def test_a_study_whose_process_is_killed_says_so_and_can_go_on(tmp_path: Path) -> None:
    """As a system short of memory does it: -9, in the midst of the work."""
    file, into = plant(tmp_path), tmp_path / "out"
    arguments = ["uncertainty", str(file), "--samples", "4000", "--jobs", "2", "--into", str(into)]
    study = run_hoggin(*arguments)
    children = Path(f"/proc/{study.pid}/task/{study.pid}/children")
    while study.poll() is None and not children.read_text().split():
        time.sleep(0.002)
    os.kill(int(children.read_text().split()[-1]), signal.SIGKILL)
    _, said = study.communicate(timeout=60)
    assert study.returncode == 2
    assert b"a process was ended from outside" in said and b"Traceback" not in said
    with pytest.raises(ProcessLookupError):
        os.killpg(study.pid, 0)
    assert run_hoggin(*arguments, "--resume").wait() == 0


def test_a_killed_study_takes_its_processes_along_and_goes_on_to_the_same_bytes(
    tmp_path: Path,
) -> None:
    """Every batch that was finished before is on the disk."""
    file, into, whole = plant(tmp_path), tmp_path / "out", tmp_path / "whole"
    arguments = ["uncertainty", str(file), "--samples", "4000", "--jobs", "2", "--into"]
    study = run_hoggin(*arguments, str(into))
    kept = into / NAME
    while study.poll() is None and not (kept.exists() and kept.read_bytes().count(b"\n") > 2):
        time.sleep(0.002)
    study.kill()
    _, said = study.communicate(timeout=60)  # its processes hold the other end until they end
    assert (study.returncode, said.count(b"Traceback")) == (-signal.SIGKILL, 0)
    assert kept.read_bytes().count(b"\n") > 2
    assert run_hoggin(*arguments, str(into), "--resume").wait() == 0
    assert run_hoggin(*arguments, str(whole)).wait() == 0
    assert contents(into) == contents(whole)


FEW_FILES = """
import os, resource, sys
resource.setrlimit(resource.RLIMIT_NOFILE, (int(sys.argv[1]),) * 2)
os.execv(sys.executable, [sys.executable, "-m", "hoggin", *sys.argv[2:]])
"""


@pytest.mark.parametrize("files", ["6", "9", "13"])
def test_too_few_file_handles_end_a_study_with_a_sentence(tmp_path: Path, files: str) -> None:
    into = tmp_path / "out"
    study = ["uncertainty", str(plant(tmp_path)), "--samples", "1200", "--no-ranking"]
    done = subprocess.run(
        [sys.executable, "-c", FEW_FILES, files, *study, "--jobs", "4", "--into", str(into)],
        capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 2 and done.stdout == ""
    *_, last = done.stderr.splitlines()
    assert last.startswith("hoggin: 3 processes can't be started: too many open files")
    assert "Traceback" not in done.stderr
    assert contents(into) == {}


def test_an_unfinished_study_of_another_build_is_not_gone_on_with(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = plant(tmp_path)
    before = opened(check_file(file)).digest
    assert opened(check_file(file)).digest == before
    monkeypatch.setattr("hoggin.studies.runner.opening.fingerprint", lambda: "another build")
    assert opened(check_file(file)).digest != before


def test_rows_of_a_table_are_balanced_one_by_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The rate of `a` is worked by hand: the feed's rate times the share."""
    file, into = plant(tmp_path), tmp_path / "out"
    rows = tmp_path / "rows.csv"
    rows.write_text("s.cut,rock.rate (kg/h)\n30 %,200000\n20,250000\n150,200000\n70 t/h,200000\n")
    asked = ["--rows", str(rows), "--jobs", "1", "--into", str(into)]
    assert main(["sweep", str(file), *asked]) == 0
    shown = capsys.readouterr().out
    assert "Of 4 rows: all requirements are met at 2; one or more is NOT MET at 1" in shown
    assert "1: a.rate >= 55 t/h: met at 2 of 4 rows, NOT MET at 1" in shown
    found = contents(into)
    assert sorted(found) == ["sweep.csv", "sweep.json", "sweep.md", "sweep.xlsx"]
    assert [main(["sweep", str(file), *asked, "--expect-met"]), contents(into)] == [4, found]
    table = list(csv.DictReader(found["sweep.csv"].decode().splitlines()))
    assert [row["a.rate (t/h)"] for row in table] == ["60", "50", "", "70"]
    assert [row["margin: a.rate >= 55 t/h (t/h)"] for row in table] == ["5", "-5", "", "15"]
    verdicts = ["all met", "NOT MET: 1", "no balance", "all met"]
    assert [row["requirements"] for row in table] == verdicts
    assert table[2]["why there is no balance"]


@pytest.mark.parametrize(
    ("table", "more", "words"),
    [
        ("rock.rate\n30 m\n", [], "rows.csv:2:1: `rock.rate` is a mass flow, not a length"),
        ("z.cut\n30\n", [], "rows.csv:1:1: the plant's file has no `z.cut`"),
        ("s.cut\n30\n", ["--over", "s.cut"], "give what to vary"),
        ("s.cut\n30\n", ["--case", "wet"], "no case `wet`"),
    ],
)
def test_rows_that_can_not_be_read_write_nothing(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    table: str,
    more: list[str],
    words: str,
) -> None:
    file, into = plant(tmp_path), tmp_path / "out"
    rows = tmp_path / "rows.csv"
    rows.write_text(table)
    assert main(["sweep", str(file), "--rows", str(rows), "--into", str(into), *more]) == 2
    assert words in capsys.readouterr().err
    assert not into.exists()


@pytest.mark.parametrize(
    ("command", "checks"),
    [
        (["balance"], 1),
        (["uncertainty", "--samples", "20", "--no-ranking"], 1),
        (["sweep", "--over", "rock.rate"], 1),  # left open by the file itself
        # Then with the setting free at both its ends, and from its middle.
        (["sweep", "--over", "granite.moisture 1 % to 3 % in 3"], 4),
    ],
)
def test_a_plant_is_checked_once_before_it_is_studied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: list[str], checks: int
) -> None:
    count = 0

    def counted(*arguments: Any, **options: Any) -> Checked:
        nonlocal count
        count += 1
        return checker.check(*arguments, **options)

    for place in ("hoggin.api.plant.check", "hoggin.studies.runner.opening.check"):
        monkeypatch.setattr(place, counted)
    monkeypatch.chdir(tmp_path)
    main([command[0], str(plant(tmp_path)), *command[1:]])
    assert count == checks
