"""What an issued document was made from, so that it can be made again.

Hashes are of the texts as the compiler reads them (UTF-8, line ends as `\\n`), so a checkout on
another system gives the same.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping

from hoggin import __version__
from hoggin.check.edition import EDITIONS
from hoggin.diagnostics.source import Source
from hoggin.schema.results import PackageRecord, Provenance, SourceRecord
from hoggin.world import standard_library

VERSIONS = "versions.txt"
"""In the standard library's folder: a line a version, oldest first, with the hash of its texts."""


def provenance(
    sources: Mapping[str, Source],
    edition: int | None,
    packages: Iterable[tuple[str, str]] = (),
) -> Provenance:
    """The record of a plant read from these sources, main file and libraries alike.
    packages: name and version of the plug-in packages that it uses."""
    records = tuple(
        SourceRecord(name=name, sha256=_sha256(sources[name].text)) for name in sorted(sources)
    )
    return Provenance(
        compiler_version=__version__,
        library_version=library_version(),
        edition=EDITIONS[-1] if edition is None else edition,
        content_sha256=_sha256("".join(f"{r.name}\n{r.sha256}\n" for r in records)),
        sources=records,
        plugins=tuple(PackageRecord(name=name, version=said) for name, said in packages),
    )


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
    return _sha256("".join(f"{name}\n{_sha256(text)}\n" for name, text in sorted(texts)))


def _sha256(text: str) -> str:
    # A file's name may hold bytes that are no text in any encoding; they count as they are.
    return hashlib.sha256(text.encode(errors="surrogateescape")).hexdigest()
