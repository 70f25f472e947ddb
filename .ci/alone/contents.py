"""What a build that runs without Python contains besides the modules that PyInstaller finds, and
the notices of all works in it. `hoggin.spec` reads it where the wheel is installed."""

from __future__ import annotations

import os
import platform
import re
import shutil
import subprocess
import sys
import sysconfig
from collections.abc import Callable, Iterable, Iterator
from importlib.metadata import PackagePath, distribution
from pathlib import Path

from hoggin import notices

UNUSED = (
    *("_curses", "_hashlib", "_ssl", "curses", "readline", "sqlite3", "tkinter"),
    *("PyInstaller", "pip", "setuptools"),
)
"""Modules that are left out, and with them the libraries that they would bring."""
_KNOWN = ("numpy", "scipy")  # PyInstaller knows which of their modules and libraries are needed
_GLIBC = re.compile(rb"GLIBC_2\.(\d+)")
_LIBRARY = re.compile(r"\.(so|pyd|dll|dylib)(\.|$)")
_RULE = f"\n{'=' * 80}\n\n"

Placed = tuple[str, str]
"""A file, and the folder of the build that it is put into."""


def own_files() -> list[Placed]:
    """Every file of the package. Its sources too: their hash says which build this is, as it does
    where the package is installed."""
    return list(_placed("hoggin", lambda file: file.suffix != ".pyc"))


def data() -> list[Placed]:
    """What the other packages read while they run, and the metadata of all."""
    found = list(_metadata("hoggin"))
    for name in included():
        found += _metadata(name)
        found += _placed(name, lambda file: not _is_code(file) and "tests" not in file.parts)
    return found


def libraries() -> list[Placed]:
    """Libraries of machine code, some of which are loaded by their path."""
    names = [name for name in included() if name not in _KNOWN]
    return [one for name in names for one in _placed(name, _is_library)]


def modules() -> list[str]:
    """Every module of the packages, as some are imported by names that are put together."""
    names = [name for name in ("hoggin", *included()) if name not in _KNOWN]
    sources = [file for name in names for file in _files(name) if file.suffix == ".py"]
    paths = (file.parent if file.stem == "__init__" else file.with_suffix("") for file in sources)
    return sorted(
        {".".join(path.parts) for path in paths if all(map(str.isidentifier, path.parts))}
    )


def included() -> list[str]:
    """The packages that Hoggin needs here. Some have no files but programs, which are left out."""
    return [package.name for package in notices.packages() if any(_files(package.name))]


def unknown(bundled: Iterable[tuple[str, str]]) -> set[str]:
    """The packages of modules, given as (name, file), that the notices do not have."""
    known = {name.partition(".")[0] for name in modules()} | set(_KNOWN)
    installed = (name for name, file in bundled if "site-packages" in Path(file).parts)
    tops = {name.partition(".")[0] for name in installed}
    return {name for name in tops - known if not name.startswith("_pyi_")}  # PyInstaller's own


def notices_text(beside: Iterable[str]) -> str:
    """The notices of a build. beside: libraries of the system in it."""
    own = set(included())
    parts = [notices.own()]
    for package in notices.packages():
        if package.name in own:
            title = f"{package.name} {package.version}: {package.licence}"
            parts.append(f"{title}\n\n{package.text()}")
    version = sys.version.partition(" ")[0]
    parts.append(f"Python {version}: PSF-2.0\n\n{_of_python()}")
    parts.append(Path(__file__).with_name("inside.txt").read_text(encoding="utf-8"))
    parts += _of_system(beside)
    return _RULE.join(f"{part.strip()}\n" for part in parts)


def read_me(libraries: Iterable[Path]) -> str:
    """What a user of the build has to know."""
    system = {"darwin": "macOS", "win32": "Windows"}.get(sys.platform, platform.system())
    needs = [int(minor) for path in libraries for minor in _GLIBC.findall(path.read_bytes())]
    newest = f", with zlib and the C library glibc 2.{max(needs)} or newer" if needs else ""
    return f"""\
Hoggin {distribution("hoggin").version}, for machines without Python
{system} on {platform.machine()}{newest}

Keep this folder as it is, wherever you like, and put it on the search path of your shell; or give
the path of the program, as `.{os.sep}hoggin` in this folder. `hoggin --help` lists the commands,
`hoggin start` writes a first plant.

Not in this build: `--cluster`, plug-ins, and the use of Hoggin from Python. They need the Python
package.

Results are predictions for design, not guarantees. Local codes, the makers' instructions and
licensed engineering practice govern.

LICENSE.txt has the licence, NOTICES.txt those of the works of others in this folder.
"""


def _of_python() -> str:
    folders = (Path(sysconfig.get_path("stdlib")), Path(sys.base_prefix))
    found = (folder / "LICENSE.txt" for folder in folders)
    return next(path for path in found if path.is_file()).read_text(encoding="utf-8")


def _of_system(beside: Iterable[str]) -> Iterator[str]:
    """What Debian and its like say of the packages that the libraries are from."""
    for path in sorted({Path(library) for library in beside}, key=lambda path: path.name):
        package = _owner(path)
        text = "Its licence is that of the system that this was built on."
        if package is not None:
            text = Path("/usr/share/doc", package, "copyright").read_text(encoding="utf-8")
        yield f"{path.name}, a library of the system\n\n{text}"


def _owner(path: Path) -> str | None:
    """The package of the system that a file is from, where it says so."""
    if shutil.which("dpkg") is None:
        return None
    asked = {str(path), str(path.resolve())}
    asked |= {name.removeprefix("/usr") for name in asked}
    found = subprocess.run(["dpkg", "-S", *asked], capture_output=True, text=True, check=False)
    return found.stdout.partition(":")[0] or None


def _metadata(name: str) -> Iterator[Placed]:
    for file in distribution(name).files or ():
        if file.parts[0].endswith(".dist-info"):
            yield str(file.locate()), str(file.parent)


def _placed(name: str, wanted: Callable[[PackagePath], bool]) -> Iterator[Placed]:
    for file in _files(name):
        if wanted(file):
            yield str(file.locate()), str(file.parent)


def _files(name: str) -> Iterator[PackagePath]:
    """The files of a package but for its metadata and its programs."""
    for file in distribution(name).files or ():
        if file.parts[0] != ".." and not file.parts[0].endswith(".dist-info"):
            yield file


def _is_library(file: PackagePath) -> bool:
    return _LIBRARY.search(file.name) is not None


def _is_code(file: PackagePath) -> bool:
    return file.suffix in (".py", ".pyc", ".pyi") or _is_library(file)
