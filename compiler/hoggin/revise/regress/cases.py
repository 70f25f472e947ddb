"""What there is to run: every plant of the files and folders named, and every case of its grids."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.regress.record import FOLDER, SUFFIX
from hoggin.revise.regress.settings import FILE, Settings, SettingsError, read_settings
from hoggin.revise.regress.tolerances import DEFAULTS, Tolerance
from hoggin.revise.regress.varied import CASE, Varied
from hoggin.syntax.cases import cases_of, plant_of
from hoggin.syntax.parser import parse
from hoggin.world import UnreadableError, World, files_below, named, read_text

_IN_NAMES = str.maketrans({" ": "", "/": "per", "%": "pc"})  # of the units, which alone have them
_LONGEST_NAME = 120  # of a record's file; systems take 255 bytes


@dataclass(frozen=True, slots=True)
class Case:
    """A plant as it is, in one of its own cases, or with the values of one point of a grid put
    in."""

    path: Path
    name: str  # "standard/north", "standard/north[css=12 mm]"
    varied: tuple[Varied, ...]
    record: Path
    tolerances: Mapping[str, Tolerance]
    root: Path  # the project's, which names of sources are relative to

    @property
    def row(self) -> str:
        """Where a site's values are: "standard/sites.csv:4"; "" for what is not a site."""
        rows = [f"{one.file}:{one.line}" for one in self.varied if one.cell]
        return rows[0] if rows else ""

    @property
    def state(self) -> str:
        """Which of the plant's own cases it is; "" for none."""
        return self.values.get(CASE, "")

    @property
    def values(self) -> dict[str, str]:
        return {one.name: one.value for one in self.varied}


@dataclass(frozen=True, slots=True)
class Found:
    """`strays` are record files in the folders named that belong to none of the cases."""

    cases: tuple[Case, ...]
    strays: tuple[Path, ...]


def find_cases(given: Sequence[Path]) -> Found:
    """All cases, in order of path and grid.

    Raises SettingsError for faults in settings files, UnreadableError where a file or folder can't
    be read.
    """
    folders = [path for path in given if path.is_dir()]
    inside = [file for folder in folders for file in files_below(folder)]
    search = _Search(folders)
    for file in inside:
        if file.name == FILE:
            search.settings(file.resolve().parent)  # for its faults, though no plant may need it
    cases: dict[Path, Case] = {}
    for path in _plants(given):
        for case in search.cases_of(path):
            first = cases.setdefault(case.record, case)
            if (first.path, first.values) != (case.path, case.values):
                search.faults.append(f"`{first.name}` and `{case.name}` would share one record")
    if search.faults:
        raise SettingsError(search.faults)
    owned = {record.resolve() for record in cases}
    records = (f for f in inside if f.parent.name == FOLDER and f.suffix == SUFFIX)
    return Found(tuple(cases.values()), tuple(f for f in records if f.resolve() not in owned))


class _Search:
    """Reads each settings file once, and gathers the faults of all."""

    def __init__(self, folders: Iterable[Path]) -> None:
        self._folders = [folder.resolve() for folder in folders]
        self._read: dict[Path, Settings | None] = {}
        self.faults: list[str] = []

    def cases_of(self, path: Path) -> Iterator[Case]:
        """The plant as it is and in its own cases, then its grids' cases."""
        with named(path):
            world = World(path)
        chain = [self.settings(folder) for folder in self._folders_above(world)]
        found = [settings for settings in chain if settings is not None]
        tolerances = dict(DEFAULTS)
        for settings in found:
            tolerances |= settings.tolerances
        name = path.with_suffix("").as_posix()
        for called, varied in [("", ()), *_own(path), *_variants(found, world.main)]:
            yield Case(
                path,
                f"{name}[{called}]" if called else name,
                varied,
                path.parent / FOLDER / _record_name(path.stem, called),
                tolerances,
                world.root,
            )

    def settings(self, folder: Path) -> Settings | None:
        """The settings of one folder; None where it has none, or where they are at fault."""
        if folder not in self._read:
            self._read[folder] = None
            path = folder / FILE
            if path.exists():
                try:
                    self._read[folder] = read_settings(path, os.path.relpath(path))
                except SettingsError as fault:
                    self.faults += fault.faults
        return self._read[folder]

    def _folders_above(self, world: World) -> list[Path]:
        """The folders whose settings hold for a plant, outermost first: from the project root, or
        from the folder that was named where that lies further out."""
        own = world.main.parent
        tops = [world.root, *(f for f in self._folders if own.is_relative_to(f))]
        top = min(tops, key=lambda folder: len(folder.parts))
        above = [own, *own.parents]
        return above[above.index(top) :: -1]


def _own(path: Path) -> Iterator[tuple[str, tuple[Varied, ...]]]:
    """The plant's own cases, each with what it is called; none of a file that can't be read."""
    try:
        source = Source(path.name, read_text(path))
    except UnreadableError:
        return
    if CASE not in source.text:
        return
    plant = plant_of(parse(source, Diagnostics()).statements)
    for name, case in sorted(cases_of(plant).items()) if plant is not None else ():
        yield f"{CASE}={name}", (Varied(CASE, name, path.name, case.span.line),)


def _variants(found: Iterable[Settings], plant: Path) -> Iterator[tuple[str, tuple[Varied, ...]]]:
    """The points of a plant's grids and its sites, each with what it is called."""
    for settings in found:
        for grid in settings.grids:
            if grid.plant == plant:
                for varied in grid.cases():
                    yield ", ".join(f"{one.name}={one.value}" for one in varied), varied
        for table in settings.tables:
            if table.plant == plant:
                for site in table.sites:
                    yield site.name, site.varied


def _plants(given: Sequence[Path]) -> Iterator[Path]:
    seen: set[Path] = set()
    for path in given:
        if not path.exists():
            raise UnreadableError(f"`{path}`: there is no such file or folder")
        files = files_below(path) if path.is_dir() else [path]
        for file in files:
            if path.is_dir() and (file.suffix != ".hog" or file.parent.name == FOLDER):
                continue
            resolved = file.resolve()
            if resolved not in seen:
                seen.add(resolved)
                yield file


def _record_name(stem: str, called: str) -> str:
    """`north,css=12mm,rate=120tperh.toml`: readable, and safe on every system."""
    short = ",".join(called.translate(_IN_NAMES).split(", ")) if "=" in called else called
    wanted = f"{stem},{short}" if called else stem
    safe = re.sub(r"[^A-Za-z0-9_.,=+-]", "_", wanted)
    if safe != wanted or len(safe) > _LONGEST_NAME:
        digits = hashlib.sha256(wanted.encode("utf-8", "surrogateescape")).hexdigest()[:8]
        safe = f"{safe[:_LONGEST_NAME]}-{digits}"
    return safe + SUFFIX
