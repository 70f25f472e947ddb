"""Hostile texts through the studies, and from a laboratory's sheet into a source."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.commands.main import main
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from tests.commands.test_hostile import ALL, TEXTS, assert_inert, odd, plant

_CHANGES = {
    "sweep": ("", ""),
    "uncertainty": ("rate 200 t/h;", "rate normal(200 t/h, 5 %);"),
    "design": ("css 14 mm; remark", "css free(10 mm to 14 mm); remark"),
}
_OPTIONS = {
    "sweep": ["--over", "sizing.top 16 mm to 20 mm in 3", "--jobs", "1"],
    "uncertainty": ["--samples", "20", "--jobs", "1"],
    "design": [],
}


@pytest.mark.slow
@pytest.mark.parametrize("study", _OPTIONS)
def test_what_a_study_shows_and_writes_is_inert(
    study: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = plant(ALL).replace(*_CHANGES[study])
    if study == "design":
        text = text.replace("  require chips", "  maximize chips.rate\n  require chips")
    file, folder = tmp_path / "plant.hog", tmp_path / "out"
    file.write_text(text)
    into = folder / "new.hog" if study == "design" else folder
    folder.mkdir()
    assert main([study, str(file), "--into", str(into), *_OPTIONS[study]]) == 0
    told = capsys.readouterr()
    assert odd(told.out + told.err) == set()
    assert list(folder.iterdir())
    assert_inert(folder)
    if study == "design":
        assert main(["check", str(into)]) == 0


def test_what_is_taken_in_is_names_and_texts_and_nothing_more(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    names = [*TEXTS, "plant } {", '"', '" }\nplant "x" {', "let a = 5 mm"]
    quoted = ['"' + name.replace('"', '""').replace("\0", "") + '"' for name in names]
    rows = [
        ["Sieve (mm)", *quoted],
        *([str(size), *[str(share)] * len(names)] for size, share in ((40, 100), (20, 80), (5, 9))),
    ]
    sheet = tmp_path / "lab.csv"
    sheet.write_text("\n".join(",".join(row) for row in rows) + "\n", newline="")
    written = tmp_path / "lab.hog"
    assert main(["import", "gradings", str(sheet), "--into", str(written)]) == 0
    text = written.read_text()
    assert odd(text) == set()
    found = parse(Source("lab.hog", text), Diagnostics()).statements
    assert [type(one) for one in found] == [tree.Definition] * len(names)
    assert main(["check", str(written)]) == 0
    told = capsys.readouterr()
    assert odd(told.out + told.err) == set()
