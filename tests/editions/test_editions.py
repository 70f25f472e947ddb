"""Every edition that this compiler names is read, and means what it meant.

The files in `edition_YEAR/` are never edited, but for a fault of their own: they hold a later
compiler to what `docs/revisions.md` promises. An edition that is added gets such a folder.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import hoggin
from hoggin.commands.main import main
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.schema.editions import EDITIONS
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.syntax.walk import below

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
# Rates in t/h worked by hand from the tonnage and the shares of the splitters: 200 t/h dug, 60 of
# them sold, the rest halved; of 100 t/h 40 t/h are left, halved or divided 40 to 60.
RATES = {
    2026: {
        "as written": {"as_dug": 60, "stone": 70, "rest": 70},
        "slow": {"as_dug": 60, "stone": 20, "rest": 20},
        "slow_and_uneven": {"as_dug": 60, "stone": 16, "rest": 24},
    }
}


def _folder(edition: int) -> Path:
    return HERE / f"edition_{edition}"


@pytest.mark.slow
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_plant_of_every_edition_has_no_errors_and_the_rates_worked_by_hand(edition: int) -> None:
    plant = hoggin.load(_folder(edition) / "plant.hog")
    assert not plant.check()
    states = plant.balance_all()
    for result in states:
        assert result.document.provenance is not None
        assert result.document.provenance.edition == edition
    found = {n: {p.tag: p.rate_t_h for p in states[n].products} for n in states.names}
    assert found == {name: pytest.approx(rates) for name, rates in RATES[edition].items()}


@pytest.mark.parametrize("edition", EDITIONS[-1:])
def test_the_files_of_the_newest_edition_hold_every_kind_of_node(edition: int) -> None:
    texts = [path.read_text() for path in sorted(_folder(edition).rglob("*.hog"))]
    found = {
        type(node)
        for text in texts
        for statement in parse(Source("x", text), Diagnostics()).statements
        for node in below(statement)
    }
    not_written = {tree.Node, tree.Statement, tree.Year}  # a year is put there with a case
    assert set(_kinds(tree.Node)) - not_written - found == set()


def _kinds(kind: type[tree.Node]) -> set[type[tree.Node]]:
    return {kind}.union(*map(_kinds, kind.__subclasses__()))


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_file_without_the_line_is_read_as_the_newest_edition(
    edition: int, tmp_path: Path
) -> None:
    shutil.copytree(_folder(edition), tmp_path / "kept")
    for path in (tmp_path / "kept").rglob("*.hog"):
        path.write_text(path.read_text().replace(f"edition {edition}\n", ""))
    provenance = hoggin.load(tmp_path / "kept" / "plant.hog").balance().document.provenance
    assert provenance is not None
    assert provenance.edition == EDITIONS[-1]


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_layout_of_a_file_says_the_same_and_keeps_its_edition(
    edition: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "plant.hog"
    text = (_folder(edition) / "plant.hog").read_text()
    path.write_text("\n".join(line.strip() for line in text.splitlines()) + "\n")
    assert main(["facts", str(path)]) == 0
    before = capsys.readouterr().out
    assert main(["format", str(path)]) == 0
    capsys.readouterr()
    assert main(["facts", str(path)]) == 0
    assert capsys.readouterr().out == before
    assert f"\nedition {edition}\n" in path.read_text()


@pytest.mark.slow
def test_a_copy_of_the_library_in_the_project_gives_the_same_numbers(tmp_path: Path) -> None:
    """So a design can be kept from later coefficients of the library."""
    text = (ROOT / "examples" / "gravel.hog").read_text()
    for path in (ROOT / "stdlib").glob("*.hog"):
        if f"use std.{path.stem}\n" in text:
            shutil.copy(path, tmp_path / path.name)
            text = text.replace(f"use std.{path.stem}\n", f'use "{path.name}" as {path.stem}\n')
    (tmp_path / "plant.hog").write_text(text)
    kept = hoggin.load(tmp_path / "plant.hog").balance()
    ours = hoggin.load(ROOT / "examples" / "gravel.hog").balance()
    assert 'use "cones.hog" as cones' in text
    assert not hoggin.compare(ours, kept).document.consequences
    assert [p.rate_t_h for p in kept.products] == [p.rate_t_h for p in ours.products]
