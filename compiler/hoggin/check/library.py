"""A library's contents by name: for listing what the standard library offers, and for tests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hoggin.check.gradings import band, series
from hoggin.check.loader import Loader
from hoggin.check.scope import BandEntity, ClassEntity, Scope, SeriesEntity, Session, TemplateEntity
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.schema.plant import Band
from hoggin.syntax import tree
from hoggin.world import World, library_path


@dataclass(frozen=True)
class Library:
    series: Mapping[str, tuple[float, ...]]  # sieve sizes in mm, coarse to fine
    bands: Mapping[str, Band]
    classes: Mapping[str, ClassEntity]
    templates: Mapping[str, TemplateEntity]
    diagnostics: tuple[Diagnostic, ...]


def says_what_it_is(entity: ClassEntity) -> bool:
    """Whether a class is one to choose; one that only others extend has no `about`."""
    body = entity.node.body
    return any(isinstance(s, tree.Fact) and s.name.text == "about" for s in body)


def load_library(name: str) -> Library:
    """Read an installed library by its full name, `std.gradings.astm`.

    Raises UnreadableError where there is none of that name.
    """
    session = Session(Diagnostics())
    world = World(library_path(name).resolve())  # installers may link each file
    scope: Scope = Loader(world, session).load(world.open_library(name)).scope
    names = scope.names.items()
    found_series = {n: series(e, session) for n, e in names if isinstance(e, SeriesEntity)}
    found_bands = {n: band(e, n, e.scope, session) for n, e in names if isinstance(e, BandEntity)}
    return Library(
        series={n: sizes for n, sizes in found_series.items() if sizes is not None},
        bands={n: limits for n, limits in found_bands.items() if limits is not None},
        classes={n: e for n, e in names if isinstance(e, ClassEntity) and says_what_it_is(e)},
        templates={n: e for n, e in names if isinstance(e, TemplateEntity)},
        diagnostics=tuple(session.diagnostics),
    )
