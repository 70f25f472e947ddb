"""What a plant asks of plug-ins is a fact like any other: merged, listed, completed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.plugins.installing import PLANT, hoggin

pytestmark = pytest.mark.slow


def test_two_sides_that_change_a_check_and_a_rate_are_merged(sample: Path, tmp_path: Path) -> None:
    text = PLANT.read_text(encoding="utf-8")
    sides = {
        "base": text.replace("  checks { headroom }\n", ""),
        "ours": text,
        "theirs": text.replace("  checks { headroom }\n", "").replace("100 t/h", "90 t/h"),
    }
    for name, content in sides.items():
        (tmp_path / f"{name}.hog").write_text(content, encoding="utf-8")
    paths = [tmp_path / f"{name}.hog" for name in sides]
    done = hoggin("git-merge", *paths, "7", "plant.hog", installed=sample)
    assert done.returncode == 0, done.stderr
    merged = paths[1].read_text(encoding="utf-8")
    assert "checks { headroom }" in merged and "90 t/h" in merged


def test_the_facts_of_a_file_list_the_checks(sample: Path) -> None:
    done = hoggin("facts", PLANT, installed=sample)
    assert done.returncode == 0, done.stderr
    assert any("checks" in line and "headroom" in line for line in done.stdout.splitlines())


def test_a_regression_finds_a_warning_that_came(sample: Path, tmp_path: Path) -> None:
    plant = tmp_path / "plant.hog"
    text = PLANT.read_text(encoding="utf-8")
    plant.write_text(text.replace("rate 100 t/h", "rate 10 t/h"), encoding="utf-8")
    accept = ("--accept", "--reason", "first", "--by", "T", "--date", "2026-01-01")
    assert hoggin("regress", tmp_path, *accept, installed=sample).returncode == 0
    assert hoggin("regress", tmp_path, installed=sample).returncode == 0
    plant.write_text(text, encoding="utf-8")
    done = hoggin("regress", tmp_path, installed=sample)
    assert done.returncode == 5
    assert "headroom.low" in done.stdout
