"""What `--help` says of every command: that it is complete, fits a terminal, and that its examples
do what they say."""

from __future__ import annotations

import argparse
import io
import shlex
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from hoggin.commands.arguments import CommandParser
from hoggin.commands.command_line import command_parser
from hoggin.commands.main import main
from hoggin.commands.manual import MANUAL, Entry, Example
from hoggin.errors import Exit
from tests.fit.synthetic import table as crusher_tests
from tests.repository import Repository

ROOT = Path(__file__).parents[2]
SERVES = ("bench", "view", "language-server")  # run until they are ended; tested elsewhere


def every_command() -> Iterator[tuple[str, CommandParser]]:
    for name, command in command_parser().commands():
        yield name, command
        yield from ((f"{name} {kind}", parser) for kind, parser in command.commands())


COMMANDS = dict(every_command())
ENTRIES: dict[str, Entry] = {name: e for entries in MANUAL.values() for name, e in entries.items()}
ARGUMENTS = [
    pytest.param(action, id=f"{name} {(*action.option_strings, action.dest)[0]}")
    for name, command in COMMANDS.items()
    for action in command._actions
    if not isinstance(action, argparse._SubParsersAction)
]


def help_of(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    with pytest.raises(SystemExit) as end:
        main([*arguments, "--help"])
    assert end.value.code == 0
    return capsys.readouterr().out


def words(text: str) -> str:
    return " ".join(text.split())


def test_the_manual_has_every_command_and_no_other() -> None:
    assert set(ENTRIES) == set(COMMANDS)


def test_a_command_is_explained_in_sentences_with_an_example() -> None:
    for name, entry in ENTRIES.items():
        assert entry.about.endswith("."), name
        assert len(entry.about.split()) >= 8, name
        assert entry.examples, name
        for example in entry.examples:
            assert example.command.startswith((f"hoggin {name}", "git config ")), name
            assert len(example.does.split()) >= 3, name


@pytest.mark.parametrize("action", ARGUMENTS)
def test_an_argument_is_explained_with_what_holds_without_it(action: argparse.Action) -> None:
    assert action.help
    optional = action.nargs in ("?", "*") or (action.option_strings and not action.required)
    if optional and action.nargs != 0:
        stands_alone = ("may repeat", "may be given twice", "in place of --over")
        assert "(default: " in action.help or any(one in action.help for one in stands_alone)
    for choice in action.choices or ():
        assert str(choice) in action.help


@pytest.mark.parametrize("name", ["", *COMMANDS])
@pytest.mark.parametrize("columns", [80, 50])
def test_help_fits_the_terminal_and_cuts_no_word(
    name: str, columns: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    shown = help_of(name.split(), capsys)
    examples = [one.command for one in ENTRIES[name].examples] if name else []
    lines = [line for line in shown.splitlines() if line.strip() not in examples]
    assert all(len(line) <= columns for line in lines)
    assert all(len(f"  {example}") <= 80 for example in examples)  # to be copied as one line
    if not name:
        return
    assert words(ENTRIES[name].about) in words(shown)
    for action in COMMANDS[name]._actions:
        assert words(action.help or "") in words(shown)


@pytest.mark.parametrize("arguments", [[], ["--help"]])
def test_hoggin_alone_lists_every_command_in_a_line_of_its_task(
    arguments: list[str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    if arguments:
        shown = help_of([], capsys)
    else:
        assert main([]) == Exit.DONE
        shown = capsys.readouterr().out
    for task, entries in MANUAL.items():
        section = shown.partition(f"{task}:\n")[2].partition("\n\n")[0].splitlines()
        expected = [(name, entry.does) for name, entry in entries.items() if " " not in name]
        assert [line.split(maxsplit=1) for line in section] == [list(one) for one in expected]


def test_a_file_in_the_place_of_a_command_is_explained(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main(["plant.hog"])
    assert end.value.code == 2
    said = capsys.readouterr().err
    assert said.endswith("a command goes before the file, as `hoggin balance plant.hog`\n")


# The examples, on the example plant Fenwick Flat with what each of them needs.

WET = "  case wet { pit_run.rate 110 t/h }\n}\n"
OF_COMMAND = {  # what a command needs of the plant
    "design": ("css 13 mm", "css free(12 mm to 15 mm)"),
    "uncertainty": ("rate 120 t/h", "rate normal(120 t/h, 5 %)"),
}
LABORATORY = "Sieve (mm),north,south\n63,100,100\n31.5,81,90\n8,40,52\n2,18,22\n0.5,6,9\n"
WANTED = "Product,Rate (t/h),8 mm,4 mm,2 mm\n4/8 chips,40,90-100,0-15,0-5\n"
TRIALS = "cone.css (mm),pit_run.rate\n12,100 t/h\n14,120 t/h\n"
USUAL_EXITS = (Exit.DONE, Exit.UNMET, Exit.DIFFERENT)
EXAMPLES = [
    pytest.param(name, example, id=example.command)
    for name, entry in ENTRIES.items()
    for example in entry.examples
]


def furnish(folder: Path, name: str) -> None:
    """Put into a new repository what the examples of a command name."""
    plant = (ROOT / "examples/gravel.hog").read_text(encoding="utf-8")
    old, new = OF_COMMAND.get(name, ("", ""))
    assert old in plant
    plant = plant.replace(old, new, 1) if old else plant
    plant = plant.removesuffix("}\n") + WET
    files = {
        "before.hog": plant.replace("rate 120 t/h", "rate 115 t/h"),
        "plants/hill.hog": plant,
        "ours.hog": "let usual_css = 13 mm\n",
        "trials.csv": TRIALS,
        "lab.csv": LABORATORY,
        "wanted.csv": WANTED,
        "jaw.csv": (ROOT / "examples/tabulated_jaw.csv").read_text(encoding="utf-8"),
        "cuts.csv": crusher_tests(),
    }
    if name in ("import table", "fit"):  # which write it
        del files["ours.hog"]
    repository = Repository(folder)
    repository.commit({"plant.hog": files["before.hog"]})
    repository.git("tag", "A")
    repository.commit(files | {"plant.hog": plant})
    if name == "start":  # which never overwrites a file
        (folder / "plant.hog").unlink()


@pytest.mark.slow
@pytest.mark.parametrize(("name", "example"), EXAMPLES)
def test_an_example_runs(
    name: str,
    example: Example,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    (tmp_path / "desk").mkdir()
    furnish(tmp_path / "desk", name)
    monkeypatch.chdir(tmp_path / "desk")
    program, *arguments = shlex.split(example.command)
    if program == "git":
        subprocess.run([program, *arguments], check=True)
        return
    if name in SERVES:
        assert command_parser().parse_args(arguments).run
        return
    if name == "start":
        asked = ["450 t/h", "800 mm", "granite", "0/4, 4/8, 8/16, 16/32"]
        answers = [one for one in asked if one not in arguments]
        monkeypatch.setattr(sys, "stdin", io.StringIO("\n".join(answers)))
    assert main(arguments) in USUAL_EXITS, capsys.readouterr().err
    if "--into" in arguments:
        assert Path(arguments[arguments.index("--into") + 1]).exists()
