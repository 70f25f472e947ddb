"""All documents of a plant as bytes, and the one place that writes them to disk."""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path, PurePosixPath

from hoggin.errors import HogginError
from hoggin.report import (
    conveyors,
    dust,
    energy,
    equipment,
    grading_plot,
    graph,
    mass_balance,
    setting,
    slurry,
    storage,
    text,
    tramp,
    workbook,
)
from hoggin.report.drawing.flowsheet import flowsheet
from hoggin.report.drawing.formats import files
from hoggin.report.results_json import results_json
from hoggin.schema.results import Results

TEMPORARY = ".hoggin-"  # starts the name of the folder that files are made in
LONGEST_STEM = 80
# names that some operating systems keep for devices
RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)


def documents(results: Results) -> dict[str, bytes]:
    """Every document by its path under the output folder; the same results give the same bytes.

    `results.json` is the whole of the results, so neither table has a JSON of its own.
    Raises: HogginError when the flowsheet cannot be drawn.
    """
    balance, schedule = mass_balance.document(results), equipment.document(results)
    texts = {
        "results.json": results_json(results),
        "mass_balance.md": text.markdown(balance),
        "mass_balance.csv": text.comma_separated(mass_balance.stream_ledger(results)),
        "equipment.md": text.markdown(schedule),
        "equipment.csv": text.comma_separated(equipment.machines(results)),
        "equipment_decks.csv": text.comma_separated(equipment.decks(results)),
        "equipment_settings.csv": text.comma_separated(setting.settings(results)),
        "equipment_power.csv": text.comma_separated(energy.power(results)),
        "equipment_wear.csv": text.comma_separated(energy.wear(results)),
        "equipment_liner_cost.csv": text.comma_separated(energy.liner_costs(results)),
        "equipment_storage.csv": text.comma_separated(storage.storage(results)),
        "equipment_conveyors.csv": text.comma_separated(conveyors.belts(results)),
        "equipment_slurry.csv": text.comma_separated(slurry.slurries(results)),
        "equipment_classifiers.csv": text.comma_separated(slurry.classifiers(results)),
        "equipment_thickeners.csv": text.comma_separated(slurry.thickeners(results)),
        "equipment_tramp.csv": text.comma_separated(tramp.tramp(results)),
        "equipment_dust.csv": text.comma_separated(dust.by_source(results)),
        "graph.dot": graph.dot(results),
        "gradings/all-products.svg": grading_plot.together(results),
    }
    stems = file_stems(product.tag for product in results.products)
    for stem, product in zip(stems, results.products, strict=True):
        texts[f"gradings/{stem}.svg"] = grading_plot.one(results, product)
    return {
        **files(flowsheet(results), "flowsheet"),
        "mass_balance.xlsx": workbook.workbook(balance),
        "equipment.xlsx": workbook.workbook(schedule),
        **{name: content.encode() for name, content in texts.items()},
    }


def file_stems(tags: Iterable[str]) -> list[str]:
    """A safe file name for each tag: no separators, no device names, no two alike in any case.

    A tag never holds a hyphen, so a name with one (`all-products`) cannot be a product's.
    """
    stems: list[str] = []
    for tag in tags:
        stem = re.sub(r"[^A-Za-z0-9_.]", "_", tag).strip(".")[:LONGEST_STEM] or "product"
        if RESERVED.fullmatch(stem):
            stem = f"{stem}_"
        taken = {other.lower() for other in stems}
        number, plain = 2, stem
        while stem.lower() in taken:
            stem, number = f"{plain}-{number}", number + 1
        stems.append(stem)
    return stems


def write(contents: Mapping[str, bytes], folder: Path) -> tuple[Path, ...]:
    """Put all documents into a folder, or none: each is complete before it takes its name.

    Files are made in a temporary folder beside their places and renamed. If anything fails or is
    interrupted, what was there before is put back. Other files in the folder are not touched.
    Returns the paths written. Raises: HogginError with a plain sentence if the folder cannot take
    them.
    """
    places = {name: _place(folder, name) for name in contents}
    made: list[Path] = []
    try:
        for parent in (folder, *sorted({place.parent for place in places.values()} - {folder})):
            _make(parent, made)
        for name, place in places.items():
            if place.is_dir():
                raise HogginError(f"cannot write {name}: a folder of that name is in the way")
        with tempfile.TemporaryDirectory(prefix=TEMPORARY, dir=folder) as workshop:
            _exchange(contents, places, Path(workshop))
    except BaseException as error:
        for created in reversed(made):
            with suppress(OSError):
                created.rmdir()  # only if it is still empty
        if isinstance(error, OSError):
            why = f"cannot write the documents to {folder}: {_reason(error)}"
            raise HogginError(why) from error
        raise
    return tuple(places.values())


def _make(folder: Path, made: list[Path]) -> None:
    """Make a folder and what it lies in, and add to `made` those that were missing, outer first."""
    missing = [f for f in (folder, *folder.parents) if not f.exists()]
    folder.mkdir(parents=True, exist_ok=True)
    made += reversed(missing)


def _place(folder: Path, name: str) -> Path:
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or "\\" in name or not path.parts:
        raise HogginError(f"cannot write {name!r}: it is not a plain path under the output folder")
    return folder.joinpath(*path.parts)


def _exchange(contents: Mapping[str, bytes], places: Mapping[str, Path], workshop: Path) -> None:
    """Write all that is new and copy all that is old, then rename; undo on failure."""
    new = {name: workshop / f"new{n}" for n, name in enumerate(contents)}
    old = {name: workshop / f"old{n}" for n, name in enumerate(contents)}
    for name, content in contents.items():
        new[name].write_bytes(content)
        if os.path.lexists(places[name]):
            shutil.copy2(places[name], old[name], follow_symlinks=False)
    begun: list[str] = []
    try:
        for name, place in places.items():
            begun.append(name)
            new[name].replace(place)
    except BaseException:
        for name in begun:
            with suppress(OSError):  # one file that cannot be put back must not stop the others
                _put_back(places[name], old[name], replaced=not new[name].exists())
        raise


def _put_back(place: Path, old: Path, *, replaced: bool) -> None:
    if not replaced:
        return
    if os.path.lexists(old):
        old.replace(place)
    else:
        place.unlink()


def _reason(error: OSError) -> str:
    named = f" ({Path(error.filename).name})" if isinstance(error.filename, str) else ""
    return f"{(error.strerror or str(error)).lower()}{named}"
