"""The user's cache folder: files that are whole or absent, and known to be undamaged.

A file begins with a hash of the rest. It is written to a draft and renamed, so it is complete
whoever else writes it. What can't be read, or is damaged, counts as absent. A folder that can't be
written is not an error.
"""

from __future__ import annotations

import hashlib
import os
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from hoggin.world import UnreadableError, read_bytes
from hoggin.writing import replace

_ABANDONED = 3600.0  # seconds after which a draft belongs to no running command
_DRAFT = ".draft-"


def cache_folder(*below: str) -> Path | None:
    """A folder of the user's cache; None where there can be none."""
    try:
        base = os.environ.get("XDG_CACHE_HOME") or Path("~/.cache").expanduser()
        folder = Path(base, "hoggin", *below)
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except (OSError, RuntimeError, ValueError):
        return None
    return folder


def kept(path: Path) -> bytes | None:
    """What was kept in a file; None where it is absent or damaged."""
    try:
        digest, _, content = read_bytes(path).partition(b"\n")
    except UnreadableError:
        return None
    return content if _digest(content) == digest else None


def keep(path: Path, content: bytes) -> None:
    """Keep a content in a file, whole or not at all. No draft is left behind."""
    with suppress(OSError):
        replace(path, _digest(content) + b"\n" + content, prefix=_DRAFT)


def tidied(folder: Path) -> Iterator[os.DirEntry[str]]:
    """The files kept in a folder. Drafts whose command was killed are removed."""
    with suppress(OSError):
        for entry in os.scandir(folder):
            if not entry.name.startswith(_DRAFT):
                yield entry
                continue
            with suppress(OSError):  # another command may have removed it
                if time.time() - entry.stat().st_mtime > _ABANDONED:
                    Path(entry.path).unlink()


def _digest(content: bytes) -> bytes:
    return hashlib.sha256(content).hexdigest().encode()
