"""The tutorial as its reader meets it: every command runs and prints what the page shows, every
excerpt stands in the step's file, every step balances."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.commands.main import main
from hoggin.errors import Exit
from hoggin.rating.rate import rate
from tests.cookbook_page import TUTORIAL_PICTURE, tutorial_picture

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "tutorial.md").read_text(encoding="utf-8")
STEPS = ROOT / "examples" / "tutorial"
NUMBERS = range(1, 7)


@dataclass(frozen=True)
class Shown:
    """A command of the page and the lines it is shown to print; `...` stands for any others."""

    command: str
    lines: tuple[str, ...]


def blocks(text: str, kind: str) -> list[str]:
    return re.findall(rf"^```{kind}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def shown() -> Iterator[Shown]:
    for block in blocks(PAGE, "console"):
        for part in block.split("$ ")[1:]:
            command, *lines = part.splitlines()
            yield Shown(command, tuple(lines))


def words(line: str) -> str:
    """A line without its columns' widths."""
    return " ".join(line.split())


def chapter(number: int) -> str:
    """The page's text on one step."""
    return re.split(r"^## Step ", PAGE, flags=re.MULTILINE)[number]


@pytest.fixture
def in_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    monkeypatch.setattr("hoggin.commands.output.WIDTH", 120)


@pytest.mark.usefixtures("in_root")
@pytest.mark.parametrize("one", list(shown()), ids=lambda one: one.command)
def test_a_command_prints_what_the_page_shows(
    one: Shown, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    program, *arguments = shlex.split(one.command)
    assert program == "hoggin"
    if arguments[0] == "issue":
        arguments += ["--into", str(tmp_path / Path(arguments[1]).stem)]
    if arguments == ["--version"]:
        with pytest.raises(SystemExit) as end:
            main(arguments)
        assert end.value.code == 0
    else:
        overloaded = any(argument.endswith("step_4.hog") for argument in arguments)
        fails = overloaded and arguments[0] != "compare"
        assert main(arguments) == (Exit.UNMET if fails else Exit.DONE)
    printed = [
        words(line) for line in capsys.readouterr().out.replace(str(tmp_path), "out").splitlines()
    ]
    assert_in_order([words(line) for line in one.lines], printed)


def assert_in_order(expected: list[str], printed: list[str]) -> None:
    """`...` lets lines pass; a line that ends in it is a beginning."""
    place, gap = 0, False
    for line in expected:
        if line == "...":
            gap = True
            continue
        start = line.removesuffix("...")
        found = [
            number
            for number, other in enumerate(printed[place:], place)
            if (other.startswith(start) if line.endswith("...") else other == line)
        ]
        assert found, f"not printed, or not in this order: {line}"
        assert gap or found[0] == place, f"other lines stand before: {line}"
        place, gap = found[0] + 1, False
    assert gap or place == len(printed), "the page leaves out the end and does not say so"


@pytest.mark.parametrize("number", NUMBERS)
def test_what_the_page_tells_to_write_stands_in_the_steps_file(number: int) -> None:
    text = (STEPS / f"step_{number}.hog").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.strip()]
    found = blocks(chapter(number), "hog")
    assert found
    for block in found:
        told = [line for line in block.splitlines() if line.strip()]
        places = [place for place in range(len(lines)) if lines[place : place + len(told)] == told]
        assert places, f"not in step_{number}.hog:\n{block}"


@pytest.mark.parametrize("number", NUMBERS)
def test_a_step_balances_and_loses_no_rock(number: int) -> None:
    """Conservation of mass, by its definition."""
    checked = check_file(STEPS / f"step_{number}.hog")
    assert checked.plant is not None and not checked.diagnostics
    results = rate(checked.plant, balance(checked.plant), f"step_{number}.hog")
    assert results.feed_t_h == 220.0
    assert sum(product.rate_t_h for product in results.products) == pytest.approx(220.0)
    assert all(requirement.met for requirement in results.requirements)


def test_the_slip_is_reported_as_the_page_shows(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "step_2.hog"
    text = (STEPS / "step_2.hog").read_text(encoding="utf-8")
    assert "css 100 mm" in text
    file.write_text(text.replace("css 100 mm", "css 400 mm"), encoding="utf-8")
    assert main(["check", str(file)]) == 1
    report = capsys.readouterr().err.partition("\n\n")[0]
    assert report in PAGE


def test_the_turned_knob_does_what_the_page_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "step_6.hog"
    text = (STEPS / "step_6.hog").read_text(encoding="utf-8")
    assert "css 26 mm" in text
    file.write_text(text.replace("css 26 mm", "css 36 mm"), encoding="utf-8")
    assert main(["issue", str(file), "--into", str(tmp_path / "out")]) == 4
    printed = capsys.readouterr().out
    (told,) = (block for block in blocks(PAGE, "") if "NOT MET" in block)
    for line in told.splitlines():
        assert line in printed


def test_the_start_command_of_the_page_writes_a_plant_that_balances(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (command,) = (block for block in blocks(PAGE, "sh") if "--feed-rate" in block)
    program, *arguments = shlex.split(command)
    monkeypatch.chdir(tmp_path)
    assert program == "hoggin"
    assert main(arguments) == 0
    assert main(["balance", "my_plant.hog"]) == 0


def test_the_picture_is_todays() -> None:
    how = "run: python -m tests.cookbook_page"
    assert TUTORIAL_PICTURE.read_bytes() == tutorial_picture(), how


def test_links_of_the_page_lead_to_files() -> None:
    for link in re.findall(r"\]\(([a-z_]+\.md)\)", PAGE):
        assert (ROOT / "docs" / link).is_file(), link
