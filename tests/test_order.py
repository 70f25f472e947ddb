"""Order and place never matter: statements, lines of blocks, files and imports in another order,
in other files, under other names of libraries, change no byte of any document but line numbers."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from random import Random
from typing import Any

import pytest

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.rating.rate import rate
from hoggin.report.documents import documents
from hoggin.revise.compare.compare import Side, compare
from hoggin.revise.compare.comparison import Change
from hoggin.schema.results import Results
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from tests.random_sources import random_source

pytestmark = pytest.mark.slow

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
FILES = [
    *(f"{name}.hog" for name in ("quarry", "cones", "sand", "gravel")),
    "cookbook/parallel_lines.hog",  # of a template
    "cookbook/washed_gravel.hog",
    "cookbook/shape_impactor.hog",
]
_BLOCKS = (
    tree.PlantDefinition,
    tree.ClassDefinition,
    tree.TemplateDefinition,
    tree.Declaration,
    tree.Definition,
    tree.ModelDefinition,
    tree.Choose,
    tree.Option,
    tree.Deck,
    tree.Operation,
)


def shuffled(text: str, random: Random) -> str:
    """A source with its statements and the lines of its blocks in another order."""
    return _lines(parse(Source("plant.hog", text), Diagnostics()).statements, text, random)


def _lines(statements: tuple[tree.Statement, ...], text: str, random: Random) -> str:
    pieces = [_piece(statement, text, random) for statement in statements]
    random.shuffle(pieces)
    return "\n".join(pieces) + "\n"


def _piece(node: tree.Node, text: str, random: Random) -> str:
    body = getattr(node, "body", None)
    if isinstance(node, _BLOCKS) and body:
        head = text[node.span.start : body[0].span.start]
        return head + _lines(body, text, random) + text[body[-1].span.end : node.span.end]
    if isinstance(node, tree.Fact) and node.entries and node.name.text != "history":
        entries = [text[entry.span.start : entry.span.end] for entry in node.entries]
        random.shuffle(entries)
        return f"{node.name.text} {{ {', '.join(entries)} }}"
    return text[node.span.start : node.span.end]


def results(path: Path) -> Results:
    plant = check_file(path).plant
    assert plant is not None, [d.message for d in check_file(path).diagnostics]
    return rate(plant, balance(plant), path.name)


def issued(found: Results) -> dict[str, bytes]:
    """Every document of a plant as it would be if all stood on the first line of one file."""
    return documents(Results.model_validate(_placeless(found.model_dump())))


def _placeless(value: Any) -> Any:
    if isinstance(value, dict):
        here = {"line": 1, "column": 1, "file": "plant.hog"}
        return {k: here[k] if k in here else _placeless(v) for k, v in value.items()}
    return [_placeless(one) for one in value] if isinstance(value, list | tuple) else value


def assert_same(one: Path, other: Path) -> None:
    found = [results(path) for path in (one, other)]
    first, second = map(issued, found)
    assert first.keys() == second.keys()
    for name in first:
        assert first[name] == second[name], name
    first_side, second_side = (Side("plant", r.plant, r) for r in found if r.plant is not None)
    difference = compare(first_side, second_side, threshold=0.0)
    assert not difference.changes
    assert not difference.consequences


def write(folder: Path, files: Mapping[str, str]) -> Path:
    """Some files, the plant's own first."""
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(content)
    return folder / next(iter(files))


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("name", FILES)
def test_documents_do_not_depend_on_the_order_of_statements(
    name: str, seed: int, tmp_path: Path
) -> None:
    text = (EXAMPLES / name).read_text()
    one = write(tmp_path / "a", {"plant.hog": text})
    assert_same(one, write(tmp_path / "b", {"plant.hog": shuffled(text, Random(seed))}))


@pytest.mark.parametrize("seed", range(12))
def test_documents_of_random_plants_do_not_either(seed: int, tmp_path: Path) -> None:
    text = random_source(seed)
    one = write(tmp_path / "a", {"plant.hog": text})
    assert_same(one, write(tmp_path / "b", {"plant.hog": shuffled(text, Random(seed + 1))}))


