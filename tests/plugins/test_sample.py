"""A package adds a model, a library, a backend and a check: all four from the command line."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.plugins.installing import PLANT, hoggin

pytestmark = pytest.mark.slow


def _results(plant: Path, sample: Path) -> dict[str, Any]:
    done = hoggin("balance", "--show", "json", plant, installed=sample)
    assert done.returncode == 0, done.stderr
    found: dict[str, Any] = json.loads(done.stdout[done.stdout.index("{") :])
    return found


def test_all_that_is_installed_is_listed(sample: Path) -> None:
    done = hoggin("plugins", installed=sample)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines() == [
        "process model `breakage.halving`    (hoggin-sample 1.2.3)",
        "library `sample`    (hoggin-sample 1.2.3)",
        "backend `machine_list`    (hoggin-sample 1.2.3)",
        "check `headroom`    (hoggin-sample 1.2.3)",
    ]


def test_its_model_breaks_rock_as_by_hand(sample: Path) -> None:
    """The 60 % above the gap of 22.4 mm is spread evenly below it: a quarter of it falls below
    5.6 mm, where there was nothing."""
    found = _results(PLANT, sample)
    sieves = found["sieves_mm"]
    into, out = (dict(zip(sieves, s["passing"], strict=True)) for s in found["streams"])
    assert (into[22.4], into[5.6]) == pytest.approx((0.4, 0.0))
    assert (out[22.4], out[5.6]) == pytest.approx((1.0, 0.6 / 4))


def test_its_check_warns_with_a_code_of_its_own(sample: Path) -> None:
    found = _results(PLANT, sample)
    (warning,) = found["warnings"]
    assert (warning["code"], warning["subject"]) == ("headroom.low", "mill")
    assert warning["line"] == 13
    done = hoggin("explain", "headroom.low", installed=sample)
    assert "check `headroom` of hoggin-sample 1.2.3" in done.stdout
    assert "choose a larger machine" in done.stdout


def test_its_backend_is_written_where_it_is_asked_for(sample: Path, tmp_path: Path) -> None:
    plain, both = tmp_path / "plain", tmp_path / "both"
    hoggin("issue", "--into", plain, PLANT, installed=sample)
    hoggin("issue", "--with", "machine_list", "--into", both, PLANT, installed=sample)
    assert (both / "machine_list" / "machines.txt").read_text() == "mill: 100.0 t/h\n"
    own = {p.relative_to(plain) for p in plain.rglob("*") if p.is_file()}
    added = {p.relative_to(both) for p in both.rglob("*") if p.is_file()} - own
    assert added == {Path("machine_list/machines.txt")}


def test_a_backend_that_is_not_installed_is_named(sample: Path, tmp_path: Path) -> None:
    into = tmp_path / "out"
    done = hoggin("issue", "--with", "machine_lists", "--into", into, PLANT, installed=sample)
    assert done.returncode == 2
    assert "no installed package has the backend `machine_lists`" in done.stderr
    assert "did you mean `machine_list`?" in done.stderr
    assert not into.exists()


def test_its_classes_are_listed_with_the_others(sample: Path) -> None:
    done = hoggin("classes", "halver", installed=sample)
    assert "crusher crushers.halver    (use sample.crushers)" in done.stdout


def test_results_say_which_packages_made_them(sample: Path, tmp_path: Path) -> None:
    assert _results(PLANT, sample)["provenance"]["plugins"] == [
        {"name": "hoggin-sample", "version": "1.2.3"}
    ]
    without = tmp_path / "plain.hog"
    text = PLANT.read_text(encoding="utf-8").replace("  checks { headroom }\n", "")
    without.write_text(
        text.replace("use sample.crushers", "use std.feeders").replace(
            "crusher mill: crushers.halver(gap: 22.4 mm)", "feeder mill: feeders.pan(width: 900 mm)"
        ),
        encoding="utf-8",
    )
    assert _results(without, sample)["provenance"]["plugins"] == []


def test_compare_shows_a_check_that_is_asked_for_no_more(sample: Path, tmp_path: Path) -> None:
    other = tmp_path / "plant.hog"
    text = PLANT.read_text(encoding="utf-8").replace("  checks { headroom }\n", "")
    other.write_text(text, encoding="utf-8")
    done = hoggin("compare", "--expect-same", PLANT, other, installed=sample)
    assert done.returncode == 5
    assert "checks" in done.stdout and "headroom" in done.stdout
    assert hoggin("compare", "--expect-same", other, other, installed=sample).returncode == 0


def test_compare_shows_another_version_of_a_package(sample: Path, tmp_path: Path) -> None:
    newer = tmp_path / "newer"
    shutil.copytree(sample, newer)
    (described,) = newer.glob("hoggin_sample-*.dist-info")
    metadata = described / "METADATA"
    metadata.write_text(metadata.read_text().replace("Version: 1.2.3", "Version: 1.3"))
    for name, installed in (("a", sample), ("b", newer)):
        into = tmp_path / name
        assert hoggin("issue", "--into", into, PLANT, installed=installed).returncode == 0
    done = hoggin("compare", tmp_path / "a/results.json", tmp_path / "b/results.json")
    assert "plug-in hoggin-sample" in done.stdout
    assert "1.2.3" in done.stdout and "1.3" in done.stdout


def test_what_is_kept_between_runs_knows_the_packages_and_their_code(
    sample: Path, tmp_path: Path
) -> None:
    def fingerprint(installed: Path | None) -> str:
        paths = [os.environ.get("PYTHONPATH", ""), str(installed or "")]
        return subprocess.run(
            [sys.executable, "-c", "from hoggin.build import fingerprint; print(fingerprint())"],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, paths))},
        ).stdout

    changed = tmp_path / "changed"
    shutil.copytree(sample, changed)
    model = changed / "hoggin_sample" / "halving.py"
    model.write_text(model.read_text() + "\n# another line\n")
    assert len({fingerprint(None), fingerprint(sample), fingerprint(changed)}) == 3


def test_without_the_package_the_plant_says_what_is_missing() -> None:
    done = hoggin("check", PLANT)
    assert done.returncode == 1
    assert "no installed package has the library `sample`" in done.stderr
    assert "no installed package has the check `headroom`" in done.stderr


@pytest.mark.parametrize("command", ["check", "balance"])
def test_a_plant_without_plug_ins_reads_no_entry_points(command: str) -> None:
    script = (
        "import sys, importlib.metadata as m\n"
        "def never(*_, **__): raise SystemExit('entry points were read')\n"
        "m.entry_points = never\n"
        "from hoggin.commands.main import main\n"
        f"sys.exit(main([{command!r}, 'examples/quarry.hog']))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False, cwd=_ROOT
    )
    assert "entry points" not in done.stderr
    assert done.returncode in (0, 4), done.stderr


_ROOT = Path(__file__).parents[2]
