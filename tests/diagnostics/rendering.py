"""Fixtures as what a reader sees of them: every diagnostic rendered, kept as a text beside each."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode
from syrupy.location import PyTestLocation
from syrupy.types import SnapshotIndex

from hoggin.balancing import rated
from hoggin.check.checker import check, check_file
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.render import render
from hoggin.diagnostics.source import Source
from hoggin.fit.measured import MOST_ROWS, MOST_SIZES, read_samples
from hoggin.revise.regress.varied import Varied
from hoggin.revise.regress.vary import reader
from hoggin.schema.results import Warning
from hoggin.syntax.parser import LONGEST_SOURCE
from hoggin.world import World
from tests.check.reading import FIXTURES, check_text, small_plant


class BesideTheFixture(SingleFileSnapshotExtension):
    """A snapshot named as its fixture, the parameter `case` of the test."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"

    @classmethod
    def dirname(cls, *, test_location: PyTestLocation) -> str:
        return str(_case(test_location).parent)

    @classmethod
    def get_file_basename(
        cls,
        *,
        test_location: PyTestLocation,
        index: SnapshotIndex,  # noqa: ARG003
    ) -> str:
        return _case(test_location).stem

    @classmethod
    def matches_test_location(
        cls, *, test_location: PyTestLocation, snapshot_location: str
    ) -> bool:
        return Path(snapshot_location) == _case(test_location).with_suffix(".txt")


def _case(test_location: PyTestLocation) -> Path:
    """The fixture of a test; one that never was where the test is not of a fixture."""
    call = getattr(test_location.item, "callspec", None)
    case = call.params.get("case") if call is not None else None
    return case if isinstance(case, Path) else FIXTURES / "none"


def cases(folder: str) -> list[Path]:
    """The fixtures of a folder, without the snapshots beside them."""
    return sorted(path for path in (FIXTURES / folder).iterdir() if path.suffix != ".txt")


def copied(case: Path, into: Path) -> Path:
    """The case in a folder of its own (so that the folder is the project root): its main file."""
    folder = into / "project"
    into.mkdir(exist_ok=True)
    if case.is_dir():
        shutil.copytree(case, folder)
        return folder / "main.hog"
    folder.mkdir()
    shutil.copy(case, folder / case.name)
    return folder / case.name


def plant_told(case: Path, into: Path) -> str:
    """What the checker reports of a plant and, where that is no error, the balance and rating."""
    main = copied(case, into)
    (into / "outside.hog").write_text("let b = 1 mm\n", encoding="utf-8")
    checked = check_file(main)
    told = [*map(render, checked.diagnostics)]
    if checked.plant is not None:
        results = rated(checked)
        if isinstance(results, Diagnostic):
            told.append(render(results))
        else:
            told += map(_warned, results.warnings)
    return "\n".join(told)


def _warned(warning: Warning) -> str:
    shown = f"warning {warning.code}: {warning.text}\n  at {warning.file}:{warning.line}\n"
    return f"{shown}  help: {warning.help}\n" if warning.help else shown


def table_told(table: Source) -> str:
    """What is reported of measured gradings."""
    found = Diagnostics()
    read_samples(table, found)
    return "\n".join(map(render, found))


def varied_told(*varied: tuple[str, str]) -> str:
    """What is reported of a settings file that varies names of a small plant."""
    main = Source("plant.hog", small_plant("let gap = 2 mm"))
    values = [Varied(name, value, "settings.toml", 1) for name, value in varied]
    checked = check(World(Path("/nowhere/plant.hog")), main, reader(values, main.name))
    return "\n".join(render(d) for d in checked.diagnostics if d.span.source.name != main.name)


def _lines(heading: str, lines: Iterator[str]) -> Source:
    return Source("long.csv", "\n".join([heading, *lines]))


def long_told() -> str:
    """What is reported of texts too long to keep as fixtures."""
    heading = "sample,css mm,size mm,feed % passing,product % passing"
    plant = check_text("let a = 5 mn\n" * (LONGEST_SOURCE // 13 + 1))
    lines = _lines(heading, (f"one,12,{n},100,100" for n in range(1, MOST_ROWS + 2)))
    sieves = _lines(heading, (f"one,12,{n},100,100" for n in range(1, MOST_SIZES + 2)))
    return "\n".join([*map(render, plant.diagnostics), table_told(lines), table_told(sieves)])
