"""Keeps layouts by the graph they were made of, so that a changed setting redraws at once.

Only what is drawn is in a graph, and no result. An entry's name is a hash of the graph. One that
can't be read, or is damaged, counts as missing.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from hoggin.caches import cache_folder, keep, kept, tidied

MOST_BYTES = 32_000_000  # of all entries; the longest unused go first
_MADE_WITH = "elkjs 0.12.1, 1"  # the last number to be raised when what is kept changes its meaning
_PRUNE_EVERY = 50  # entries written by this process

_memory: dict[str, str] = {}


def get(graph: str) -> str | None:
    """The layout of a graph, as JSON; None where it is not known."""
    key = _key(graph)
    if key not in _memory and (layout := _read(key)) is not None:
        _memory[key] = layout
    return _memory.get(key)


def put(graph: str, layout: str) -> None:
    key = _key(graph)
    _memory[key] = layout
    folder = cache_folder("layouts")
    if folder is not None:
        keep(folder / key, layout.encode())
    if len(_memory) % _PRUNE_EVERY == 1:
        _prune()


def _key(graph: str) -> str:
    return hashlib.sha256(f"{_MADE_WITH}\n{graph}".encode()).hexdigest()


def _read(key: str) -> str | None:
    """An entry's content, which counts as used now; None where it is missing or damaged."""
    folder = cache_folder("layouts")
    content = None if folder is None else kept(folder / key)
    if folder is None or content is None:
        return None
    with suppress(OSError):
        os.utime(folder / key)
    return content.decode()


def _prune() -> None:
    """Remove the longest unused entries above a size, and drafts that were left behind."""
    entries = sorted(_entries())
    total = sum(size for _, size, _ in entries)
    for _, size, path in entries:
        if total <= MOST_BYTES:
            return
        total -= size
        with suppress(OSError):
            Path(path).unlink()


def _entries() -> Iterator[tuple[float, int, str]]:
    folder = cache_folder("layouts")
    for entry in () if folder is None else tidied(folder):
        with suppress(OSError):  # another command may have removed it
            yield entry.stat().st_mtime, entry.stat().st_size, entry.path
