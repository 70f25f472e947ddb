"""What a build that runs without Python is made of, checked against what the package needs. No
build is made here: `.ci/standalone` makes one, and `.ci/alone/try.py` tries it."""

from __future__ import annotations

import json
import runpy
import tarfile
import zipfile
from pathlib import Path
from typing import Any

import pytest

from hoggin.commands.command_line import command_parser
from tests.packaging.conftest import run_installed

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
ALONE = ROOT / ".ci" / "alone"
LISTS = """
import json; sys.path.insert(0, {alone!r}); import contents
print(json.dumps({{
    "own": contents.own_files(), "data": contents.data(), "libraries": contents.libraries(),
    "modules": contents.modules(), "notices": contents.notices_text([]),
}}))
"""
# Runs commands, and prints every file that is opened where packages are installed.
OPENED = """
opened = set(); sys.addaudithook(lambda event, args: event == 'open' and opened.add(str(args[0])))
from hoggin.commands.main import main
for line in {lines!r}: assert main(line.split()) == 0, line
import hoggin.editor.server
print(*(f'OPENED {{path}}' for path in sorted(opened)), sep=chr(10))
"""
LINES = ("issue plant.hog", "report plant.hog", "design free.hog --starts 8 --jobs 1")
FREE = ("css 28 mm", "css free(24 mm to 34 mm)")


@pytest.fixture(scope="session")
def lists(installed: Path) -> dict[str, Any]:
    """The lists of the build, of the package that is installed in a folder."""
    made = run_installed(installed, LISTS.format(alone=str(ALONE)))
    found: dict[str, Any] = json.loads(made.stdout)
    return found


def test_every_file_of_the_wheel_is_in_the_build(wheel: Path, lists: dict[str, Any]) -> None:
    with zipfile.ZipFile(wheel) as opened:
        names = {name for name in opened.namelist() if ".dist-info/" not in name}
    assert {f"{folder}/{Path(path).name}" for path, folder in lists["own"]} == names
    modules = {name.removesuffix(".py").removesuffix("/__init__") for name in names}
    assert {name.replace("/", ".") for name in modules if name.isidentifier()} <= set(
        lists["modules"]
    )


def test_every_file_that_commands_open_is_in_the_build(
    installed: Path, lists: dict[str, Any], tmp_path: Path
) -> None:
    """Of those that are not modules, which PyInstaller finds."""
    example = ROOT / "examples" / "cookbook" / "closed_one_screen.hog"
    plant = example.read_text(encoding="utf-8")
    assert FREE[0] in plant
    (tmp_path / "plant.hog").write_text(plant, encoding="utf-8")
    (tmp_path / "free.hog").write_text(plant.replace(*FREE), encoding="utf-8")
    run = run_installed(installed, OPENED.format(lines=LINES), tmp_path)
    opened = [line.split(" ", 1)[1] for line in run.stdout.splitlines() if "OPENED" in line]
    places = ("site-packages", str(installed))
    modules = (".py", ".pyc", ".pth")
    read = {path for path in opened if any(map(path.__contains__, places))}
    read = {path for path in read if Path(path).is_file() and not path.endswith(modules)}
    read = {path for path in read if ".dist-info" not in path}  # of all that is installed here
    assert any("sobol" in path for path in read)  # which scipy reads, and a build once lacked
    shipped = {path for kind in ("own", "data", "libraries") for path, _ in lists[kind]}
    assert read <= shipped


def test_libraries_that_are_loaded_by_their_path_are_in_the_build(lists: dict[str, Any]) -> None:
    names = {Path(path).name.partition(".")[0] for path, _ in lists["libraries"]}
    assert {"libmini_racer", "_typst"} <= names
    assert "py_mini_racer/icudtl.dat" in {
        f"{folder}/{Path(path).name}" for path, folder in lists["data"]
    }


def test_the_notices_of_a_build_have_the_licence_of_each_package(lists: dict[str, Any]) -> None:
    text = lists["notices"]
    for words in ("Eclipse Public License", "PYTHON SOFTWARE FOUNDATION LICENSE", "V8 project"):
        assert words in text
    for name in ("numpy", "scipy", "pydantic", "fontpkg-arimo", "pygls", "openpyxl"):
        assert f"\n{name} " in text


def test_every_command_is_tried_where_there_is_no_python() -> None:
    tried = runpy.run_path(str(ALONE / "try.py"))
    words = {word for line in tried["LINES"] for word in line.replace("'", "").split()}
    commands = {name for name, _ in command_parser().commands()}
    assert commands - words - set(tried["SERVING"]) == set()


@pytest.mark.parametrize("name", ["made.tar.gz", "made.zip"])
def test_an_archive_has_the_same_bytes_for_the_same_files(name: str, tmp_path: Path) -> None:
    pack = runpy.run_path(str(ALONE / "pack.py"))["pack_zip" if "zip" in name else "pack_tar"]
    for place in ("first", "second"):
        folder = tmp_path / place / "hoggin"
        folder.mkdir(parents=True)
        (folder / "hoggin").write_text("a program")
        (folder / "hoggin").chmod(0o755 if place == "first" else 0o700)
        pack(folder, tmp_path / place / name, 1_700_000_000)
    assert (tmp_path / "first" / name).read_bytes() == (tmp_path / "second" / name).read_bytes()
    if name.endswith(".tar.gz"):
        with tarfile.open(tmp_path / "first" / name) as opened:
            assert opened.getmember("hoggin/hoggin").mode == 0o755
