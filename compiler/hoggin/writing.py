"""The one door for files that are written: a file alone, or a set of files together.

Each is complete before it takes its name, by a rename, which follows no link. Its draft has a name
that can't be guessed and is made new, so that a link can't wait in its place.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath

from hoggin.errors import HogginError

DRAFT = ".hoggin-"  # starts the name of a draft, and of a folder that a set is made in
_JOURNAL = "begun"  # which files a set exchanges; it is there only while it does
_PATIENCE, _PAUSE = 30.0, 0.01  # seconds to wait for another command, and between two looks
_OURS = re.compile(rf"{_JOURNAL}|(new|old)\d+")  # what such a folder holds


class ChangedError(HogginError):
    """A file no longer holds what it was to hold, so it was not replaced."""


def replace(
    path: Path,
    content: bytes,
    *,
    like: Path | None = None,
    over: bytes | None = None,
    prefix: str = DRAFT,
) -> None:
    """Write a file, whole or not at all: on the disk before it takes its name.

    like: a file whose permissions it gets. Without one, only the user can read it. over: what the
    file has to hold still. Raises OSError, and ChangedError where it holds something else.
    """
    handle, draft = tempfile.mkstemp(prefix=prefix, dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if like is not None:
            shutil.copymode(like, draft)
        if over is not None and path.read_bytes() != over:
            raise ChangedError(f"`{path}` was changed meanwhile")
        Path(draft).replace(path)
    except BaseException:
        Path(draft).unlink(missing_ok=True)
        raise


def create(path: Path, content: bytes) -> None:
    """Write a new file, whole or not at all. Raises OSError, and so FileExistsError."""
    with path.open("xb") as file:
        try:
            file.write(content)
            file.flush()
        except BaseException:
            path.unlink()
            raise


def write(contents: Mapping[str, bytes], folder: Path) -> tuple[Path, ...]:
    """Put a set of files into a folder, or none of them.

    Files are made in a temporary folder beside their places and renamed. If anything fails or is
    interrupted, what was there before is put back; if the command is killed, the next that writes
    into the folder does so. Two commands take turns. Other files in the folder are not touched, and
    no link below it is followed.
    Returns the paths written. Raises: HogginError with a plain sentence if the folder cannot take
    them.
    """
    places = {name: _place(folder, name) for name in contents}
    made: list[Path] = []
    try:
        _make(folder, made)
        with _alone_in(folder):
            _restore_killed(folder)
            for parent in sorted({place.parent for place in places.values()} - {folder}):
                _refuse_link(parent, folder)
                _make(parent, made)
            for name, place in places.items():
                if place.is_dir() and not place.is_symlink():
                    raise HogginError(f"cannot write {name}: a folder of that name is in the way")
            with tempfile.TemporaryDirectory(prefix=DRAFT, dir=folder) as workshop:
                _exchange(contents, places, Path(workshop))
    except BaseException as error:
        for created in reversed(made):
            with suppress(OSError):
                created.rmdir()  # only if it is still empty
        if isinstance(error, OSError):
            why = f"cannot write the documents to {folder}: {_reason(error)}"
            raise HogginError(why) from error
        raise
    return tuple(places.values())


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """While it lasts, no other command writes into the folder. The lock is the folder's own, so
    that the system takes it back from a command that is killed."""
    try:
        import fcntl
    except ImportError:  # a system without such locks
        yield
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        end = time.monotonic() + _PATIENCE
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                if time.monotonic() > end:
                    raise HogginError(f"another command is writing to {folder}") from None
                time.sleep(_PAUSE)
                continue
            except OSError:  # a file system without locks
                pass
            break
        yield
    finally:
        os.close(handle)


def _restore_killed(folder: Path) -> None:
    """Put back what a killed command was exchanging, and remove its temporary folder. Only for who
    is alone in the folder. A folder with any other file in it is left: it is not ours."""
    for workshop in folder.glob(f"{DRAFT}*"):
        if workshop.is_symlink() or not workshop.is_dir():
            continue
        with suppress(OSError):  # of another user
            if all(_OURS.fullmatch(file.name) for file in workshop.iterdir()):
                _undo(workshop, folder)
                shutil.rmtree(workshop)


def _undo(workshop: Path, folder: Path) -> None:
    """As far as there is a journal: there may be half of one, or one that was altered."""
    with suppress(HogginError, OSError, ValueError, TypeError, AttributeError):
        journal = json.loads((workshop / _JOURNAL).read_bytes())
        for number, (name, was_there) in enumerate(journal.items()):
            place = _place(folder, name)
            _refuse_link(place.parent, folder)
            _put_back(place, workshop, number, was_there=bool(was_there))


def _make(folder: Path, made: list[Path]) -> None:
    """Make a folder and what it lies in, and add to `made` those that were missing, outer first."""
    missing = [f for f in (folder, *folder.parents) if not f.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    made += reversed(missing)


def _place(folder: Path, name: str) -> Path:
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or "\\" in name or not path.parts:
        raise HogginError(f"cannot write {name!r}: it is not a plain path under the output folder")
    return folder.joinpath(*path.parts)


def _refuse_link(below: Path, folder: Path) -> None:
    """Raises HogginError where a folder below the output folder is a link: it may lead out."""
    for part in (below, *below.parents):
        if part == folder:
            return
        if part.is_symlink():
            raise HogginError(f"`{part}` is a link: nothing is written through it")


def _exchange(contents: Mapping[str, bytes], places: Mapping[str, Path], workshop: Path) -> None:
    """Write all that is new and copy all that is old, then rename; undo on failure."""
    old = {name: os.path.lexists(place) for name, place in places.items()}
    for number, (name, content) in enumerate(contents.items()):
        (workshop / f"new{number}").write_bytes(content)
        if old[name]:
            shutil.copy2(places[name], workshop / f"old{number}", follow_symlinks=False)
    (workshop / _JOURNAL).write_text(json.dumps(old))
    try:
        for number, place in enumerate(places.values()):
            (workshop / f"new{number}").replace(place)
    except BaseException:
        for number, (name, place) in enumerate(places.items()):
            with suppress(OSError):  # one file that cannot be put back must not stop the others
                _put_back(place, workshop, number, was_there=old[name])
        raise
    (workshop / _JOURNAL).unlink()  # from here on the new set is the one to keep


def _put_back(place: Path, workshop: Path, number: int, *, was_there: bool) -> None:
    """Undo the exchange of one file, if it took place and is not undone yet."""
    old = workshop / f"old{number}"
    if os.path.lexists(workshop / f"new{number}"):
        return
    if not was_there:
        place.unlink(missing_ok=True)
    elif os.path.lexists(old):
        old.replace(place)


def _reason(error: OSError) -> str:
    named = f" ({Path(error.filename).name})" if isinstance(error.filename, str) else ""
    return f"{(error.strerror or str(error)).lower()}{named}"
