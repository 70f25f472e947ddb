"""The versions of the standard library, and the hashes of texts.

Hashes are of the texts as the compiler reads them (UTF-8, line ends as `\\n`), so a checkout on
another system gives the same.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from hoggin.world import standard_library

VERSIONS = "versions.txt"
"""In the standard library's folder: a line a version, oldest first, with the hash of its texts."""


def library_version() -> str:
    """The standard library's version: the last that its folder lists."""
    return library_versions()[-1][0]


def library_versions() -> list[tuple[str, str]]:
    """Every (version, SHA-256 of all its texts), oldest first."""
    lines = (standard_library() / VERSIONS).read_text(encoding="utf-8").splitlines()
    rows = (line.split() for line in lines if line.strip() and not line.startswith("#"))
    return [(version, digest) for version, digest in rows]


def library_digest(texts: Iterable[tuple[str, str]]) -> str:
    """SHA-256 of a standard library's texts, given as (full name, text)."""
    return sha256("".join(f"{name}\n{sha256(text)}\n" for name, text in sorted(texts)))


def sha256(text: str) -> str:
    # A file's name may hold bytes that are no text in any encoding; they count as they are.
    return hashlib.sha256(text.encode(errors="surrogateescape")).hexdigest()
