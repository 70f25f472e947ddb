"""`hoggin editor`: what it finds, writes and leaves alone. The editors that take an extension are
stood in for by a script, which notes how it is called."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import tomllib
from pathlib import Path

import pytest

from hoggin.commands import editors
from hoggin.commands.completing import _editors
from hoggin.commands.main import main

SUPPORT = Path(__file__).parents[2] / "editor_support"
OWN = Path("pack/hoggin/start/hoggin")

pytestmark = pytest.mark.skipif(os.name == "nt", reason="the folders are those of other systems")


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine with no editor and an empty home, at a path with a space."""
    base = tmp_path / "a machine"
    for folder in ("bin", "home"):
        (base / folder).mkdir(parents=True)
    monkeypatch.setenv("HOME", str(base / "home"))
    monkeypatch.setenv("PATH", str(base / "bin"))
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False)
    return base


@pytest.fixture
def extension(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The packaged extension, which only a machine with npm makes."""
    path = tmp_path / "hoggin.vsix"
    path.write_bytes(b"an extension")
    monkeypatch.setattr(editors, "_extension", lambda: path)
    return path


def add_program(machine: Path, name: str, script: str = "") -> Path:
    path = machine / "bin" / name
    path.write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return path


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_alone_it_names_what_was_found_and_what_was_not_and_changes_nothing(
    machine: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    vim = add_program(machine, "vim")
    assert main(["editor"]) == 0
    shown = capsys.readouterr().out
    assert f"vim           {vim}\n" in shown
    assert "not found: code," in shown and ", helix\n" in shown
    assert contents(machine / "home") == {}


def test_the_extension_is_given_to_the_editors_command(
    machine: Path, extension: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    noted = machine / "noted"
    add_program(machine, "codium", f'printf "%s|" "$@" > "{noted}"')
    assert main(["editor", "install"]) == 0
    assert noted.read_text() == f"--install-extension|{extension}|--force|"
    assert "codium: extension installed by" in capsys.readouterr().out


def test_what_an_editor_says_is_reported_when_it_refuses(
    machine: Path, extension: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    add_program(machine, "code", 'echo "first"; echo "the disk is full" >&2; exit 1')
    add_program(machine, "vim")
    assert main(["editor", "install"]) == 2
    printed = capsys.readouterr()
    assert "code: " in printed.err and "the disk is full" in printed.err
    assert "vim: files written to" in printed.out  # one editor does not stop the others
    assert extension.is_file()


def test_an_installation_without_the_extension_says_how_to_get_it(
    machine: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(editors, "_extension", lambda: None)
    add_program(machine, "code")
    assert main(["editor", "install"]) == 2
    assert "`bash .ci/editor` builds it" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("program", "folder"), [("vim", ".vim"), ("nvim", ".local/share/nvim/site")]
)
def test_the_files_of_vim_and_neovim_go_to_a_folder_of_their_own(
    program: str, folder: str, machine: Path
) -> None:
    add_program(machine, program)
    assert main(["editor", "install"]) == 0
    assert contents(machine / "home" / folder / OWN) == contents(SUPPORT / "vim")
    assert main(["editor", "install"]) == 0  # and again, as after an update
    assert len(contents(machine / "home")) == len(contents(SUPPORT / "vim"))


@pytest.mark.skipif(shutil.which("vim") is None, reason="needs Vim")
def test_vim_itself_knows_a_plant_by_these_files(
    machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = os.environ["PATH"]
    monkeypatch.setenv("PATH", f"{path}:/usr/bin:/bin")
    assert main(["editor", "install", "vim"]) == 0
    (machine / "plant.hog").write_text("# a plant\n", encoding="utf-8")
    written = machine / "filetype"
    told = ["filetype plugin on", "edit plant.hog", f"call writefile([&ft], '{written}')", "qa!"]
    asked = [word for line in told for word in ("-c", line)]
    command = ["vim", "-es", "-u", "NONE", "--cmd", "set nocp loadplugins", *asked]
    subprocess.run(command, cwd=machine, timeout=60, check=False, stdin=subprocess.DEVNULL)
    assert written.read_text() == "hoggin\n"


def test_helix_gets_a_file_of_languages(machine: Path) -> None:
    add_program(machine, "hx")
    assert main(["editor", "install"]) == 0
    assert contents(machine / "home/.config/helix") == contents(SUPPORT / "helix")


def test_the_users_own_languages_of_helix_are_kept(machine: Path) -> None:
    add_program(machine, "hx")
    file = machine / "home/.config/helix/languages.toml"
    file.parent.mkdir(parents=True)
    file.symlink_to(machine / "kept.toml")  # as for those who keep their settings elsewhere
    mine = '# mine\n[[language]]\nname = "python"\nauto-format = true\n'
    file.write_text(mine, encoding="utf-8")
    assert main(["editor", "install"]) == 0
    extended = file.read_text(encoding="utf-8")
    assert extended.startswith(mine)
    names = [one["name"] for one in tomllib.loads(extended)["language"]]
    assert names == ["python", "hoggin"]
    assert main(["editor", "install"]) == 0
    assert file.read_text(encoding="utf-8") == extended
    assert file.is_symlink()


def test_languages_of_helix_that_cannot_be_extended_are_left_as_they_are(
    machine: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    add_program(machine, "hx")
    file = machine / "home/.config/helix/languages.toml"
    file.parent.mkdir(parents=True)
    file.write_text("language-server = {}\n", encoding="utf-8")
    assert main(["editor", "install"]) == 2
    assert "can't be extended and is not changed" in capsys.readouterr().err
    assert file.read_text(encoding="utf-8") == "language-server = {}\n"


def test_on_windows_the_files_go_to_the_folders_of_that_system(
    machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The folders are those of the editors' manuals, from memory."""
    monkeypatch.setattr(editors, "_WINDOWS", True)
    monkeypatch.setenv("LOCALAPPDATA", str(machine / "local"))
    monkeypatch.setenv("APPDATA", str(machine / "roaming"))
    for program in ("vim", "nvim", "hx"):
        add_program(machine, program)
    assert main(["editor", "install"]) == 0
    assert contents(machine / "home/vimfiles" / OWN) == contents(SUPPORT / "vim")
    assert contents(machine / "local/nvim-data/site" / OWN) == contents(SUPPORT / "vim")
    assert contents(machine / "roaming/helix") == contents(SUPPORT / "helix")


def test_into_a_folder_it_writes_the_files_for_all_and_touches_no_editor(
    machine: Path, extension: Path, tmp_path: Path
) -> None:
    add_program(machine, "vim")
    into = tmp_path / "files"
    assert main(["editor", "install", "--into", str(into)]) == 0
    held = contents(into)
    assert held.pop("hoggin.vsix") == extension.read_bytes()
    assert held == {
        f"{name}/{path}": content
        for name in ("vim", "helix")
        for path, content in contents(SUPPORT / name).items()
    }
    assert contents(machine / "home") == {}
    assert main(["editor", "install", "--into", str(into)]) == 2  # never over existing files


def test_no_editor_at_all_is_an_error_that_says_what_to_do(
    machine: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["editor", "install"]) == 2
    assert "no editor was set up; `--into FOLDER`" in capsys.readouterr().err
    assert contents(machine) == {}


def test_an_editor_that_was_named_but_is_not_there_is_an_error(machine: Path) -> None:
    add_program(machine, "vim")
    assert main(["editor", "install", "vim", "helix"]) == 2


def test_a_misspelt_editor_is_reported_with_the_one_that_was_meant(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["editor", "install", "neovom"]) == 2
    assert "did you mean `neovim`?" in capsys.readouterr().err


def test_the_shell_completes_the_names() -> None:
    assert _editors() == list(editors.EDITORS)
