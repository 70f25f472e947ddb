"""Small inputs that would take hours or all memory: a limit that is named, in a process of its own
with 2 GB of addresses. A minute is far more than any of them takes."""

from __future__ import annotations

import os
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tests.repository import Repository

pytestmark = [
    pytest.mark.skipif(os.name == "nt", reason="`ulimit` is the shell's"),
    pytest.mark.slow,
]
_KILOBYTES, _SECONDS = 2_000_000, 60.0
_MATERIAL = """
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
"""
_PLANT = """
plant "Stops" {
  sieves { 63 mm, 4 mm }
  feed rock { rock granite; rate 200 t/h; passing { 200 mm: 100 %, 5 mm: 10 % } }
  stockpile heap { live 100 t }
  splitter half { out a 40 %; out b rest; operation { RUN } }
  rock -> heap -> half; half.a -> product left; half.b -> product right
}
"""


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _run(command: str) -> tuple[int, str]:
    """The exit code and what went to standard error."""
    begun = time.monotonic()
    done = subprocess.run(
        ["sh", "-c", f'ulimit -v {_KILOBYTES}; exec "{sys.executable}" -m hoggin {command}'],
        capture_output=True, text=True, check=False, timeout=_SECONDS * 4,
    )  # fmt: skip
    assert time.monotonic() - begun < _SECONDS
    assert "Traceback" not in done.stderr
    return done.returncode, done.stderr


def _sheet_with(elements: str) -> None:
    """A workbook of one grading with elements behind its cells, written as another program might:
    the library would make the cells of a range itself."""
    book = openpyxl.Workbook()
    for row in (["Sieve (mm)", "A (% passing)"], [63, 100], [31.5, 60], [4, 10]):
        book.active.append(row)
    book.save("plain.xlsx")
    with zipfile.ZipFile("plain.xlsx") as old, zipfile.ZipFile("bomb.xlsx", "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name.endswith("sheet1.xml"):
                content = content.replace(b"</sheetData>", f"</sheetData>{elements}".encode())
            new.writestr(name, content)


def _merged(*ranges: str) -> str:
    inner = "".join(f'<mergeCell ref="{one}"/>' for one in ranges)
    return f"<mergeCells>{inner}</mergeCells>"


@pytest.mark.parametrize(
    "elements",
    [
        _merged("A10:XFD1048576"),
        _merged("A:XFD"),
        _merged("10:1048576"),
        _merged("$A$10:&#88;FD1048576"),
        _merged(*(f"A{row}:XFD{row}" for row in range(10, 100))),
        '<hyperlinks><hyperlink ref="A1:XFD1048576" location="A1"/></hyperlinks>',
    ],
    ids=["all", "columns", "rows", "escaped", "many", "links"],
)
def test_a_range_of_millions_of_cells_is_refused_before_they_are_made(elements: str) -> None:
    _sheet_with(elements)
    assert Path("bomb.xlsx").stat().st_size < 30_000
    code, told = _run("import gradings bomb.xlsx")
    limit = "the limit is 200,000 cells that are merged or linked"
    assert (code, told) == (2, f"hoggin: `bomb.xlsx` is too large: {limit}\n")


def test_a_sheet_of_merged_headings_is_read() -> None:
    _sheet_with(_merged("A10:D12"))
    assert _run("import gradings bomb.xlsx")[0] == 0


@pytest.mark.parametrize(
    ("run", "told"),
    [
        ("maintenance { 0.0001 h: 0.00005 h }", "more than 10,000 planned stops in 8760 h"),
        ("maintenance { 1 h: 0.1 h, 0.9 h: 0.1 h }", "more than 10,000 planned stops in 8760 h"),
    ],
)
def test_planned_stops_without_end_are_refused(run: str, told: str) -> None:
    Path("plant.hog").write_text(_MATERIAL + _PLANT.replace("RUN", run))
    code, said = _run('simulate plant.hog --for "1 year"')
    assert code == 2
    assert told in said
    assert not Path("out").exists()


def test_failures_without_end_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    from hoggin.commands.main import main

    monkeypatch.setattr("hoggin.studies.simulate.simulate.MOST_EVENTS", 200)
    run = "availability 50 %; repair 0.01 h"
    Path("plant.hog").write_text(_MATERIAL + _PLANT.replace("RUN", run))
    assert main(["simulate", "plant.hog", "--for", "1 week", "--runs", "2"]) == 2
    assert not Path("out").exists()


def test_a_huge_file_in_git_is_refused_unread(here: Path) -> None:
    repository = Repository(here)
    plant = _MATERIAL + _PLANT.replace("; operation { RUN }", "")
    with (here / "huge.hog").open("wb") as file:
        file.truncate(700_000_000)
    repository.commit({"plant.hog": plant})
    assert _run("compare HEAD:huge.hog plant.hog") == (
        2, "hoggin: `HEAD:huge.hog`: it is larger than 16 MB\n",
    )  # fmt: skip
    assert _run("compare HEAD:plant.hog plant.hog")[0] == 0


def test_thousands_of_unknown_names_among_thousands_of_known_ones_are_all_reported() -> None:
    known = "\n".join(f"let known_{n}_width = {n + 1} mm" for n in range(3000))
    wrong = "\n".join(f"let x{n} = knwon_{n}_wdith" for n in range(3000))
    Path("names.hog").write_text(f"{known}\n{wrong}\n")
    code, told = _run("check names.hog")
    assert code == 1
    assert "did you mean `known_" in told


def test_a_plant_of_five_thousand_products_is_checked() -> None:
    outs = "; ".join(f"out o{n} 0.01 %" for n in range(4999))
    routes = "\n".join(f"s.o{n} -> product p{n}" for n in range(4999))
    plant = _PLANT.partition("  stockpile")[0]
    plant += f"splitter s {{ {outs}; out last rest }}\nrock -> s\n{routes}\ns.last -> product p\n}}"
    Path("plant.hog").write_text(_MATERIAL + plant)
    assert _run("check plant.hog")[0] == 0
