"""A file that is read back may hold anything: a sentence and a documented code, no traceback."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Iterator
from contextlib import chdir
from pathlib import Path
from random import Random
from typing import Any

import pytest

from hoggin.commands.main import main
from hoggin.studies.runner.keeping import NAME
from tests.altered.kinds import Kind, kinds, run, tried

pytestmark = pytest.mark.slow

_KINDS = {kind.name: kind for kind in kinds()}
_COUNT, _SEED = 10, 17


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Kind], Path]:
    """A folder with a kind's file, made once."""
    folders: dict[str, Path] = {}

    def folder(kind: Kind) -> Path:
        if kind.name not in folders:
            folders[kind.name] = tmp_path_factory.mktemp("altered")
            with chdir(folders[kind.name]):
                kind.make()
        return folders[kind.name]

    return folder


@pytest.fixture(params=_KINDS)
def kind(
    request: pytest.FixtureRequest, made: Callable[[Kind], Path], monkeypatch: pytest.MonkeyPatch
) -> Iterator[Kind]:
    found = _KINDS[request.param]
    monkeypatch.chdir(made(found))
    yield found


def test_an_altered_file_is_reported_or_does_no_harm(
    kind: Kind, capsys: pytest.CaptureFixture[str]
) -> None:
    """`python -m tests.altered COUNT SEED` tries more."""
    capsys.readouterr()
    refused = 0
    for number in range(_COUNT):
        command, code = tried(kind, Random(f"{_SEED} {number}"))
        told = capsys.readouterr()
        assert code in kind.codes, (number, command, told.err)
        assert told.err or told.out or not code, (number, command)
        refused += code != 0
    assert refused  # or nothing was altered that is read


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_in_place_of_a_file_is_not_waited_for(
    kind: Kind, capsys: pytest.CaptureFixture[str]
) -> None:
    whole = kind.file.read_bytes()
    kind.file.unlink()
    os.mkfifo(kind.file)
    try:
        for command in kind.read:
            assert run(command) in kind.codes
            told = capsys.readouterr()
            assert re.search("not a file|a named pipe", told.err + told.out), command
    finally:
        kind.file.unlink(missing_ok=True)
        kind.file.write_bytes(whole)


def _other_stream(document: Any) -> None:
    document["streams"][0]["target"] = "nowhere"


def _short_grading(document: Any) -> None:
    document["products"][0]["passing"].pop()


def _huge_number(document: Any) -> None:
    document["power_kw"] = 1e300


def _other_machine(document: Any) -> None:
    document["plant"]["machines"][0]["tag"] = "another"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (_other_stream, "its results are not those of the plant that it holds"),
        (_other_machine, "its results are not those of the plant that it holds"),
        (_short_grading, "a list by size is not as long as that of its sizes"),
        (_huge_number, "it has the number 1e+300, which no plant has"),
    ],
)
def test_a_results_document_that_contradicts_itself_is_refused(
    change: Callable[[Any], None],
    told: str,
    made: Callable[[Kind], Path],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(made(_KINDS["results document"]))
    document = json.loads(Path("results.json").read_text())
    change(document)
    Path("changed.json").write_text(json.dumps(document))
    capsys.readouterr()
    assert main(["compare", "results.json", "changed.json"]) == 2
    assert capsys.readouterr().err == f"hoggin: `changed.json` is not a results document: {told}\n"


def test_a_study_that_goes_on_from_an_altered_file_has_the_same_results(
    made: Callable[[Kind], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A line that is cut short is computed again."""
    kind = _KINDS["study file"]
    monkeypatch.chdir(made(kind))
    file, command = Path("study", NAME), kind.read[0]
    whole = file.read_bytes()
    found = []
    for content in (whole, whole[:-30], whole[: len(whole) // 2], whole.partition(b"\n")[0]):
        file.write_bytes(content)
        assert run(command) == 0
        found.append(Path("study/sweep.csv").read_bytes())
    file.write_bytes(whole)
    assert found == found[:1] * 4


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_beside_the_records_is_left_where_it_is(
    made: Callable[[Kind], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    kind = _KINDS["record"]
    monkeypatch.chdir(made(kind))
    pipe = kind.file.with_name("stray.toml")
    os.mkfifo(pipe)
    run(kind.read[2])
    assert pipe.is_fifo()
    pipe.unlink()
