"""Studies that are ended from outside, as real processes: what is finished is kept and marked, and
goes on to the bytes of a study that was not interrupted."""

from __future__ import annotations

import csv
import os
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import pytest

from hoggin.studies.runner.keeping import NAME
from hoggin.studies.unfinished import NOT_COMPUTED
from tests.commands.test_studies import contents
from tests.studies.design.plants import crushing

pytestmark = pytest.mark.slow

QUARRY = Path(__file__).parents[2] / "examples" / "quarry.hog"
GRAVEL = QUARRY.with_name("gravel.hog")
DESIGN = crushing(
    "free(20 mm to 32 mm)",
    "free(30 mm to 50 mm)",
    "  maximize sand.rate\n  minimize plant.power\n  require cone.load <= 90 %\n",
)
ONE_AIM = DESIGN.replace("  minimize plant.power\n", "")
assert ONE_AIM != DESIGN
ROWS = "name;second.top;cone.css (mm)\n" + "".join(
    f"trial {n};{20 + n // 4} mm;{12 + n % 4},5\n" for n in range(48)
)


def begun(arguments: Sequence[str], folder: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "hoggin", *arguments],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )


def broken_off(
    arguments: Sequence[str], folder: Path, kept: Path, sign: int, batches: int = 3
) -> bytes:
    """What a study says that is ended in its midst: after some batches have been kept."""
    study = begun(arguments, folder)
    while study.poll() is None and not (kept.exists() and kept.read_bytes().count(b"\n") > batches):
        time.sleep(0.01)
    assert study.poll() is None, "it was over before it could be ended"
    os.kill(study.pid, sign)
    _, said = study.communicate(timeout=120)
    assert study.returncode == (130 if sign != signal.SIGKILL else -sign), said.decode()
    assert b"Traceback" not in said
    return said


def whole(arguments: Sequence[str], folder: Path, code: int = 0) -> bytes:
    study = begun(arguments, folder)
    printed, said = study.communicate(timeout=300)
    assert study.returncode == code, said.decode()
    return printed


SEARCH = ["design", "hill.hog", "--starts", "8", "--jobs", "1"]
SEARCH += ["--as", "json", "--into", "found.hog"]


@pytest.mark.parametrize(
    ("text", "signs"),
    [(DESIGN, [signal.SIGINT]), (ONE_AIM, [signal.SIGTERM, signal.SIGKILL])],
    ids=["two aims", "one aim"],
)
def test_a_design_goes_on_to_the_same_bytes(text: str, signs: list[int], tmp_path: Path) -> None:
    once = tmp_path / "once"
    once.mkdir()
    (once / "hill.hog").write_text(text)
    printed = whole(SEARCH, once)
    for sign in signs:
        again = tmp_path / f"again {sign}"
        again.mkdir()
        (again / "hill.hog").write_text(text)
        assert goes_on(again, sign) == printed
        assert contents(again) == contents(once), "and nothing of the interrupted one is left"


def goes_on(again: Path, sign: int) -> bytes:
    """What a design prints that is ended and gone on with."""
    kept = again / "out" / "hill" / "design" / NAME
    said = broken_off(SEARCH, again, kept, sign)
    part = kept.with_name("PARTIAL_cases.csv")
    if sign != signal.SIGKILL:
        assert b"`--resume` continues it" in said
        rows = list(csv.DictReader(part.read_text().splitlines()))
        assert rows[0]["all requirements met"] == "yes" and float(rows[0]["cone.css (mm)"]) >= 20
    assert not (again / "found.hog").exists()
    whole(SEARCH, again, code=2)  # it is not begun anew unasked
    return whole([*SEARCH, "--resume"], again)


def test_another_design_is_not_gone_on_with(tmp_path: Path) -> None:
    (tmp_path / "hill.hog").write_text(DESIGN)
    arguments = ["design", "hill.hog", "--starts", "8", "--jobs", "1"]
    kept = tmp_path / "out" / "hill" / "design" / NAME
    broken_off(arguments, tmp_path, kept, signal.SIGTERM)
    for more in (["--seed", "3"], ["--starts", "16"]):
        whole([*arguments, *more, "--resume"], tmp_path, code=2)
    (tmp_path / "hill.hog").write_text(DESIGN.replace("90 %", "91 %"))
    whole([*arguments, "--resume"], tmp_path, code=2)


