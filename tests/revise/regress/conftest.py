"""A small project to check: a library, two plants that use it, and settings."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

ACCEPT = ("--accept", "--reason", "a test")
LIBRARY = """
template halving(share: 10 % to 90 % = 30 %) {
  in  rock
  out coarse
  out fine
  splitter s { out a share; out b rest }
  rock -> s
  s.a -> coarse
  s.b -> fine
}
"""
PLANT = """
use std.sieves
use "lib/halving.hog" as house
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
let flow = 100 t/h
plant "%NAME%" {
  sieves sieves.en_set2
  feed f { rock rock; rate flow; passing { 63 mm: 100 %, 20 mm: 40 %, 4 mm: 10 % } }
  section part: house.halving(share: 30 %)
  f -> part
  part.coarse -> product a
  part.fine -> product b
  require a.rate >= 20 t/h
}
"""


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test reads or fills the user's cache, nor records who runs it and when."""
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CONFIG_SYSTEM", os.devnull)
    monkeypatch.setenv("USER", "tester")
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1772442000")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "hoggin" / "regress"


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder `plants` of a repository, which is also where commands run."""
    (tmp_path / "repo" / ".git").mkdir(parents=True)
    folder = tmp_path / "repo" / "plants"
    (folder / "lib").mkdir(parents=True)
    (folder / "lib" / "halving.hog").write_text(LIBRARY, encoding="utf-8")
    for name in ("east", "west"):
        text = PLANT.replace("%NAME%", name)
        (folder / f"{name}.hog").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path / "repo")
    return folder


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
