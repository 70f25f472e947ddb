"""The file that keeps the finished batches of a study, so that an interrupted study can continue.

It has one line per batch, which begins with a hash of the line. So a line that was incomplete when
the computer stopped is recognised and ignored. The first line identifies the study: the texts of
the plant, the compiler, and the question. The file is removed when the study is done.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from pydantic import NonNegativeInt

from hoggin.errors import HogginError
from hoggin.schema.frozen import Frozen
from hoggin.studies.runner.spread import Part
from hoggin.writing import replace

NAME = "unfinished.study"
_FORMAT = 3
_ROWS = {"values": np.float64, "margins": np.float64, "void": np.bool_, "overloaded": np.bool_}


class UnavailableError(HogginError):
    """The folder has no place for the file; the message says why."""


class KeepingError(HogginError):
    """What is finished can't be kept any more, as on a full disk; the message is a sentence."""


@dataclass
class StudyFile:
    """`parts` holds the finished batches by what the study calls them. is_lacking: the study ended
    without some of them."""

    path: Path
    parts: dict[str, Part] = field(default_factory=dict)
    is_lacking: bool = False
    _stream: BinaryIO | None = None

    @property
    def cases(self) -> int:
        """How many cases are finished."""
        return sum(part.settled.size for part in self.parts.values())

    def keep(self, name: str, part: Part) -> None:
        """Add a finished batch; it is on the disk when this returns. Raises KeepingError."""
        assert self._stream is not None, "it is open until it is closed"
        try:
            self._stream.write(_line({"batch": name, **_plain(part)}))
            self._stream.flush()
            os.fsync(self._stream.fileno())
        except OSError as fault:
            with suppress(OSError):  # of what is left in its buffer
                self._stream.close()
            self._stream = None
            why = (fault.strerror or str(fault)).lower()
            raise KeepingError(f"`{self.path}` can't be written: {why}") from None
        self.parts[name] = part

    def close(self, *, done: bool = False) -> None:
        """Remove the file if the study is done, or if it keeps no batches yet."""
        if self._stream is not None:
            self._stream.close()
            self._stream = None
        if done or not self.parts:
            with suppress(OSError):
                self.path.unlink()


@contextmanager
def keeping(
    folder: Path | None, question: Mapping[str, Any], *, resume: bool
) -> Iterator[StudyFile | None]:
    """The study file of a folder while a study runs; None without a folder. Folders that are made
    for it are removed with it, if they are empty then. Raises HogginError."""
    if folder is None:
        yield None
        return
    made = [one for one in (folder, *folder.parents) if not one.exists()]
    kept = study_file(folder, question, resume=resume)
    done = False
    try:
        yield kept
        done = not kept.is_lacking
    finally:
        kept.close(done=done)
        with suppress(OSError):  # one with files in it stays
            for one in made:
                one.rmdir()


def study_file(folder: Path, question: Mapping[str, Any], *, resume: bool) -> StudyFile:
    """Open the study file of a folder, to continue from it or to begin.

    question: plain data that identifies the study. Raises HogginError if the file belongs to
    another study, has results and is not to be resumed, or can't be opened.
    """
    path = folder / NAME
    asked = hashlib.sha256(json.dumps(question, sort_keys=True).encode()).hexdigest()
    header = _line({"format": _FORMAT, "question": asked})
    try:
        if path.exists() and not path.is_file():  # to read from a pipe is to wait
            raise HogginError(f"`{path}` is not a file: remove it to start")
        if path.exists():
            _refuse_running(path)
        lines = _sound(path.read_bytes() if path.exists() else b"")
        if len(lines) > 1 and not resume:
            count = "1 batch" if len(lines) == 2 else f"{len(lines) - 1} batches"
            raise HogginError(
                f"`{path}` has {count} of an interrupted study: "
                "`--resume` continues it; remove the file to start again"
            )
        if lines and resume and lines[0] != header:
            raise HogginError(
                f"`{path}` belongs to another study: the plant, the library, the compiler or the "
                "question has changed since. Remove the file to start again"
            )
        kept = lines if resume and lines else [header]
        batches = [_Kept.model_validate_json(line[17:]) for line in kept[1:]]
        parts = {one.batch: one.part for one in batches}
        folder.mkdir(parents=True, exist_ok=True)
        replace(path, b"".join(kept))
        return StudyFile(path, parts, _stream=_appended(path))
    except ValueError:  # pydantic's is one
        raise HogginError(
            f"`{path}` is not as a study wrote it: remove the file to start again"
        ) from None
    except OSError as fault:
        raise UnavailableError(f"`{path}` is not available: {fault.strerror}") from None


def _appended(path: Path) -> BinaryIO:
    """The file, open for more lines. A link that has taken its place is not followed."""
    no_link = getattr(os, "O_NOFOLLOW", 0)  # not on every system
    stream = os.fdopen(os.open(path, os.O_WRONLY | os.O_APPEND | no_link), "ab")
    _lock(stream.fileno())
    return stream


def _refuse_running(path: Path) -> None:
    """Raises HogginError where another command is adding to the file now."""
    handle = os.open(path, os.O_RDWR)
    try:
        if not _lock(handle):
            raise HogginError(f"another command is working on the study of `{path}`")
    finally:
        os.close(handle)


def _lock(handle: int) -> bool:
    """Lock a file until it is closed, however the process ends. False where another process has
    locked it. Processes that this one has started do not hold the lock."""
    try:
        import fcntl

        fcntl.lockf(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):  # POSIX allows either
        return False
    except (ImportError, OSError):  # a system, or a file system, without such locks
        pass
    return True


def _sound(content: bytes) -> list[bytes]:
    """The complete lines, up to the first that is not."""
    found: list[bytes] = []
    for line in content.splitlines(keepends=True):
        if line[:16].decode("ascii", "replace") != _digest(line[17:]):
            break
        found.append(line)
    return found


def _line(plain: Mapping[str, Any]) -> bytes:
    text = json.dumps(plain, separators=(",", ":")).encode() + b"\n"
    return _digest(text).encode() + b" " + text


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]


def _plain(part: Part) -> dict[str, Any]:
    """Numbers in full: Python writes a float so that it reads back as the same."""
    arrays = {name: getattr(part, name) for name in (*_ROWS, "settled")}
    plain: dict[str, Any] = {name: array.tolist() for name, array in arrays.items()}
    return plain | {"refused": {str(case): reason for case, reason in part.refused.items()}}


class _Kept(Frozen):
    """A line, as `_plain` and the batch's name give it."""

    batch: str
    values: tuple[tuple[float, ...], ...]
    margins: tuple[tuple[float, ...], ...]
    void: tuple[tuple[bool, ...], ...]
    overloaded: tuple[tuple[bool, ...], ...]
    settled: tuple[bool, ...]
    refused: dict[NonNegativeInt, str]

    @property
    def part(self) -> Part:
        """Raises ValueError where a list has another length than `settled`, or a refused case is
        none of them."""
        if any(case >= len(self.settled) for case in self.refused):
            raise ValueError("there is no such case")
        rows: dict[str, Any] = {
            name: np.array(getattr(self, name), dtype=kind).reshape(-1, len(self.settled))
            for name, kind in _ROWS.items()
        }
        return Part(**rows, settled=np.array(self.settled, dtype=bool), refused=self.refused)
