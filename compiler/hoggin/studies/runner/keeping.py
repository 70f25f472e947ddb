"""The file that keeps the finished batches of a study, so that it can go on after an interruption.

A line a batch, each led by a hash of itself: a line that was being written when the machine stopped
is known for what it is, and left out. The first line says what study it is of: the texts of the
plant, the compiler, and the question. The file goes when the study is done.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np

from hoggin.errors import HogginError
from hoggin.studies.runner.spread import Part

NAME = "unfinished.study"
_FORMAT = 1


@dataclass
class StudyFile:
    """`parts` holds the finished batches by number."""

    path: Path
    parts: dict[int, Part] = field(default_factory=dict)
    _stream: BinaryIO | None = None

    def keep(self, number: int, part: Part) -> None:
        """Add a finished batch; on the disk when this returns. Raises HogginError."""
        assert self._stream is not None, "it is open until it is closed"
        try:
            self._stream.write(_line({"batch": number, **_plain(part)}))
            self._stream.flush()
            os.fsync(self._stream.fileno())
        except OSError as fault:
            raise HogginError(f"`{self.path}` can't be written: {fault.strerror}") from None
        self.parts[number] = part

    def close(self) -> None:
        """A file that keeps nothing yet goes as well."""
        if self._stream is not None:
            self._stream.close()
            self._stream = None
        if not self.parts:
            self._unlink()

    def remove(self) -> None:
        """The study is done."""
        self.close()
        self._unlink()

    def _unlink(self) -> None:
        with suppress(OSError):
            self.path.unlink()


def study_file(folder: Path, question: Mapping[str, Any], *, resume: bool) -> StudyFile:
    """Open the study file of a folder, to go on with what it holds or to begin.

    question: plain data that says what study it is. Raises HogginError where the file is of another
    study, or holds results and is not to be resumed, or can't be had.
    """
    path = folder / NAME
    header = _line({"format": _FORMAT, "question": _digest(question)})
    try:
        before = path.read_bytes() if path.exists() else b""
        lines = _sound(before)
        if len(lines) > 1 and not resume:
            raise HogginError(
                f"`{path}` holds {_batches(len(lines) - 1)} of a study that was interrupted: "
                "`--resume` goes on with it; remove the file to begin anew"
            )
        if lines and resume and lines[0] != header:
            raise HogginError(
                f"`{path}` is of another study: the plant, the library, the compiler or the "
                "question has changed since. Remove the file to begin anew"
            )
        kept = lines if resume and lines else [header]
        folder.mkdir(parents=True, exist_ok=True)
        draft = path.with_name(f"{NAME}.draft")
        draft.write_bytes(b"".join(kept))
        draft.replace(path)
        parts = dict(_part(json.loads(line[17:])) for line in kept[1:])
        return StudyFile(path, parts, path.open("ab"))
    except OSError as fault:
        raise HogginError(f"`{path}` can't be had: {fault.strerror}") from None


def _batches(count: int) -> str:
    return "1 batch" if count == 1 else f"{count} batches"


def _sound(content: bytes) -> list[bytes]:
    """The lines that are whole, up to the first that is not."""
    found: list[bytes] = []
    for line in content.splitlines(keepends=True):
        if line[:16].decode("ascii", "replace") != _digest_of(line[17:]):
            break
        found.append(line)
    return found


def _line(plain: Mapping[str, Any]) -> bytes:
    text = json.dumps(plain, separators=(",", ":")).encode() + b"\n"
    return _digest_of(text).encode() + b" " + text


def _digest_of(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:16]


def _digest(question: Mapping[str, Any]) -> str:
    return hashlib.sha256(json.dumps(question, sort_keys=True).encode()).hexdigest()


def _plain(part: Part) -> dict[str, Any]:
    """Numbers in full: Python writes a float so that it reads back as the same."""
    return {
        "values": part.values.tolist(),
        "margins": part.margins.tolist(),
        "settled": part.settled.tolist(),
        "refused": {str(case): reason for case, reason in part.refused.items()},
    }


def _part(plain: dict[str, Any]) -> tuple[int, Part]:
    settled = np.array(plain["settled"], dtype=bool)
    rows = {
        name: np.array(plain[name], dtype=np.float64).reshape(len(plain[name]), settled.size)
        for name in ("values", "margins")
    }
    refused = {int(case): str(reason) for case, reason in plain["refused"].items()}
    return int(plain["batch"]), Part(rows["values"], rows["margins"], settled, refused)