def test_a_table_of_rows_goes_on_to_the_same_bytes(tmp_path: Path) -> None:
    (tmp_path / "cases.csv").write_text(ROWS)
    arguments = ["sweep", str(GRAVEL), "--rows", "cases.csv", "--jobs", "1", "--into"]
    kept = tmp_path / "again" / NAME
    broken_off([*arguments, "again"], tmp_path, kept, signal.SIGTERM)
    rows = list(csv.DictReader((kept.parent / "PARTIAL_sweep.csv").read_text().splitlines()))
    assert [row["name"] for row in rows] == [f"trial {n}" for n in range(48)]
    reasons = [row["why there is no balance"] for row in rows]
    assert reasons[0] == "" and reasons[-1] == NOT_COMPUTED
    assert [name for name in contents(kept.parent) if "PARTIAL" not in name] == [NAME]
    assert whole([*arguments, "again", "--resume"], tmp_path)
    assert whole([*arguments, "once"], tmp_path)
    assert contents(tmp_path / "again") == contents(tmp_path / "once")


def test_a_grid_with_words_goes_on_to_the_same_bytes(tmp_path: Path) -> None:
    arguments = ["sweep", str(GRAVEL), "--over", "cone.css 12 mm to 16 mm in 200"]
    arguments += ["--over", "cone.chamber medium, fine, coarse", "--jobs", "1", "--into"]
    kept = tmp_path / "again" / NAME
    broken_off([*arguments, "again"], tmp_path, kept, signal.SIGTERM, batches=1)
    assert whole([*arguments, "again", "--resume"], tmp_path)
    assert whole([*arguments, "once"], tmp_path)
    assert contents(tmp_path / "again") == contents(tmp_path / "once")


LIMITED = """
import os, resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]),) * 2)
os.execv(sys.executable, [sys.executable, "-m", "hoggin", *sys.argv[2:]])
"""


def test_a_full_disk_ends_a_study_and_keeps_what_is_finished(tmp_path: Path) -> None:
    """A limit to the size of a file, as a full disk: writing fails in the midst of a line."""
    (tmp_path / "cases.csv").write_text(ROWS)
    asked = ["sweep", str(GRAVEL), "--rows", "cases.csv", "--jobs", "1", "--into", "out"]
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, "4000", *asked],
        cwd=tmp_path, capture_output=True, check=False, timeout=300,
    )  # fmt: skip
    assert done.returncode == 2, done.stderr
    assert b"can't be written: file too large" in done.stderr
    assert b"`--resume` continues it" in done.stderr and b"Traceback" not in done.stderr
    assert list(contents(tmp_path / "out"))[-1] == NAME
    whole([*asked, "--resume"], tmp_path)
    whole([*asked[:-1], "once"], tmp_path)
    assert contents(tmp_path / "out") == contents(tmp_path / "once")


def test_a_lost_worker_leaves_what_is_finished(tmp_path: Path) -> None:
    arguments = ["sweep", str(QUARRY), "--over", "secondary.css 36 mm to 44 mm in 1000"]
    arguments += [
        "--over",
        "shot_rock.rate 380 t/h to 440 t/h in 3",
        "--jobs",
        "2",
        "--into",
        "out",
    ]
    study = begun(arguments, tmp_path)
    kept = tmp_path / "out" / NAME
    children = Path(f"/proc/{study.pid}/task/{study.pid}/children")
    while study.poll() is None and not (kept.exists() and kept.read_bytes().count(b"\n") > 1):
        time.sleep(0.01)
    os.kill(int(children.read_text().split()[-1]), signal.SIGKILL)
    _, said = study.communicate(timeout=120)
    assert study.returncode == 2 and b"ended from outside" in said, said.decode()
    rows = list(csv.DictReader((tmp_path / "out/PARTIAL_sweep.csv").read_text().splitlines()))
    computed = sum(row["why there is no balance"] != NOT_COMPUTED for row in rows)
    assert len(rows) == 3000 and 0 < computed < 3000


def test_two_commands_do_not_write_one_study(tmp_path: Path) -> None:
    (tmp_path / "cases.csv").write_text(ROWS)
    arguments = ["sweep", str(GRAVEL), "--rows", "cases.csv", "--jobs", "1", "--into", "out"]
    study, kept = begun(arguments, tmp_path), tmp_path / "out" / NAME
    while study.poll() is None and not kept.exists():
        time.sleep(0.01)
    second = begun([*arguments, "--resume"], tmp_path)
    _, said = second.communicate(timeout=60)
    study.kill()
    study.communicate()
    assert second.returncode == 2 and b"another command is working on" in said
