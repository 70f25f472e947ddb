"""`hoggin compare`: two plants, or all plants of two folders, by file, folder or git revision."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from hoggin.commands.balancing import rated
from hoggin.commands.designs import in_revision
from hoggin.errors import HogginError, SourceError
from hoggin.revise.compare import Comparison, Side, compare
from hoggin.revisions import RevisionWorld
from hoggin.schema.results import Results
from hoggin.schema.rounding import as_written
from hoggin.world import World, named

if TYPE_CHECKING:
    from hoggin.check.checker import Checked


class LibraryError(HogginError):
    """A file holds no plant."""


@dataclass(frozen=True)
class Place:
    """A plant to be read: the name it is told by, and where from."""

    name: str
    world: World | None  # None for a results document
    document: Path | None = None


@dataclass(frozen=True)
class Compared:
    """Two plants and what differs between them."""

    before: Side
    after: Side
    comparison: Comparison


def compared(before: Place, after: Place, threshold: float) -> Compared:
    old, new = read_side(before), read_side(after)
    return Compared(old, new, compare(old, new, threshold))


def comparisons(before: str, after: str, threshold: float) -> Iterator[Compared]:
    """The comparison of two plants, or one for every plant that is in both folders.

    Raises HogginError.
    """
    old, new = _places(before), _places(after)
    if len(old) == len(new) == 1 and "" in old and "" in new:
        yield compared(old[""], new[""], threshold)
        return
    if "" in old or "" in new:
        raise HogginError("a plant is compared with a plant, a folder with a folder")
    shared = [path for path in new if path in old]
    if not shared:
        raise HogginError(f"no plant of `{before}` has its like in `{after}`")
    for path in shared:
        try:
            yield compared(old[path], new[path], threshold)
        except LibraryError:
            continue  # what it changes shows in the plants that use it


def unpaired(before: str, after: str) -> list[str]:
    """A sentence for each file that only one of two folders has."""
    old, new = _places(before), _places(after)
    gone = [f"`{path}` is only in `{before}`" for path in old if path not in new]
    return [*gone, *(f"`{path}` is only in `{after}`" for path in new if path not in old)]


def read_side(place: Place) -> Side:
    """Check and balance a plant, or read its results document."""
    if place.document is not None:
        return _document_side(place.name, place.document)
    from hoggin.check.checker import check

    assert place.world is not None
    with named(place.name):
        checked = check(place.world, place.world.open_main())
    if checked.has_errors:
        raise SourceError(checked.diagnostics)
    return side_of(place.name, checked)


def side_of(name: str, checked: Checked) -> Side:
    """A checked plant, balanced where it can be. Raises LibraryError."""
    if checked.plant is None:
        raise LibraryError(f"`{name}` is a library: it holds no plant to compare")
    results = rated(checked)
    if isinstance(results, Results):
        return _side(name, results)
    return Side(name, as_written(checked.plant), None, unsettled=results.message)


def _document_side(name: str, path: Path) -> Side:
    from pydantic import ValidationError

    from hoggin.world import read_bytes

    try:
        with named(name):
            results = Results.model_validate_json(read_bytes(path))
    except ValidationError as fault:
        first = fault.errors()[0]
        where = ".".join(map(str, first["loc"])) or "the document"
        raise HogginError(f"`{name}` is no results document: {where}: {first['msg']}") from None
    if not _finite(results.model_dump()):
        raise HogginError(f"`{name}` is no results document: it holds a number that is none")
    return _side(name, results)


def _side(name: str, results: Results) -> Side:
    """A plant as its results hold it: then a document and its plant don't differ."""
    if results.plant is None:
        raise HogginError(f"`{name}` is of an older compiler and does not hold the plant itself")
    return Side(name, results.plant, results)


def _finite(value: object) -> bool:
    """Whether all numbers in plain data are: NaN and infinity are no JSON, but are read from it."""
    if isinstance(value, Mapping):
        return all(map(_finite, value.values()))
    if isinstance(value, list | tuple):
        return all(map(_finite, value))
    return not isinstance(value, float) or math.isfinite(value)


def _places(name: str) -> Mapping[str, Place]:
    """Plants by path within a folder; a single plant under the empty path."""
    found = in_revision(name)
    if found is not None:
        revision, path = found
        if not revision.is_folder(path):
            return {"": Place(name, RevisionWorld(revision, path))}
        base = PurePosixPath(path)
        return {
            str(file.relative_to(base)): Place(
                revision.name_of(file), RevisionWorld(revision, file)
            )
            for file in revision.plants(path)
        }
    here = Path(name)
    if not here.is_dir():
        document = here if here.suffix == ".json" else None
        return {"": Place(name, None if document else World(here), document)}
    return {
        file.relative_to(here).as_posix(): Place(str(file), World(file))
        for file in sorted(here.rglob("*.hog"))
    }


def printed(found: Sequence[Comparison], form: str) -> str:
    """All comparisons one after the other: for a terminal, as Markdown or as JSON."""
    from hoggin.report import text
    from hoggin.report.comparison import comparison_json, document

    if form == "json":
        if len(found) == 1:
            return comparison_json(found[0])
        return "[\n" + ",\n".join(comparison_json(one).rstrip() for one in found) + "\n]\n"
    if form == "markdown":
        return "\n".join(text.markdown(document(one)) for one in found)
    from hoggin.commands.showing import terminal_width

    return "\n".join(text.terminal(document(one), terminal_width()) for one in found)


def drawing(found: Sequence[Compared], file: Path) -> dict[str, bytes]:
    """The flowsheet of both plants by the name of its file, whose ending says what it is.

    Raises HogginError and HogginError.
    """
    from hoggin.report import comparison_flowsheet, flowsheet

    if len(found) != 1:
        raise HogginError("a drawing is of two plants, not of two folders")
    (one,) = found
    if one.before.results is None or one.after.results is None:
        raise HogginError("a plant that can't be balanced can't be drawn")
    if file.suffix not in (".svg", ".png", ".dot"):
        raise HogginError("a drawing is written to a file in .svg, .png or .dot")
    text = comparison_flowsheet.dot(one.before.results, one.after.results, one.comparison)
    if file.suffix == ".dot":
        return {file.name: text.encode()}
    return {file.name: flowsheet.svg(text) if file.suffix == ".svg" else flowsheet.png(text)}
