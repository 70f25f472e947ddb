"""Which plug-in packages a plant's results were made with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from hoggin.models import catalog
from hoggin.plugins.offers import Group, find
from hoggin.world import is_library

if TYPE_CHECKING:
    from hoggin.schema.plant import Plant


def packages(plant: Plant, sources: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The name and version of each package whose models, libraries or checks a plant uses, by
    name. sources: the names of all that the plant was read from. Raises PluginError."""
    offers = (find(group, name) for group, name in sorted(set(_used(plant, sources))))
    return tuple(sorted({(one.package, one.version) for one in offers if one is not None}))


def _used(plant: Plant, sources: Iterable[str]) -> Iterator[tuple[Group, str]]:
    for machine in plant.machines:
        for role, use in machine.models.items():
            if not catalog.is_own(role, use.model):
                yield "models", f"{role}.{use.model}"
    for source in sources:
        namespace = source.partition(".")[0]
        if is_library(source) and namespace != "std":
            yield "libraries", namespace
    for name in plant.checks:
        yield "checks", name
