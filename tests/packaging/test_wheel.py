"""The wheel has all that the package needs and nothing else, and works by itself, beside nothing
of the clone."""

from __future__ import annotations

import subprocess
import tomllib
import zipfile
from email import message_from_string
from pathlib import Path

import pytest

import hoggin.build
from tests.packaging.conftest import build_wheel, run_installed

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
# What of the repository is where in the wheel.
PLACES = {
    "compiler/hoggin/": "hoggin/",
    "stdlib/": "hoggin/stdlib/",
    "examples/": "hoggin/examples/",
    "docs/": "hoggin/docs/",
    "editor_support/helix/": "hoggin/editor_support/helix/",
    "editor_support/vim/": "hoggin/editor_support/vim/",
}
EXTENSION = "hoggin/editor/hoggin.vsix"  # only in a release, as it takes npm to build it


def test_it_has_the_files_of_the_repository_at_their_places_and_no_others(wheel: Path) -> None:
    listing = ["git", "-C", str(ROOT), "ls-files", "--cached", "--others", "--exclude-standard"]
    tracked = subprocess.run(listing, capture_output=True, text=True, check=True).stdout
    expected = {
        place + name.removeprefix(source)
        for name in tracked.splitlines()
        for source, place in PLACES.items()
        if name.startswith(source) and (ROOT / name).is_file()
    }
    names = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    assert names - {EXTENSION} == expected


def test_its_metadata_is_complete(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as opened:
        names = opened.namelist()
        (metadata,) = (name for name in names if name.endswith(".dist-info/METADATA"))
        said = message_from_string(opened.read(metadata).decode())
    assert said["License-Expression"] == "Apache-2.0"
    licences = {name.rpartition("/")[2] for name in names if ".dist-info/licenses/" in name}
    assert licences == {Path(name).name for name in PROJECT["license-files"]}
    assert licences >= {"LICENSE", "NOTICE"}
    assert said["Keywords"]
    assert str(said.get_payload()).startswith("# Hoggin")


@pytest.mark.slow
def test_it_is_the_same_build_as_these_sources(installed: Path) -> None:
    """So its workers may serve a study that is run from a clone."""
    run = run_installed(installed, "from hoggin.build import build; print(build())")
    assert run.stdout.strip() == hoggin.build.build()


@pytest.mark.slow
def test_it_issues_a_plant_with_its_own_library(installed: Path, tmp_path: Path) -> None:
    plant = tmp_path / "plant.hog"
    plant.write_text((ROOT / "examples/quarry.hog").read_text(encoding="utf-8"), encoding="utf-8")
    own = tmp_path / "own"
    script = (
        "import sys; import hoggin; "
        "from hoggin.world import standard_library; "
        "print(hoggin.__file__); print(standard_library()); "
        "from hoggin.commands.main import main; "
        f"main(['example', 'north', '--into', {str(own)!r}]); "
        f"main(['editor', 'install', '--into', {str(own)!r}]); "
        f"main(['repository', {str(own)!r}]); "
        f"sys.exit(main(['issue', {str(plant)!r}, '--into', {str(tmp_path / 'out')!r}]))"
    )
    package, library = run_installed(installed, script).stdout.splitlines()[:2]
    assert package.startswith(str(installed)) and library.startswith(str(installed))
    assert (tmp_path / "out" / "flowsheet.png").exists()
    for name in ("closed_circuit.hog", "vim/syntax/hoggin.vim", ".github/workflows/plants.yml"):
        assert (own / name).is_file()


@pytest.mark.slow
def test_built_twice_it_has_the_same_bytes(wheel: Path, tmp_path: Path) -> None:
    assert build_wheel(tmp_path).read_bytes() == wheel.read_bytes()
