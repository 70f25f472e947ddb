"""`hoggin compare`: two plants, or all plants of two folders, by file, folder or git revision."""

from __future__ import annotations

import argparse
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from hoggin.balancing import rated_in_all
from hoggin.check.checker import Checked, check
from hoggin.commands.designs import in_revision
from hoggin.commands.running import told_apart, write_files
from hoggin.commands.showing import shown
from hoggin.diagnostics.diagnostic import Diagnostic
from hoggin.errors import Exit, HogginError, SourceError
from hoggin.progress import Working, working
from hoggin.report import comparison as report
from hoggin.report import fleet as fleet_report
from hoggin.report.drawing.formats import files
from hoggin.report.results_json import found_json, read_results
from hoggin.report.revised.drawing import STEM
from hoggin.report.revised.drawing import compared as drawn
from hoggin.revise import compare as comparisons
from hoggin.revise.compare import Comparison, Side
from hoggin.revise.compare.fleet import Fleet, FleetEntry, Status, compared_entry, pair_plants
from hoggin.revisions import RevisionWorld
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.world import World, named, read_bytes, sources_below

_WAYS = report.Ways("`--min-weight 0` adds them", "`--all` adds them")


class LibraryError(HogginError):
    """A file that has no plant."""


@dataclass(frozen=True)
class Place:
    """A plant to be read: the name it is shown by, and its source."""

    name: str
    world: World | None  # None for a results document
    document: Path | None = None


@dataclass(frozen=True)
class Compared:
    """Two plants and what differs between them."""

    before: Side
    after: Side
    comparison: Comparison


def compare(options: argparse.Namespace) -> int:
    with working("balancing and comparing") as line:
        found = compared_by_name(options.before, options.after, options.min_weight, line)
        contents = _drawing(found) if options.into else {}
    if isinstance(found, Compared):
        print(printed(found.comparison, options.form, everything=options.all), end="")
        unsettled = _any_unsettled(found.comparison)
        broken, same = False, found.comparison.same
    else:
        print(printed_fleet(found, options.form, everything=options.all), end="")
        unsettled = any(_any_unsettled(e.comparison) for e in found.plants if e.comparison)
        broken, same = any(e.status == "broken" for e in found.plants), found.same
    if contents:
        write_files(contents, options.into, named_in=told_apart(options.form))
    if broken:
        return Exit.SOURCE
    if unsettled:
        return Exit.UNBALANCED
    return Exit.DIFFERENT if options.expect_same and not same else Exit.DONE


def _any_unsettled(found: Comparison) -> bool:
    """Whether a plant can't be balanced, or one of its cases."""
    sides = [*found.sides, *(side for case in found.cases for side in case.sides)]
    return any(side.unsettled for side in sides)


def compared(before: Place, after: Place, threshold: float) -> Compared:
    old, new = read_side(before), read_side(after)
    return Compared(old, new, comparisons.compare(old, new, threshold))


def compared_by_name(before: str, after: str, threshold: float, line: Working) -> Compared | Fleet:
    """Two plants, or all plants of two folders. Raises HogginError."""
    old, new = _places(before), _places(after)
    if "" in old and "" in new:
        return compared(old[""], new[""], threshold)
    if "" in old or "" in new:
        raise HogginError("a plant is compared with a plant, a folder with a folder")
    return _folders(before, after, old, new, threshold, line)


def _folders(
    before: str,
    after: str,
    old_places: Mapping[str, Place],
    new_places: Mapping[str, Place],
    threshold: float,
    line: Working,
) -> Fleet:
    """Every plant of two folders. One that can't be read does not stop the others. Libraries are
    compared through the plants that use them."""
    old = _read_all(old_places, line.each("balancing earlier plant", list(old_places)))
    new = _read_all(new_places, line.each("balancing later plant", list(new_places)))
    if not old and not new:
        raise HogginError(f"there is no plant in `{before}` or in `{after}`")
    pairing = pair_plants(_plants(old), _plants(new))
    entries = [
        *(_entry(path, path, old[path], new[path], threshold) for path in pairing.kept),
        *(_entry(b, a, old[a], new[b], threshold) for a, b in pairing.moved.items()),
        *(_alone(path, "removed", old[path]) for path in pairing.gone),
        *(_alone(path, "added", new[path]) for path in pairing.come),
    ]
    entries.sort(key=lambda entry: entry.path)
    return Fleet(before=before, after=after, plants=tuple(entries))


