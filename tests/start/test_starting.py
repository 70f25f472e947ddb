"""`hoggin start` as a user meets it: questions, options, a file that is never written over."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from hoggin.commands.main import main

OPTIONS = ["--feed-rate", "60 t/h", "--top-size", "60 mm", "--rock", "limestone"]


@pytest.fixture(autouse=True)
def in_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.slow
def test_options_answer_every_question_and_the_plant_balances(
    in_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["start", "first.hog", *OPTIONS, "--products", "0/4, 4/16"]) == 0
    printed = capsys.readouterr()
    assert "first.hog" in printed.out and "NOT MET" not in printed.out
    assert "hoggin balance first.hog" in printed.err
    assert main(["check", "first.hog"]) == 0
    assert main(["balance", "first.hog"]) == 0
    assert main(["format", "--check", "first.hog"]) == 0
    assert [path.name for path in in_folder.iterdir()] == ["first.hog"]


@pytest.mark.slow
def test_a_question_is_asked_again_until_its_answer_can_be_used(
    in_folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = "60\n60 t/h\n60 mm\nchalk\ngravel\n0/8, 4/16\n0/4, 4/16\n"
    monkeypatch.setattr("sys.stdin", io.StringIO(answers))
    assert main(["start"]) == 0
    printed = capsys.readouterr()
    assert "Write the unit too" in printed.err
    assert "`chalk` is not one of" in printed.err
    assert "overlap" in printed.err
    assert (in_folder / "plant.hog").is_file()


@pytest.mark.slow
def test_a_file_that_is_there_is_left_as_it_is(
    in_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (in_folder / "mine.hog").write_text("# my own\n", encoding="utf-8")
    assert main(["start", "mine.hog", *OPTIONS, "--products", "0/4"]) == 2
    assert "already exists" in capsys.readouterr().err
    assert (in_folder / "mine.hog").read_text(encoding="utf-8") == "# my own\n"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["plant.txt", *OPTIONS, "--products", "0/8"], "ends in `.hog`"),
        (["--feed-rate", "60", *OPTIONS[2:], "--products", "0/8"], "Write the unit too"),
        ([*OPTIONS, "--products", "0/63"], "nothing to crush"),
        (["no/such/folder/a.hog", *OPTIONS, "--products", "0/16"], "can't be written"),
    ],
)
def test_an_option_that_cannot_be_is_told_and_nothing_is_written(
    in_folder: Path, arguments: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["start", *arguments]) == 2
    assert said in capsys.readouterr().err
    assert not list(in_folder.iterdir())


def test_an_end_of_input_is_no_traceback(
    in_folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("60 t/h\n"))
    assert main(["start"]) == 2
    assert "nothing was written" in capsys.readouterr().err
    assert not list(in_folder.iterdir())


def test_an_option_that_can_t_be_used_is_named(
    in_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    options = ["--feed-rate", "450 t/h", "--top-size", "800", "--rock", "granite"]
    assert main(["start", "hill.hog", *options, "--products", "0/32"]) == 2
    assert "hoggin: --top-size: 800 of what?" in capsys.readouterr().err
    assert not (in_folder / "hill.hog").exists()


@pytest.mark.slow
def test_a_disk_that_fills_up_leaves_no_half_a_plant(
    in_folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    resource = pytest.importorskip("resource", reason="limits of a process are POSIX")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, before[1]))  # bytes of a file
    try:
        code = main(["start", "hill.hog", *OPTIONS, "--products", "0/16"])
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert code == 2
    assert "can't be written" in capsys.readouterr().err
    assert not list(in_folder.iterdir())
