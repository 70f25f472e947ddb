"""Keeps layouts by the graph they were made of, so that a changed setting redraws at once.

Only what is drawn is in a graph, and no result. An entry's name is a hash of the graph, and its
first line a hash of its content: one that can't be read, or is damaged, counts as missing. Entries
are written to a draft and renamed, so they are complete whoever else writes. A folder that can't be
written is not an error.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path

MOST_BYTES = 32_000_000  # of all entries; the longest unused go first
_MADE_WITH = "elkjs 0.12.1, 1"  # the last number to be raised when what is kept changes its meaning
_PRUNE_EVERY = 50  # entries written by this process

_memory: dict[str, str] = {}


def get(graph: str) -> str | None:
    """The layout of a graph, as JSON; None where it is not known."""
    key = _key(graph)
    if key not in _memory:
        with suppress(OSError, ValueError):
            _memory[key] = _read(key)
    return _memory.get(key)


def put(graph: str, layout: str) -> None:
    key = _key(graph)
    _memory[key] = layout
    _write(key, layout.encode())
    if len(_memory) % _PRUNE_EVERY == 1:
        _prune()


def _key(graph: str) -> str:
    return hashlib.sha256(f"{_MADE_WITH}\n{graph}".encode()).hexdigest()


@cache
def _folder_at(base: str) -> Path | None:
    try:
        folder = Path(base).expanduser() / "hoggin" / "layouts"
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except (OSError, RuntimeError):
        return None
    return folder


def _folder() -> Path | None:
    return _folder_at(os.environ.get("XDG_CACHE_HOME") or "~/.cache")


def _read(key: str) -> str:
    """An entry's content. Raises OSError or ValueError where it is missing or damaged."""
    folder = _folder()
    if folder is None:
        raise ValueError("nothing is kept")
    path = folder / key
    digest, _, content = path.read_bytes().partition(b"\n")
    if hashlib.sha256(content).hexdigest().encode() != digest:
        raise ValueError("the entry is damaged")
    with suppress(OSError):
        os.utime(path)
    return content.decode()


def _write(key: str, content: bytes) -> None:
    folder = _folder()
    if folder is None:
        return
    digest = hashlib.sha256(content).hexdigest().encode()
    with suppress(OSError):
        handle, draft = tempfile.mkstemp(prefix=".draft-", dir=folder)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(digest + b"\n" + content)
            Path(draft).replace(folder / key)
        except BaseException:
            Path(draft).unlink(missing_ok=True)
            raise


def _prune() -> None:
    """Remove the longest unused entries above a size; drafts left behind are among them."""
    entries = sorted(_entries())
    total = sum(size for _, size, _ in entries)
    for _, size, path in entries:
        if total <= MOST_BYTES:
            return
        total -= size
        with suppress(OSError):
            Path(path).unlink()


def _entries() -> Iterator[tuple[float, int, str]]:
    folder = _folder()
    if folder is None:
        return
    with suppress(OSError):
        for entry in os.scandir(folder):
            with suppress(OSError):  # another command may have removed it
                yield entry.stat().st_mtime, entry.stat().st_size, entry.path