LIBRARY = """\
let growth = 1.1
let k2_of_css = 2.2
class crusher ours(gape: mm) {
  about "Own cone, invented"
  setting duty: secondary | tertiary = secondary
  setting css: 8 mm to 60 mm
  let cut = 0.8 * css
  feed_opening gape
  installed_power 200 kW source "invented"
  source "invented"
  source "also invented"
  caution "Lock out before entering."
  caution "Guard the drive."
  rule css <= 0.3 * gape else "closed too wide"
  model breakage: matrix { k1 cut; k2 k2_of_css * css * growth; k3 2.3; fines_share 20 %
    fines_exponent 0.5 }
  model capacity: rated { rated 300 t/h }
  model power: bond { efficiency 75 % }
}
"""
PLANT = """\
use std.screens
use std.sieves
use "lib/ours.hog" as own

plant "Of a library" {
  sieves sieves.iso_r20_3
  feed rock { rock own.granite; rate 150 t/h; passing { 125 mm: 100 %, 20 mm: 30 % } }
  crusher c: own.ours(gape: 200 mm) { css 22 mm }
  screen s: screens.inclined(width: 2.4 m, length: 6 m) { deck top 40 mm }
  rock -> c -> s
  s.top.over -> c
  s.under -> product out
  require out meets own.wide
}
"""
ROCK = """\
material granite { solid_density 2.68 t/m3; bulk_density 1.6 t/m3; work_index 15.5 kWh/t }
band wide { passing { 40 mm: 50 % to 100 %, 2 mm: 0 % to 60 % } }
"""


def moved(library: str, main: str) -> dict[str, str]:
    """The same plant, its library split over two files elsewhere and imported by other names."""
    lets, rest = library.split("class", 1)
    return {
        main: PLANT.replace("lib/ours.hog", "machines/all.hog")
        .replace("as own", 'as far\nuse "rock.hog" as quarry')
        .replace("own.ours", "far.ours")
        .replace("own.granite", "quarry.granite")
        .replace("own.wide", "quarry.wide"),
        "machines/all.hog": 'use "numbers.hog" as n\nclass'
        + rest.replace("k2_of_css", "n.k2_of_css").replace("growth", "n.growth"),
        "machines/numbers.hog": lets,
        "rock.hog": ROCK,
    }


def test_what_a_library_says_counts_and_not_where_it_stands(tmp_path: Path) -> None:
    one = write(tmp_path / "a", {"plant.hog": PLANT, "lib/ours.hog": LIBRARY + ROCK})
    apart = moved(LIBRARY, "plant.hog")
    other = write(tmp_path / "b", apart)
    first, second = results(one), results(other)
    # a requirement is told as it was written, with the name its library has there
    assert first.requirements[0].text.replace("own.", "quarry.") == second.requirements[0].text
    written = apart["plant.hog"].replace("as quarry", "as own").replace("quarry.", "own.")
    other = write(tmp_path / "c", {**apart, "plant.hog": written})
    assert_same(one, other)
    # and an edit is seen through the move
    apart["machines/numbers.hog"] = apart["machines/numbers.hog"].replace("2.2", "2.4")
    found = compare_files(one, write(tmp_path / "d", {**apart, "plant.hog": written}))
    assert [(c.subject, c.what, c.before, c.after) for c in found] == [
        ("class ours", "let k2_of_css", "2.2", "2.4")
    ]


def test_lines_of_a_library_in_any_order(tmp_path: Path) -> None:
    files = {"plant.hog": PLANT, "lib/ours.hog": LIBRARY + ROCK}
    one = write(tmp_path / "a", files)
    for seed in range(4):
        mixed = {name: shuffled(text, Random(seed)) for name, text in files.items()}
        assert_same(one, write(tmp_path / f"b{seed}", mixed))


def test_two_classes_and_two_rocks_of_one_name(tmp_path: Path) -> None:
    """They are told apart by what they say, whichever is met first."""
    other = (LIBRARY + ROCK).replace("2.2", "2.4").replace("15.5 kWh/t", "11 kWh/t")
    body = """
  feed soft { rock second.granite; rate 50 t/h; passing { 125 mm: 100 %, 20 mm: 30 % } }
  crusher d: second.ours(gape: 200 mm) { css 22 mm }
  soft -> d -> product more
}
"""
    plant = PLANT.replace("as own", 'as own\nuse "other.hog" as second').rstrip().rstrip("}") + body
    files = {"plant.hog": plant, "lib/ours.hog": LIBRARY + ROCK, "other.hog": other}
    one = write(tmp_path / "a", files)
    checked = results(one).plant
    assert checked is not None
    own = [record for record in checked.classes if not record.path.startswith("std.")]
    assert [(record.path, record.name) for record in own] == [("ours", "ours"), ("ours_2", "ours")]
    k2 = {
        m.class_path: m.models["breakage"].coefficients["k2"]
        for m in checked.machines
        if m.models.get("breakage")
    }
    assert k2 == {"ours": pytest.approx(2.2 * 22 * 1.1), "ours_2": pytest.approx(2.4 * 22 * 1.1)}
    rocks = {m.work_index_kwh_t for m in checked.materials.values()}
    assert rocks == {15.5, 11.0}
    mixed = {name: shuffled(text, Random(5)) for name, text in files.items()}
    assert_same(one, write(tmp_path / "b", mixed))


def compare_files(one: Path, other: Path) -> tuple[Change, ...]:
    found = map(results, (one, other))
    first, second = (Side("plant", r.plant, r) for r in found if r.plant is not None)
    return compare(first, second, threshold=0.0).changes
