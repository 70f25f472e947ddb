"""What an issued document was made from, so that it can be made again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from hoggin import __version__
from hoggin.diagnostics.source import Source
from hoggin.library_versions import library_version, sha256
from hoggin.schema.editions import EDITIONS
from hoggin.schema.results import PackageRecord, Provenance, SourceRecord


def provenance(
    sources: Mapping[str, Source],
    edition: int | None,
    packages: Iterable[tuple[str, str]] = (),
) -> Provenance:
    """The record of a plant read from these sources, main file and libraries alike.
    packages: name and version of the plug-in packages that it uses."""
    records = tuple(
        SourceRecord(name=name, sha256=sha256(sources[name].text)) for name in sorted(sources)
    )
    return Provenance(
        compiler_version=__version__,
        library_version=library_version(),
        edition=EDITIONS[-1] if edition is None else edition,
        content_sha256=sha256("".join(f"{r.name}\n{r.sha256}\n" for r in records)),
        sources=records,
        plugins=tuple(PackageRecord(name=name, version=said) for name, said in packages),
    )
