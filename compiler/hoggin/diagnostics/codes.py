"""Every diagnostic by its code.

E01 reading the text, E02 names and files, E03 units and values, E04 classes and settings,
E05 routes, E06 gradings and decks, E07 templates and limits, E08 the balance, E09 measured data
for a fit; W01 and W05 are warnings of the checker and of rating: the documents are issued all the
same.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from hoggin.diagnostics import families
from hoggin.diagnostics.fault import Fault

FAMILIES = tuple(
    import_module(f"{families.__name__}.{found.name}") for found in iter_modules(families.__path__)
)
_DECLARED = {
    declared.code: declared
    for family in FAMILIES
    for declared in vars(family).values()
    if isinstance(declared, type) and issubclass(declared, Fault) and declared is not Fault
}
CODES: dict[str, type[Fault]] = dict(sorted(_DECLARED.items()))
