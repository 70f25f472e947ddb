"""Hoggin as git's merge driver; real git merges, rebases and picks."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.main import main
from tests.repository import Driven

pytestmark = pytest.mark.slow

LIBRARY = """\
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
let opening = 20 mm
"""
PLANT = """\
use std.screens
use std.cones
use std.sieves
use "ours.hog" as ours
plant "Hill" {
  sieves sieves.quarry
  feed rock {
    rock ours.granite
    rate 200 t/h  # dry
    passing { 63 mm: 100 %, 20 mm: 50 %, 4 mm: 10 % }
  }
  screen sizing: screens.inclined(width: 1.8 m, length: 4.8 m) { deck top ours.opening square }
  crusher cone: cones.high_speed(head: 1300 mm) { css 16 mm; duty tertiary; chamber fine }
  rock -> sizing
  sizing.top.over -> cone
  cone -> product coarse
  sizing.under -> product fine
}
"""
LAST = "  sizing.under -> product fine\n"


class Merging(Driven):
    """A repository with the merge driver set up as the docs say."""

    def __init__(self, root: Path) -> None:
        super().__init__(root, "merge")
        self.git("config", "merge.hoggin.driver", "hoggin git-merge %O %A %B %L %P")
        self.git("config", "user.name", "Tester")
        self.git("config", "user.email", "tester@example.org")

    def run(self, *arguments: str) -> tuple[int, str]:
        done = self.driven(*arguments)
        assert "Traceback" not in done.stderr
        return done.returncode, done.stderr + done.stdout

    def sides(self, ours: dict[str, str], theirs: dict[str, str]) -> None:
        """Two branches from one commit; ours is checked out."""
        self.git("checkout", "--quiet", "-b", "theirs")
        self.commit(theirs)
        self.git("checkout", "--quiet", "main")
        self.commit(ours)

    def text(self, name: str = "plants/hill.hog") -> str:
        return (self.root / name).read_text()


@pytest.fixture
def repository(tmp_path: Path) -> Merging:
    (tmp_path / "site").mkdir()
    made = Merging(tmp_path / "site")
    made.commit({"plants/hill.hog": PLANT, "plants/ours.hog": LIBRARY})
    return made


def test_lines_that_both_add_at_one_place_are_no_conflict(repository: Merging) -> None:
    ours = PLANT.replace(LAST, LAST + "  require fine.rate >= 80 t/h\n")
    theirs = PLANT.replace(LAST, LAST + "  require coarse.rate >= 60 t/h\n")
    repository.sides({"plants/hill.hog": ours}, {"plants/hill.hog": theirs})
    code, _ = repository.run("merge", "theirs")
    assert code == 0
    for line in ("  require fine.rate >= 80 t/h\n", "  require coarse.rate >= 60 t/h\n"):
        assert repository.text().count(line) == 1


def test_one_side_puts_lines_in_order_and_the_other_changes_them(repository: Merging) -> None:
    lines = PLANT.splitlines(keepends=True)
    ours = "".join([*lines[:13], *sorted(lines[13:17]), *lines[17:]])
    theirs = PLANT.replace("cone -> product coarse", "cone -> product chips")
    repository.sides({"plants/hill.hog": ours}, {"plants/hill.hog": theirs})
    code, _ = repository.run("merge", "theirs")
    assert code == 0
    assert repository.text() == ours.replace("product coarse", "product chips")


def test_a_real_conflict_is_marked_and_all_else_is_merged(repository: Merging) -> None:
    ours = PLANT.replace("200 t/h", "220 t/h").replace("css 16", "css 18")
    theirs = PLANT.replace("200 t/h", "240 t/h").replace("1.8 m", "2.4 m")
    repository.sides({"plants/hill.hog": ours}, {"plants/hill.hog": theirs})
    code, said = repository.run("merge", "theirs")
    assert code == 1
    assert "conflict: rate of feed rock: 220 t/h on our side, 240 t/h on theirs" in said
    text = repository.text()
    assert (
        "<<<<<<< ours\n    rate 220 t/h  # dry\n=======\n    rate 240 t/h  # dry\n>>>>>>> theirs\n"
    ) in text
    assert "css 18" in text and "2.4 m" in text
    assert repository.git("diff", "--name-only", "--diff-filter=U") == "plants/hill.hog"


def test_a_merge_without_conflict_that_makes_no_plant_stops(repository: Merging) -> None:
    """One side takes a machine out, the other leads a new route to it."""
    ours = PLANT.replace("  sizing.top.over -> cone\n  cone -> product coarse\n", "").replace(
        "  crusher cone: cones.high_speed(head: 1300 mm) { css 16 mm; duty tertiary; "
        "chamber fine }\n",
        "  sizing.top.over -> product coarse\n",
    )
    theirs = PLANT.replace("sizing.under -> product fine", "sizing.under -> cone")
    repository.sides({"plants/hill.hog": ours}, {"plants/hill.hog": theirs})
    code, said = repository.run("merge", "theirs")
    assert code == 1
    assert "merged without a conflict, but the merged text has errors" in said
    assert "error E0201" in said and "`cone`" in said
    text = repository.text()
    assert "<<<<<<<" not in text
    assert "sizing.under -> cone" in text and "crusher cone" not in text


def test_the_merged_plant_is_checked_with_the_libraries_that_are_merged_as_well(
    repository: Merging,
) -> None:
    """They use what they add to the library, while we change another line of the plant: neither
    our library nor the work tree has it yet."""
    theirs = {
        "plants/hill.hog": PLANT.replace("deck top ours.opening", "deck top ours.wider"),
        "plants/ours.hog": LIBRARY + "let wider = 25 mm\n",
    }
    ours = {
        "plants/hill.hog": PLANT.replace("200 t/h", "210 t/h"),
        "plants/ours.hog": "let unused_here = 1 mm\n" + LIBRARY,
    }
    repository.sides(ours, theirs)
    code, said = repository.run("merge", "theirs")
    assert code == 0, said
    assert "ours.wider" in repository.text() and "210 t/h" in repository.text()
    assert "let wider" in repository.text("plants/ours.hog")
    assert main(["check", str(repository.root / "plants/hill.hog")]) == 0


def test_rebase_and_cherry_pick_merge_in_the_same_way(repository: Merging) -> None:
    ours = {"plants/hill.hog": PLANT.replace(LAST, LAST + "  require fine.rate >= 80 t/h\n")}
    theirs = {"plants/hill.hog": PLANT.replace(LAST, LAST + "  require coarse.rate >= 60 t/h\n")}
    repository.sides(ours, theirs)
    repository.git("branch", "copy")
    assert repository.run("cherry-pick", "theirs")[0] == 0
    picked = repository.text()
    repository.git("checkout", "--quiet", "copy")
    assert repository.run("rebase", "theirs")[0] == 0
    rebased = repository.text()
    assert sorted(picked.splitlines()) == sorted(rebased.splitlines())
    assert picked.count("require") == 2


def test_a_file_that_both_added_is_merged_too(repository: Merging) -> None:
    ours = {"lib.hog": "let a = 1 mm\nlet b = 2 mm\n"}
    theirs = {"lib.hog": "let c = 3 mm\nlet a = 1 mm\n"}
    repository.sides(ours, theirs)
    code, said = repository.run("merge", "theirs")
    assert code == 0, said
    assert sorted(repository.text("lib.hog").splitlines()) == [
        f"let {name} = {number} mm" for number, name in enumerate("abc", 1)
    ]


def test_a_file_that_can_not_be_read_is_merged_by_its_lines(repository: Merging) -> None:
    ours = PLANT.replace("200 t/h", "220 t/h")
    repository.sides({"plants/hill.hog": ours}, {"plants/hill.hog": PLANT.replace("{", "", 1)})
    code, said = repository.run("merge", "theirs")
    assert code == 1
    assert "merged by its lines" in said
    assert "220 t/h" in repository.text()


@pytest.mark.parametrize("name", ["-plant.hog", "--help.hog", "a plant's.hog"])
def test_any_file_name_works(repository: Merging, name: str) -> None:
    text = "let a = 1 mm\n"
    repository.commit({name: text})
    repository.sides({name: text + "let b = 2 mm\n"}, {name: text + "let c = 3 mm\n"})
    code, said = repository.run("merge", "theirs")
    assert code == 0, said
    assert len(repository.text(name).splitlines()) == 3


def test_what_can_not_be_read_or_written_is_a_sentence_and_changes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "ours.hog").write_text("let a = 1 mm\n")
    sides = [str(tmp_path / f"{name}.hog") for name in ("base", "ours", "theirs")]
    assert main(["git-merge", *sides, "7", "plants/hill.hog"]) == 2
    assert "`plants/hill.hog`: there is no such file" in capsys.readouterr().err
    assert (tmp_path / "ours.hog").read_text() == "let a = 1 mm\n"


def test_the_path_of_a_plant_may_look_like_an_option(tmp_path: Path) -> None:
    merging = Merging(tmp_path)
    names = ["--help.hog", "-hill.hog"]
    merging.commit({"ours.hog": LIBRARY, **dict.fromkeys(names, PLANT)})
    merging.sides(
        dict.fromkeys(names, PLANT.replace("rate 200", "rate 220")),
        dict.fromkeys(names, PLANT.replace("css 16 mm", "css 14 mm")),
    )
    code, said = merging.run("merge", "--quiet", "--no-edit", "theirs")
    assert code == 0, said
    for name in names:
        assert "rate 220 t/h" in merging.text(name) and "css 14 mm" in merging.text(name)
