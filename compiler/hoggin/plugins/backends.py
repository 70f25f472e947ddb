"""Backends of plug-in packages: files that `hoggin issue --with NAME` writes besides its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import HogginError
from hoggin.plugins.api import Backend
from hoggin.plugins.offers import Offer, find, offers

if TYPE_CHECKING:
    from hoggin.schema.results import Results


def documents(results: Results, names: Iterable[str]) -> dict[str, bytes]:
    """What backends make of results, each in a folder of its own name. Raises HogginError for a
    name that no package offers, PluginError for a backend that can't be used."""
    found: dict[str, bytes] = {}
    for name in dict.fromkeys(names):
        offer = find("backends", name)
        if offer is None:
            near = did_you_mean(name, offers("backends"))
            raise HogginError(f"no installed package has the backend `{name}`. {near}".rstrip())
        backend = checked(offer)
        with offer.running("failed"):
            files = backend(results)
        found |= {f"{name}/{path}": data for path, data in _bytes(offer, files).items()}
    return found


def checked(offer: Offer) -> Backend:
    """The offered backend. Raises PluginError."""
    found: Backend = offer.load()
    offer.check_call(found, "results")
    return found


def _bytes(offer: Offer, files: object) -> dict[str, bytes]:
    if not isinstance(files, Mapping):
        raise offer.fault(f"gave a {type(files).__name__}, not files by their names")
    found = {}
    for name, content in files.items():
        if not isinstance(name, str) or not isinstance(content, str | bytes):
            raise offer.fault("must give texts or bytes by the names of files")
        path = PurePosixPath(name)
        if not path.parts or path.is_absolute() or ".." in path.parts or set("\\\0") & set(name):
            raise offer.fault(f"gave the name {name!r}, which is not a plain path")
        found[path.as_posix()] = content.encode() if isinstance(content, str) else content
    return found
