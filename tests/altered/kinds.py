"""The kinds of files that are read back: how each is made and altered, and what reads it."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random
from unittest import mock

from hoggin.commands.main import main
from hoggin.errors import Exit
from hoggin.studies.runner.keeping import NAME, StudyFile
from tests.altered.changes import altered_bytes, altered_document

EXAMPLES = Path(__file__).parents[2] / "examples"
_CLOSE = StudyFile.close
_SMALL = mock.patch("hoggin.studies.runner.running._MOST_CASES", 1)  # of a batch


@dataclass(frozen=True)
class Kind:
    """`make` writes the file, `alter` gives another content, `read` lists commands that read it,
    one of which is tried. `codes` are what they may end with."""

    name: str
    file: Path
    make: Callable[[], None]
    alter: Callable[[bytes, Random], bytes]
    read: tuple[tuple[str, ...], ...]
    codes: tuple[Exit, ...]


def kinds() -> Iterator[Kind]:
    """Each in the current folder."""
    drawn = ("--into", "both")
    yield Kind(
        "results document",
        Path("results.json"),
        _make_results,
        _altered_json,
        (
            ("compare", "results.json", "plant.hog", *drawn),
            ("compare", "plant.hog", "results.json", "--as", "json", "--all"),
            ("compare", "whole.json", "results.json", "--as", "markdown", "--min-weight", "0"),
        ),
        (Exit.DONE, Exit.USE),
    )
    yield Kind(
        "record",
        Path("plants/recorded/pit,Alder_Pit-b83162c2.toml"),
        _make_record,
        altered_bytes,
        (
            ("regress", "plants", "--jobs", "1", "--no-cache", "--all"),
            ("regress", "plants", "--jobs", "1", "--junit", "j.xml", "--sarif", "s.sarif"),
            ("regress", "plants", "--jobs", "1", "--accept", "--reason", "a test", "--by", "me"),
        ),
        (Exit.DONE, Exit.USE, Exit.DIFFERENT),
    )
    yield Kind(
        "settings of a regression",
        Path("plants/regression.toml"),
        _make_record,
        altered_bytes,
        (("regress", "plants", "--jobs", "1"),),
        (Exit.DONE, Exit.SOURCE, Exit.USE, Exit.DIFFERENT),
    )
    sweep = ("sweep", "plant.hog", "--over", "cone.css 20 mm to 24 mm in 3", "--jobs", "1")
    yield Kind(
        "study file",
        Path("study") / NAME,
        lambda: _make_study(sweep),
        _altered_study,
        ((*sweep, "--into", "study", "--resume"), (*sweep, "--into", "study")),
        (Exit.DONE, Exit.USE),
    )
    yield Kind(
        "rows of a sweep",
        Path("rows.csv"),
        _make_rows,
        altered_bytes,
        (("sweep", "plant.hog", "--rows", "rows.csv", "--into", "study"),),
        (Exit.DONE, Exit.SOURCE, Exit.USE, Exit.UNBALANCED),
    )


def _make_plant() -> None:
    shutil.copy(EXAMPLES / "tutorial" / "step_6.hog", "plant.hog")


def _make_results() -> None:
    """A plant with most kinds of results, and one to compare with."""
    shutil.copy(EXAMPLES / "gravel.hog", "plant.hog")
    shutil.copy(EXAMPLES / "quarry.hog", "other.hog")
    for file, written in (("plant.hog", "results.json"), ("other.hog", "whole.json")):
        main(["issue", file, "--into", "issued"])
        shutil.copy("issued/results.json", written)
        shutil.rmtree("issued")


def _make_record() -> None:
    """Of one plant and one of its sites; the others would only take time."""
    Path(".git").mkdir()
    shutil.copytree(EXAMPLES / "standard", "standard")
    shutil.copytree(EXAMPLES / "fleet", "plants")
    sites = Path("plants/sites.csv").read_text().splitlines(keepends=True)
    Path("plants/sites.csv").write_text("".join(sites[:2]))
    main(["regress", "plants", "--accept", "--reason", "a test", "--by", "me", "--jobs", "1"])


def _make_study(sweep: tuple[str, ...]) -> None:
    """The file of a study that is interrupted at its very end."""
    _make_plant()

    def close(file: StudyFile, *, done: bool = False) -> None:  # noqa: ARG001
        _CLOSE(file)

    with mock.patch.object(StudyFile, "close", close), _SMALL:
        main([*sweep, "--into", "study"])


def _make_rows() -> None:
    _make_plant()
    Path("rows.csv").write_text('cone.css,shot_rock.rate\n20 mm,210 t/h\n24 mm,"220.5 t/h"\n')


def _altered_json(whole: bytes, random: Random) -> bytes:
    if random.random() < 0.25:
        return altered_bytes(whole, random)
    return altered_document(whole.decode(), random).encode()


def _altered_study(whole: bytes, random: Random) -> bytes:
    """Also lines of another content whose hash is right."""
    if random.random() < 0.5:
        return altered_bytes(whole, random)
    lines = whole.splitlines()
    at = random.randrange(len(lines))
    text = altered_document(lines[at][17:].decode(), random).encode() + b"\n"
    lines[at] = hashlib.sha256(text).hexdigest()[:16].encode() + b" " + text.rstrip()
    return b"\n".join(lines) + b"\n"


@contextmanager
def restored(file: Path) -> Iterator[bytes]:
    """The whole content of a file, which is put back afterwards."""
    whole = file.read_bytes()
    try:
        yield whole
    finally:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(whole)


def run(command: Sequence[str]) -> int:
    """The exit code of a command line, whose studies have small batches."""
    try:
        with _SMALL:
            return main(command)
    except SystemExit as end:
        return int(str(end.code))


def tried(kind: Kind, random: Random) -> tuple[str, int]:
    """One command after one alteration: the command and its exit code."""
    with restored(kind.file) as whole:
        kind.file.write_bytes(kind.alter(whole, random))
        command = random.choice(kind.read)
        return " ".join(command), run(command)
