"""The cache: the same is not balanced again, and nothing that changed is taken for the same."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import hoggin.balancing
import hoggin.build
import hoggin.world
from hoggin.check.checker import Checked
from hoggin.commands.main import main
from hoggin.revise.regress.cache import Cache, open_cache
from hoggin.revise.regress.varied import Varied

from .conftest import ACCEPT, LIBRARY, PLANT, edit


@pytest.fixture
def balanced(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The titles of the plants that are balanced, as they are."""
    titles: list[str] = []
    real = hoggin.balancing.rated

    def noted(checked: Checked) -> object:
        assert checked.plant is not None
        titles.append(checked.plant.title)
        return real(checked)

    monkeypatch.setattr(hoggin.balancing, "rated", noted)
    return titles


@pytest.fixture(autouse=True)
def own_build() -> Iterator[None]:
    """No test leaves behind a hash of a compiler that it changed."""
    yield
    _forget_the_build()


def _forget_the_build() -> None:
    hoggin.build.build.cache_clear()
    hoggin.build.fingerprint.cache_clear()


def _run(*more: str) -> int:
    return main(["regress", "plants", "--jobs", "1", *more])


@pytest.mark.slow
def test_what_did_not_change_is_not_balanced_again(project: Path, balanced: list[str]) -> None:
    assert _run(*ACCEPT) == 0
    assert balanced == ["east", "west"]
    assert _run() == 0
    assert balanced == ["east", "west"]
    edit(project / "west.hog", "share: 30 %", "share: 31 %")
    assert _run() == 5
    assert balanced == ["east", "west", "west"]


@pytest.mark.usefixtures("project")
def test_no_cache_balances_all_and_keeps_nothing(balanced: list[str], own_cache: Path) -> None:
    assert _run("--no-cache") == _run("--no-cache") == 5
    assert balanced == ["east", "west"] * 2
    assert not own_cache.exists()


@pytest.mark.slow
def test_two_copies_of_a_plant_are_one_entry_but_not_with_another_library(
    project: Path, balanced: list[str]
) -> None:
    """By content: another clone of the repository finds what the first has measured."""
    assert _run() == 5
    shutil.copytree(project.parent, project.parents[1] / "clone")
    os.chdir(project.parents[1] / "clone")
    assert _run() == 5
    assert balanced == ["east", "west"]
    edit(Path("plants/lib/halving.hog"), "= 30 %", "= 40 %")
    assert _run() == 5
    assert balanced == ["east", "west"] * 2


def _new_library_text(project: Path, _patch: pytest.MonkeyPatch) -> None:
    edit(project / "lib" / "halving.hog", "out a share; out b rest", "out b share; out a rest")


def _library_through_a_link(project: Path, _patch: pytest.MonkeyPatch) -> None:
    """The link leads elsewhere now; both texts were there all along."""
    library = project / "lib" / "halving.hog"
    other = project / "lib" / "other.hog"
    other.write_text(LIBRARY.replace("out a share", "out a share / 2"), encoding="utf-8")
    library.unlink()
    library.symlink_to(other)


def _another_standard_library(project: Path, patch: pytest.MonkeyPatch) -> None:
    copy = project.parents[1] / "stdlib"
    shutil.copytree(hoggin.world.standard_library(), copy)
    with (copy / "sieves.hog").open("a", encoding="utf-8") as file:
        file.write("\n# a word more\n")
    patch.setattr(hoggin.world, "standard_library", lambda: copy)


def _another_compiler(project: Path, patch: pytest.MonkeyPatch) -> None:
    """One comment more in the solver, under the same version."""
    copy = project.parents[1] / "hoggin"
    shutil.copytree(Path(hoggin.build.__file__).parent, copy)
    with (copy / "balance" / "solver.py").open("a", encoding="utf-8") as file:
        file.write("# a word more\n")
    patch.setattr(hoggin.build, "__file__", str(copy / "build.py"))


def _another_numpy(_project: Path, patch: pytest.MonkeyPatch) -> None:
    versions = [v.replace("numpy ", "numpy 1") for v in hoggin.build._versions()]
    assert versions != hoggin.build._versions()
    patch.setattr(hoggin.build, "_versions", lambda: versions)


def _another_main_text(project: Path, _patch: pytest.MonkeyPatch) -> None:
    edit(project / "east.hog", 'plant "east"', 'plant  "east"')


def _another_root(project: Path, _patch: pytest.MonkeyPatch) -> None:
    """Without a repository around it the plant's own folder is the root: its names differ."""
    (project.parent / ".git").rmdir()


@pytest.mark.slow
@pytest.mark.parametrize(
    "change",
    [
        _new_library_text,
        _library_through_a_link,
        _another_standard_library,
        _another_compiler,
        _another_numpy,
        _another_main_text,
        _another_root,
    ],
)
def test_any_change_of_what_it_was_made_from_is_balanced_anew(
    project: Path,
    balanced: list[str],
    monkeypatch: pytest.MonkeyPatch,
    change: Callable[[Path, pytest.MonkeyPatch], None],
) -> None:
    _run()
    assert balanced.count("east") == 1
    change(project, monkeypatch)
    _forget_the_build()
    _run()
    assert balanced.count("east") == 2
    _run()
    assert balanced.count("east") == 2