_Found = Side | HogginError


def _read_all(places: Mapping[str, Place], paths: Iterable[str]) -> dict[str, _Found]:
    found: dict[str, _Found] = {}
    for path in paths:
        try:
            found[path] = read_side(places[path])
        except LibraryError:
            continue
        except HogginError as fault:
            found[path] = fault
    return found


def _plants(found: Mapping[str, _Found]) -> dict[str, Plant | None]:
    return {path: side.plant if isinstance(side, Side) else None for path, side in found.items()}


def _entry(path: str, was: str, old: _Found, new: _Found, threshold: float) -> FleetEntry:
    for side in (old, new):
        if isinstance(side, HogginError):
            return FleetEntry(path=path, was=was, status="broken", fault=why(side))
    assert isinstance(old, Side) and isinstance(new, Side)
    return compared_entry(path, was, comparisons.compare(old, new, threshold))


def _alone(path: str, status: Status, found: _Found) -> FleetEntry:
    fault = why(found) if isinstance(found, HogginError) else ""
    return FleetEntry(path=path, was=path, status="broken" if fault else status, fault=fault)


def why(fault: HogginError) -> str:
    """The first error of a plant, with its place."""
    errors = [one for one in fault.diagnostics if one.is_error]
    if not errors:
        return str(fault)
    span, more = errors[0].span, len(errors) - 1
    rest = f" (and {more} more)" if more else ""
    return f"{errors[0].code} at {span.source.name}:{span.line}: {errors[0].message}{rest}"


def read_side(place: Place) -> Side:
    """Check a plant and balance it if possible, or read its results document.

    Raises HogginError, or LibraryError for a library.
    """
    if place.document is not None:
        return _document_side(place.name, place.document)
    assert place.world is not None
    with named(place.name):
        checked = check(place.world, place.world.open_main())
    if checked.has_errors:
        raise SourceError(checked.diagnostics)
    if checked.plant is None:
        raise LibraryError(f"`{place.name}` is a library and has no plant to compare")
    found = zip(checked.states, rated_in_all(checked), strict=True)
    written, *others = (_state(place.name, state, results) for state, results in found)
    return replace(written, cases=dict(zip(sorted(checked.cases), others, strict=True)))


def _state(name: str, checked: Checked, results: Results | Diagnostic) -> Side:
    """A plant in one of its states, balanced if possible."""
    assert checked.plant is not None
    if isinstance(results, Results):
        return side_of(name, results)
    return Side(name, checked.plant, None, unsettled=results.message)


def _document_side(name: str, path: Path) -> Side:
    with named(name):
        data = read_bytes(path)
    try:
        results = read_results(data)
    except HogginError as fault:
        raise HogginError(f"`{name}` is not a results document: {fault}") from None
    return side_of(name, results)


def side_of(name: str, results: Results) -> Side:
    """A plant as its results record it, so that a document and its plant don't differ."""
    if results.plant is None:
        raise HogginError(
            f"`{name}` was written by an older compiler and does not contain the plant"
        )
    return Side(name, results.plant, results)


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
    places: dict[str, Place] = {}
    for file in sources_below(here):
        with named(file):
            places[file.relative_to(here).as_posix()] = Place(str(file), World(file))
    return places


def printed(found: Comparison, form: str, *, everything: bool = False) -> str:
    """The comparison for a terminal, as Markdown or as JSON."""
    if form == "json":
        return found_json(found)
    return shown(report.document(found, everything=everything, ways=_WAYS), form)


def printed_fleet(found: Fleet, form: str, *, everything: bool = False) -> str:
    """Two folders: the table of plants, and the comparison of each that differs."""
    if form == "json":
        return found_json(found)
    differing = [e.comparison for e in found.plants if e.comparison and not e.comparison.same]
    documents = (report.document(one, everything=everything, ways=_WAYS) for one in differing)
    return "\n".join(shown(one, form) for one in (fleet_report.document(found), *documents))


def _drawing(found: Compared | Fleet) -> dict[str, bytes]:
    """The flowsheet of both plants, by the names of its files. Raises HogginError."""
    if isinstance(found, Fleet):
        raise HogginError("`--into` needs two plants, not two folders")
    if found.before.results is None or found.after.results is None:
        raise HogginError("a plant that can't be balanced can't be drawn")
    return files(drawn(found.before.results, found.after.results, found.comparison), STEM)
