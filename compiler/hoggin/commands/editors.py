"""`hoggin editor`: sets up the text editors of this machine for `.hog` files."""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from hoggin.commands.output import say
from hoggin.commands.running import complain, refuse_to_replace, write_files
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import Exit, HogginError
from hoggin.world import files_below, read_bytes, read_text, shipped
from hoggin.writing import replace, write

_EXTENSION = "hoggin.vsix"
_TABLES = "languages.toml"
_WINDOWS = os.name == "nt"
_PATIENCE = 180.0  # seconds for an editor to take an extension


@dataclass(frozen=True, slots=True)
class Editor:
    """An editor: the commands that start it, and what sets it up, given the command that was
    found. That gives a sentence on what was done."""

    name: str
    commands: tuple[str, ...]
    set_up: Callable[[str], str]
    mac_app: str = ""

    def found(self) -> str | None:
        """The path of its command; None where it is not on this machine."""
        paths = [shutil.which(command) for command in self.commands]
        if self.mac_app:  # there the command is on the path only if the user has put it there
            inside = Path("/Applications", self.mac_app, "Contents/Resources/app/bin")
            paths += [shutil.which(inside / command) for command in self.commands]
        return next((path for path in paths if path), None)


def overview(_options: argparse.Namespace) -> Exit:
    """Say which editors are on this machine."""
    found = {name: path for name, one in EDITORS.items() if (path := one.found())}
    print("found on this machine:" if found else "no editor that Hoggin can set up was found")
    for name, path in found.items():
        print(f"  {name:14}{path}")
    _print_missing(name for name in EDITORS if name not in found)
    say("`hoggin editor install` sets up these editors, or only those that you name.")
    say("`hoggin editor install --into FOLDER` writes the files for all of them to a folder.")
    _advise()
    return Exit.DONE


def install(options: argparse.Namespace) -> Exit:
    """Set up the editors named, or all that are found; or only write the files to a folder."""
    for name in options.editors:
        if name not in EDITORS:
            raise HogginError(f"unknown editor `{name}`. {did_you_mean(name, EDITORS)}".rstrip())
    if options.into is not None:
        return _unpack(options.into)
    asked = [EDITORS[name] for name in options.editors or EDITORS]
    worst, missing = Exit.DONE, []
    for editor in asked:
        path = editor.found()
        if path is None:
            missing.append(editor.name)
            continue
        try:
            print(f"{editor.name}: {editor.set_up(path)}")
        except HogginError as fault:
            complain(f"{editor.name}: {fault}")
            worst = Exit.USE
    _print_missing(missing)
    if len(missing) == len(asked):
        raise HogginError("no editor was set up; `--into FOLDER` writes the files to a folder")
    _advise()
    return Exit.USE if missing and options.editors else worst


def _print_missing(names: Iterable[str]) -> None:
    if told := ", ".join(names):
        print(f"not found: {told}")


def _advise() -> None:
    """What an editor needs besides its files."""
    if shutil.which("hoggin") is None:
        complain("editors start the command `hoggin`, which is not on the search path")


def _unpack(folder: Path) -> Exit:
    contents = _files(shipped("editor_support"), "vim", "helix")
    extension = _extension()
    if extension is None:
        complain(_NO_EXTENSION)
    else:
        contents |= {_EXTENSION: read_bytes(extension)}
    refuse_to_replace([folder / name for name in contents], overwrite=False)
    write_files(contents, folder)
    return Exit.DONE


def _extension() -> Path | None:
    """The packaged extension, if this installation has it."""
    path = Path(__file__).parents[1] / "editor" / _EXTENSION
    return path if path.is_file() else None


_NO_EXTENSION = (
    f"`{_EXTENSION}` is not in this installation; in a clone, `bash .ci/editor` builds it "
    "(needs Node.js with npm)"
)


def _add_extension(command: str) -> str:
    """By the editor's own command line."""
    extension = _extension()
    if extension is None:
        raise HogginError(_NO_EXTENSION)
    asked = [command, "--install-extension", str(extension), "--force"]
    try:
        done = subprocess.run(asked, capture_output=True, text=True, timeout=_PATIENCE, check=False)
    except (OSError, subprocess.TimeoutExpired) as fault:
        raise HogginError(f"`{command}` did not install the extension: {fault}") from fault
    if done.returncode:
        said = (done.stderr or done.stdout).strip().rpartition("\n")[2]
        raise HogginError(f"`{command}` did not install the extension: {said}")
    return f"extension installed by `{command}`"


def _add_to_vim(_command: str) -> str:
    return _add_package(Path.home() / ("vimfiles" if _WINDOWS else ".vim"))


def _add_to_neovim(_command: str) -> str:
    if _WINDOWS:
        return _add_package(_folder("LOCALAPPDATA", "AppData/Local") / "nvim-data" / "site")
    return _add_package(_folder("XDG_DATA_HOME", ".local/share") / "nvim" / "site")


def _add_package(folder: Path) -> str:
    """Hoggin has a folder of its own among the packages that the editor loads at its start."""
    own = folder / "pack" / "hoggin" / "start" / "hoggin"
    write(_files(shipped("editor_support") / "vim"), own)
    return f"files written to {own}"


def _add_to_helix(_command: str) -> str:
    """Its languages are tables of one file, which may hold the user's own."""
    at = ("APPDATA", "AppData/Roaming") if _WINDOWS else ("XDG_CONFIG_HOME", ".config")
    folder = _folder(*at) / "helix"
    contents = _files(shipped("editor_support") / "helix")
    place = folder / _TABLES
    if place.exists():
        kept, ours = read_text(place), contents.pop(_TABLES).decode()
        target = place.resolve()  # a link still points to its file
        try:
            replace(target, _extended(kept, ours, place).encode(), like=target)
        except OSError as fault:
            raise HogginError(f"`{place}` can't be written: {fault.strerror}") from fault
    write(contents, folder)
    return f"files written to {folder}"


def _extended(kept: str, ours: str, place: Path) -> str:
    """The user's tables, with ours at the end. Raises HogginError where they can't be combined."""
    try:
        before = tomllib.loads(kept)
        if "hoggin" in before.get("language-server", {}):
            return kept
        after = f"{kept.rstrip()}\n\n{ours}".lstrip()
        tomllib.loads(after)
    except tomllib.TOMLDecodeError as fault:
        raise HogginError(f"`{place}` can't be extended and is not changed: {fault}") from fault
    return after


def _folder(variable: str, below_home: str) -> Path:
    """A folder that the system lets a user choose."""
    return Path(os.environ.get(variable) or Path.home() / below_home)


def _files(base: Path, *below: str) -> dict[str, bytes]:
    """Every file below a folder, or below some of its folders, by its path from it."""
    tops = [base / name for name in below] or [base]
    found = (path for top in tops for path in files_below(top))
    return {path.relative_to(base).as_posix(): read_bytes(path) for path in found}


_ALL = (
    Editor("code", ("code",), _add_extension, "Visual Studio Code.app"),
    Editor(
        "code-insiders", ("code-insiders",), _add_extension, "Visual Studio Code - Insiders.app"
    ),
    Editor("codium", ("codium", "vscodium"), _add_extension, "VSCodium.app"),
    Editor("code-oss", ("code-oss",), _add_extension),
    Editor("code-server", ("code-server",), _add_extension),
    Editor("vim", ("vim", "gvim"), _add_to_vim),
    Editor("neovim", ("nvim",), _add_to_neovim),
    Editor("helix", ("hx", "helix"), _add_to_helix),
)
EDITORS: Mapping[str, Editor] = {editor.name: editor for editor in _ALL}