def test_a_library_that_is_gone_is_an_error_though_the_plant_was_known(project: Path) -> None:
    assert _run(*ACCEPT) == 0
    (project / "lib" / "halving.hog").unlink()
    assert _run() == 1


@pytest.mark.slow
def test_no_walk_of_edits_gives_other_results_than_without_a_cache(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Sources go back and forth between texts, as branches do; every run is compared with one
    that keeps nothing."""
    library = project / "lib" / "halving.hog"
    texts: dict[Path, list[str]] = {
        library: [LIBRARY, LIBRARY.replace("30 %", "45 %"), LIBRARY.replace("a share", "b share")],
        project / "east.hog": [
            PLANT,
            PLANT.replace("share: 30 %", ""),
            PLANT.replace("100 t/h", "90 t/h"),
            PLANT.replace("lib/halving", "lib/second"),
        ],
        project / "lib" / "second.hog": [LIBRARY, LIBRARY.replace("30 %", "60 %")],
    }
    texts[library][2] = LIBRARY.replace("out a share; out b rest", "out b share; out a rest")
    (project / "west.hog").unlink()
    for path, choices in texts.items():
        path.write_text(choices[0], encoding="utf-8")
    _run(*ACCEPT)
    pick = random.Random(5)
    told = set()
    for _ in range(40):
        path = pick.choice(list(texts))
        path.write_text(pick.choice(texts[path]), encoding="utf-8")
        capsys.readouterr()
        with_cache = (_run(), capsys.readouterr().out.partition("unchanged")[0][:-3])
        without = (_run("--no-cache"), capsys.readouterr().out.partition("unchanged")[0][:-3])
        assert with_cache == without
        told.add(without[1])
    assert len(told) > 5


@pytest.mark.slow
@pytest.mark.usefixtures("project")
def test_a_damaged_entry_is_made_anew(balanced: list[str], own_cache: Path) -> None:
    _run()
    for number, entry in enumerate(sorted(own_cache.iterdir())):
        data = entry.read_bytes()
        broken = [data[:-20], b"", data.replace(b"30", b"31"), b"{}", data + b" "][number % 5]
        entry.write_bytes(broken)
    _run()
    assert balanced == ["east", "west"] * 2
    _run()
    assert balanced == ["east", "west"] * 2


@pytest.mark.slow
@pytest.mark.usefixtures("project")
def test_an_entry_that_is_whole_but_of_another_shape_is_made_anew(
    own_cache: Path, balanced: list[str]
) -> None:
    _run()
    cache = open_cache()
    for entry in own_cache.iterdir():
        cache._write(entry.name, b'{"steps": [{"written": 3}], "title": []}')
    assert _run() == 5
    assert balanced == ["east", "west"] * 2


@pytest.mark.usefixtures("project")
def test_a_folder_that_may_not_be_written_is_no_error(
    own_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the system refuses it: root, who runs CI, could write anywhere."""

    def refused(**_: object) -> tuple[int, str]:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("tempfile.mkstemp", refused)
    assert _run() == 5
    assert list(own_cache.iterdir()) == []


@pytest.mark.usefixtures("project")
@pytest.mark.parametrize("in_the_way", ["hoggin", "hoggin/regress"])
def test_a_cache_that_can_not_be_is_no_error(own_cache: Path, in_the_way: str) -> None:
    path = own_cache.parents[1] / in_the_way
    path.parent.mkdir(parents=True)
    path.write_text("a file in the way")
    assert _run(*ACCEPT) == 0
    assert _run() == 0


def test_the_longest_unused_go_first_and_drafts_left_behind(tmp_path: Path) -> None:
    for age, name in enumerate(["new", "middle", "old"]):
        (tmp_path / name).write_bytes(b"x" * 100)
        os.utime(tmp_path / name, (1e9 - age, 1e9 - age))
    (tmp_path / ".draft-left").write_bytes(b"x")
    os.utime(tmp_path / ".draft-left", (1e9, 1e9))
    (tmp_path / ".draft-in-use").write_bytes(b"x")
    Cache(tmp_path).prune(most_bytes=210)
    assert {path.name for path in tmp_path.iterdir()} == {"new", "middle", ".draft-in-use"}


@pytest.mark.slow
def test_a_grids_value_is_part_of_the_key(project: Path, balanced: list[str]) -> None:
    settings = project / "regression.toml"
    grid = '[[grid]]\nplant = "east.hog"\nvary.flow = ["%s t/h"]\n'
    settings.write_text(grid % 80, encoding="utf-8")
    _run()
    settings.write_text(grid % 90, encoding="utf-8")
    _run()
    assert balanced.count("east") == 3
    cache = open_cache()
    assert cache.get(project / "east.hog", (Varied("flow", "91 t/h", "x", 3),)) is None
