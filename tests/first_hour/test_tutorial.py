"""The tutorial as its reader meets it: typed literally in an empty folder, each command prints what
the page shows, and the plant is issued in the end."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.commands.command_line import command_parser
from hoggin.commands.main import main
from hoggin.errors import Exit
from hoggin.rating.rate import rate
from hoggin.syntax.layout import laid_out
from tests.cookbook_page import TUTORIAL_PICTURE, tutorial_picture
from tests.docs import tutorial

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
PAGE = tutorial.PAGE.read_text(encoding="utf-8")
NUMBERS = range(1, 7)
HOW = "run: python -m tests.docs.tutorial"


def blocks(kind: str) -> list[str]:
    return re.findall(rf"^```{kind}\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)


COMMANDS = [command for block in blocks("console") for command, _ in tutorial.commands(block)]


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> tutorial.Typed:
    return tutorial.typed(PAGE, tmp_path_factory.mktemp("cold_beck"))


@pytest.mark.parametrize("place", range(len(COMMANDS)), ids=lambda place: COMMANDS[place])
def test_a_command_prints_what_the_page_shows(session: tutorial.Typed, place: int) -> None:
    one = session.ran[place]
    assert one.shown == one.today, HOW


@pytest.mark.parametrize("place", range(len(COMMANDS)), ids=lambda place: COMMANDS[place])
def test_a_command_fails_only_where_the_page_says_so(session: tutorial.Typed, place: int) -> None:
    one = session.ran[place]
    shown = "\n".join(one.shown)
    expected = Exit.DONE
    if "error E" in shown:
        expected = Exit.SOURCE
    elif one.command.startswith(("hoggin balance", "hoggin issue")) and re.search(
        "OVER LIMIT|NOT MET", shown
    ):
        expected = Exit.UNMET
    assert one.code == expected


def test_the_plant_is_issued_in_the_end(session: tutorial.Typed) -> None:
    assert session.ran[-1].command == "hoggin issue plant.hog"
    assert session.ran[-1].code == Exit.DONE
    assert {"out/plant/flowsheet.pdf", "out/plant/equipment.xlsx"} <= set(session.files)


@pytest.mark.parametrize("number", NUMBERS)
def test_a_step_of_the_examples_is_what_the_reader_has_then(
    session: tutorial.Typed, number: int
) -> None:
    file = tutorial.STEPS / f"step_{number}.hog"
    assert file.read_text(encoding="utf-8") == tutorial.finished(number, session.steps[number]), HOW


@pytest.mark.parametrize("number", NUMBERS)
def test_a_step_balances_and_loses_no_rock(number: int) -> None:
    """Conservation of mass, by its definition."""
    checked = check_file(tutorial.STEPS / f"step_{number}.hog")
    assert checked.plant is not None and not checked.diagnostics
    assert laid_out(checked.source) == checked.source.text  # nothing for `hoggin format` to do
    results = rate(checked.plant, balance(checked.plant), f"step_{number}.hog")
    assert results.feed_t_h == 220.0
    assert sum(product.rate_t_h for product in results.products) == pytest.approx(220.0)
    assert all(requirement.met for requirement in results.requirements)


def test_an_edit_that_fits_no_place_or_two_is_an_error(tmp_path: Path) -> None:
    page = PAGE.replace("`use std.sieves`, add:", "`use std.`, add:")
    assert page != PAGE
    twice = page.replace("use std.sieves\n", "use std.sieves\nuse std.jaws\n", 1)
    with pytest.raises(tutorial.PageError, match=r"2 lines begin with `use std\.`"):
        tutorial.typed(twice, tmp_path)


def test_a_line_that_is_no_longer_printed_is_replaced_by_the_one_most_like_it() -> None:
    shown = ("...", "cone  85.0  ok", "...")
    printed = ("machines", "jaw   70.0  ok", "cone  86.5  ok", "end")
    ran = tutorial.Ran(1, "hoggin balance plant.hog", shown, printed, 0)
    assert ran.today == ("...", "cone  86.5  ok", "...")


def test_commands_that_are_not_typed_here_are_commands() -> None:
    for block in blocks("sh"):
        for line in block.splitlines():
            program, *arguments = shlex.split(line)
            assert program in ("mkdir", "cd") or command_parser().parse_args(arguments).run


def test_the_start_command_of_the_page_writes_a_plant_that_balances(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (command,) = (block for block in blocks("sh") if "--feed-rate" in block)
    program, *arguments = shlex.split(command)
    monkeypatch.chdir(tmp_path)
    assert program == "hoggin"
    assert main(arguments) == 0
    assert main(["balance", "my_plant.hog"]) == 0


def test_the_picture_is_todays() -> None:
    how = "run: python -m tests.cookbook_page"
    assert TUTORIAL_PICTURE.read_bytes() == tutorial_picture(), how


def test_links_of_the_page_lead_to_files() -> None:
    for link in re.findall(r"\]\(([a-z_./]+\.(?:md|svg))[)#]", PAGE, re.IGNORECASE):
        assert (ROOT / "docs" / link).is_file(), link
