"""`hoggin format` as a user meets it: files, folders, standard input, links, folders not to be
written in."""

from __future__ import annotations

import io
import os
import stat
from pathlib import Path

import pytest

from hoggin.commands.main import main

ROUGH = "let  a=5 mm\n\n\n\nlet b = 2*a"
NEAT = "let a = 5 mm\n\nlet b = 2 * a\n"


def test_a_file_is_laid_out_in_place_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "a.hog"
    file.write_bytes(b"\xef\xbb\xbf" + ROUGH.replace("\n", "\r\n").encode())
    file.chmod(0o640)
    assert main(["format", str(file)]) == 0
    assert file.read_bytes() == NEAT.encode()
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    assert "formatted" in capsys.readouterr().out
    assert main(["format", str(file)]) == 0
    assert capsys.readouterr().out == ""
    assert [path.name for path in tmp_path.iterdir()] == ["a.hog"]


def test_check_changes_nothing_and_has_a_code_of_its_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "rough.hog").write_text(ROUGH)
    (tmp_path / "neat.hog").write_text(NEAT)
    assert main(["format", "--check", str(tmp_path)]) == 5
    assert capsys.readouterr().out == f"{tmp_path / 'rough.hog'}: would be formatted\n"
    assert (tmp_path / "rough.hog").read_text() == ROUGH
    assert main(["format", "--check", str(tmp_path / "neat.hog")]) == 0


def test_hidden_folders_and_those_that_programs_write_are_left_alone(tmp_path: Path) -> None:
    """As the compiler's own library in `.venv`."""
    for name in (".venv/lib", "out", "node_modules/one"):
        (tmp_path / name).mkdir(parents=True)
        (tmp_path / name / "rough.hog").write_text(ROUGH)
    (tmp_path / "rough.hog").write_text(ROUGH)
    assert main(["format", str(tmp_path)]) == 0
    left = [path for path in tmp_path.rglob("*.hog") if path.read_text() == ROUGH]
    assert len(left) == 3 and tmp_path / "rough.hog" not in left


def test_a_file_with_errors_is_left_and_the_others_are_done(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "bad.hog").write_text("let = = 3")
    (tmp_path / "rough.hog").write_text(ROUGH)
    assert main(["format", str(tmp_path)]) == 1
    assert (tmp_path / "bad.hog").read_text() == "let = = 3"
    assert (tmp_path / "rough.hog").read_text() == NEAT
    assert "E0101" in capsys.readouterr().err


def test_a_link_goes_on_pointing_to_its_file(tmp_path: Path) -> None:
    (tmp_path / "real.hog").write_text(ROUGH)
    (tmp_path / "link.hog").symlink_to("real.hog")
    assert main(["format", str(tmp_path / "link.hog")]) == 0
    assert (tmp_path / "link.hog").is_symlink()
    assert (tmp_path / "real.hog").read_text() == NEAT


def test_standard_input_goes_to_standard_output(
    monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(ROUGH.encode())))
    assert main(["format", "-"]) == 0
    assert capfdbinary.readouterr().out == NEAT.encode()
    for text, code in ((ROUGH, 5), (NEAT, 0)):
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
        assert main(["format", "--check", "-"]) == code
        assert capfdbinary.readouterr().out == b""


@pytest.mark.parametrize("content", [None, b"\xff\xfe"])
def test_what_can_not_be_read_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes | None
) -> None:
    file = tmp_path / "a.hog"
    if content is not None:
        file.write_bytes(content)
    assert main(["format", str(file)]) == 2
    assert "hoggin: " in capsys.readouterr().err


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_not_to_be_written_in_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a.hog").write_text(ROUGH)
    tmp_path.chmod(0o555)
    assert main(["format", str(tmp_path / "a.hog")]) == 2
    assert "can't be written" in capsys.readouterr().err
    assert (tmp_path / "a.hog").read_text() == ROUGH


def test_an_interrupted_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "a.hog"
    file.write_text(ROUGH)

    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("shutil.copymode", interrupt)
    assert main(["format", str(file)]) == 130
    assert file.read_text() == ROUGH
    assert [path.name for path in tmp_path.iterdir()] == ["a.hog"]


@pytest.mark.parametrize("command", [["format"], ["format", "--check"], ["regress"]])
@pytest.mark.parametrize("locked", ["", "locked"])
def test_a_folder_that_can_not_be_read_is_an_error(
    command: list[str],
    locked: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """As the system refuses it: root, who runs CI, could read everything."""
    real, closed = os.scandir, str(tmp_path / locked) if locked else str(tmp_path)

    def scandir(path: str) -> object:
        if str(path) == closed:
            raise PermissionError(13, "Permission denied", path)
        return real(path)

    (tmp_path / "locked").mkdir()
    (tmp_path / "a.hog").write_text(NEAT)
    monkeypatch.setattr("os.scandir", scandir)
    assert main([*command, str(tmp_path)]) == 2
    assert capsys.readouterr().err == (f"hoggin: `{closed}`: it can't be read: Permission denied\n")
