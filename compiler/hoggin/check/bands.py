"""A grading band by the name a user gives it outside a plant's text, on the command line."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from hoggin.check.gradings import band
from hoggin.check.library import load_library
from hoggin.check.loader import Loader
from hoggin.check.scope import BandEntity, ModuleEntity, Scope, Session
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.schema.plant import Band
from hoggin.world import World, library_names

_LIBRARY = "std.gradings."


def find_band(dotted: str, file: Path) -> Band | None:
    """The band that a plant's file calls so, or else one of the standard library, `astm.c33_57`.

    None where there is none. The file must have been checked: its faults are not reported again.
    """
    session = Session(Diagnostics())
    world = World(file)
    *modules, name = dotted.split(".")
    scope: Scope | None = Loader(world, session).load(world.open_main()).scope
    for module in modules:
        used = scope.names.get(module) if scope is not None else None
        scope = used.members if isinstance(used, ModuleEntity) else None
    entity = scope.names.get(name) if scope is not None else None
    if isinstance(entity, BandEntity):
        return band(entity, dotted, entity.scope, session)
    library = _LIBRARY + ".".join(modules).removeprefix(_LIBRARY)
    if library not in library_names():
        return None
    found = load_library(library).bands.get(name)
    return found.model_copy(update={"name": dotted}) if found is not None else None


def library_bands() -> Iterator[str]:
    """Every band of the standard library, as `astm.c33_57`."""
    for library in library_names():
        if library.startswith(_LIBRARY):
            for name in load_library(library).bands:
                yield f"{library.removeprefix(_LIBRARY)}.{name}"
