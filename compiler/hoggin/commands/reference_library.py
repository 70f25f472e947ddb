"""`docs/classes.md`: the machine classes, grading bands and sieve series of the library."""

from __future__ import annotations

from collections.abc import Iterator

from hoggin.check.library import Library, load_library
from hoggin.commands.listing import block
from hoggin.world import library_names

_HEAD = """\
# Machine classes of the library

Every class of the standard library, with what it is given and what may be set, as `hoggin classes`
prints them. Then the grading bands and the sieve series. The source of every figure is in
`stdlib/`, beside the figure. The classes are generic: none is the machine of a maker.
"""


def library_page(note: str) -> str:
    """The whole page, in Markdown."""
    libraries = {name: load_library(name) for name in library_names()}
    parts = [
        note + _HEAD,
        *_classes(libraries),
        "## Grading bands\n",
        "For `require PRODUCT meets BAND`.\n",
        *_bands(libraries),
        "## Sieve series\n",
        "For the line `sieves` of a plant.\n",
        "| series | sizes, mm |\n|---|---|",
        *_series(libraries),
    ]
    return "\n".join(parts) + "\n"


def _classes(libraries: dict[str, Library]) -> Iterator[str]:
    for name, library in libraries.items():
        if library.classes:
            yield f"## {name}\n"
        for entity in library.classes.values():
            shown = block(name, entity.node)
            yield f"### {_short(name)}.{entity.node.name.text}\n\n```\n{shown}```\n"


def _bands(libraries: dict[str, Library]) -> Iterator[str]:
    for name, library in libraries.items():
        if library.bands:
            yield f"### {name}\n\n| band | for |\n|---|---|"
            yield from (f"| `{_short(name)}.{b}` | {of.about} |" for b, of in library.bands.items())
            yield ""


def _series(libraries: dict[str, Library]) -> Iterator[str]:
    for name, library in libraries.items():
        for one, sizes in library.series.items():
            yield f"| `{_short(name)}.{one}` | {' '.join(f'{size:g}' for size in sizes)} |"


def _short(library: str) -> str:
    """The name that a file knows a library by, once it uses it."""
    return library.rpartition(".")[2]
