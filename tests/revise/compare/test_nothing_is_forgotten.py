"""No false all-clear: whatever differs between two results documents is in their comparison.

The differences are found here by walking the two JSON documents as plain data, with no knowledge of
the schema: every number that is not the same must stand in a row of the comparison with both its
values, and every other thing that differs must have a row for what it belongs to.
"""

from __future__ import annotations

import json
import math
import random
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from tests.check.reading import plant_of
from tests.generator.drawing import MAIN, write
from tests.generator.drawing import plant as drawn

from hoggin.balance import CannotSettle, balance
from hoggin.check.checker import check, check_file
from hoggin.diagnostics.source import Source
from hoggin.rating.rate import rate
from hoggin.report.results_json import results_json
from hoggin.revise.compare import Comparison, Side, compare
from hoggin.revise.compare.comparison import Consequence
from hoggin.schema.plant import Plant
from hoggin.schema.units import known, result_unit
from hoggin.world import World

EXAMPLES = Path(__file__).parents[3] / "examples"
# Where something stands and what it was made from; and copies of what the plant states, which are
# among the changes.
_APART = {
    *("file", "line", "column", "place", "provenance", "source_file", "compiler_version", "plant"),
    *("settings", "traits", "sources", "class_name", "about", "title", "material", "sizes_mm"),
    *("low", "high", "sieves_mm", "source", "curve", "text", "value_text", "margin_text"),
    # Stated as they are, or in teeth what the turns say.
    *("aperture_mm", "css_mm", "slot_ratio", "whole_turns", "teeth", "teeth_a_turn"),
    *("limit_text", "code", "help", "running_h", "revision", "price_money_kg", "warnings"),
}
_EDITS = (
    # what an engineer edits, found in the text by its shape: a number with its unit
    r"(?<![\w.])(\d+(?:\.\d+)?)(?= (?:mm|t/h|kW|kWh/t|%|m|t|t/m3|rpm|deg|h|EUR/kg|m3/h)\b)",
)


def numbers_in(text: str) -> list[re.Match[str]]:
    return [match for pattern in _EDITS for match in re.finditer(pattern, text)]


def edited(text: str, seed: int) -> str:
    """The text with one of its numbers moved by some per cent."""
    chance = random.Random(seed)
    match = chance.choice(numbers_in(text))
    value = float(match[1]) * chance.choice((0.9, 0.95, 1.05, 1.1))
    return f"{text[: match.start()]}{value:.6g}{text[match.end() :]}"


def plant_from(name: str, text: str) -> Plant | None:
    path = EXAMPLES / f"{name}.hog"
    return check(World(path), Source(path.name, text)).plant


def side(name: str, plant: Plant) -> Side:
    return Side(name, plant, rate(plant, balance(plant), f"{name}.hog"))


@cache
def whole(name: str) -> Side:
    plant = plant_from(name, (EXAMPLES / f"{name}.hog").read_text())
    assert plant is not None
    return side("before", plant)


def differing(a: Any, b: Any, path: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Leaves of two JSON documents that are not the same, lists of the same things in order."""
    if isinstance(a, dict) and isinstance(b, dict):
        for key in a.keys() | b.keys():
            if key not in _APART:
                yield from differing(a.get(key), b.get(key), f"{path}.{key}")
    elif isinstance(a, list) and isinstance(b, list) and len(a) == len(b):
        for place, (x, y) in enumerate(zip(a, b, strict=True)):
            yield from differing(x, y, f"{path}[{place}]")
    elif isinstance(a, float | int) and isinstance(b, float | int) and not isinstance(a, bool):
        if not math.isclose(a, b, rel_tol=5e-9, abs_tol=1e-11):
            yield path, float(a), float(b)
    elif a != b:
        yield path, a, b


def missing(before: Side, after: Side, found: Comparison) -> list[tuple[str, Any, Any]]:
    """What differs in the documents and has no row."""
    assert before.results is not None and after.results is not None
    a_document, b_document = (json.loads(results_json(r)) for r in (before.results, after.results))
    pairs = [(_in_documents(c.before, c), _in_documents(c.after, c)) for c in found.consequences]
    judged = [r for r in found.requirements if r.before is not None and r.after is not None]
    resieved = [
        place
        for place, (a, b) in enumerate(
            zip(before.plant.sieves_mm, after.plant.sieves_mm, strict=False)
        )
        if a != b
    ]
    lost = []
    for path, a, b in differing(a_document, b_document):
        if path.endswith(tuple(f".passing[{place}]" for place in resieved)):
            # What passes one sieve is not compared with what passes another: the sieve is listed.
            assert any(change.what == "sieves" for change in found.changes)
            continue
        if path.startswith(".requirements"):
            has = bool(judged) or bool(found.changes)
        elif isinstance(a, float) and isinstance(b, float):
            has = any(_is(pair, a, b) or _is(pair, 100 * a, 100 * b) for pair in pairs)
        elif isinstance(a, float | None) and isinstance(b, float | None):
            has = any((p is None) == (a is None) and (q is None) == (b is None) for p, q in pairs)
        else:
            has = bool(found.turns) or any((p is None) != (q is None) for p, q in pairs)
        if not has:
            lost.append((path, a, b))
    return lost


def _in_documents(value: float | None, row: Consequence) -> float | None:
    """A row's value in the unit of the results document: rows are in the units of the plant."""
    unit = result_unit(row.unit)
    if value is None or unit is None:
        return value
    return value * known(row.unit).size / known(unit).size


def _is(pair: tuple[float | None, float | None], a: float, b: float) -> bool:
    return all(
        one is not None and math.isclose(one, wanted, rel_tol=1e-8, abs_tol=1e-9)
        for one, wanted in zip(pair, (a, b), strict=True)
    )


@pytest.mark.slow
@pytest.mark.parametrize("name", ["quarry", "cones", "sand", "gravel"])
@pytest.mark.parametrize("seed", range(12))
def test_every_difference_of_the_results_has_a_row_and_no_row_is_made_up(
    name: str, seed: int
) -> None:
    text = (EXAMPLES / f"{name}.hog").read_text()
    plant = plant_from(name, edited(text, seed))
    if plant is None:
        pytest.skip("the edited plant has an error")
    try:
        before, after = whole(name), side("after", plant)
    except CannotSettle:
        pytest.skip("the edited plant has no balance")
    found = compare(before, after, 0.0)
    assert missing(before, after, found) == []
    assert before.results is not None and after.results is not None
    documents = [json.loads(results_json(one)) for one in (before.results, after.results)]
    if not any(differing(documents[0], documents[1])):
        assert not (found.consequences or found.requirements)
    for row in found.consequences:
        assert row.before != row.after


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(16))
def test_nothing_is_forgotten_of_generated_plants(seed: int, tmp_path: Path) -> None:
    """Plants of `tests.generator`, with libraries and templates, and one number of any file moved;
    a file that is edited beside the plant counts as well."""
    sides = []
    files = drawn(seed)
    name = random.Random(seed).choice([n for n in files.texts if numbers_in(files.texts[n])])
    for folder, texts in (
        ("a", files.texts),
        ("b", {**files.texts, name: edited(files.texts[name], seed)}),
    ):
        write(replace(files, texts=texts), tmp_path / folder)
        found = check_file(tmp_path / folder / MAIN).plant
        if found is None:
            pytest.skip("the edited plant has an error")
        try:
            sides.append(side(folder, found))
        except CannotSettle:
            pytest.skip("no balance")
    before, after = sides
    found_rows = compare(before, after, 0.0)
    assert missing(before, after, found_rows) == []
    if before.plant == after.plant:
        assert found_rows.same


@pytest.mark.slow
def test_a_plant_with_itself_differs_in_nothing() -> None:
    for name in ("quarry", "cones", "sand", "gravel"):
        assert compare(whole(name), whole(name), 0.0).same


# -- what was reported as "No result differs" ----------------------------------------------------

PILE = """
use std.sieves
material rock {
  solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t
}
plant "pile" {
  operation { hours_per_year 2400 h }
  sieves { 63 mm, 4 mm }
  feed f { rock rock; rate 100 t/h; passing { 63 mm: 100 %, 4 mm: 10 % } }
  stockpile heap { STATED }
  f -> heap -> product all
}
"""


@pytest.mark.parametrize(
    ("before", "after", "subject", "what"),
    [
        ("live 6000 t", "live 600 t", "stockpile heap", "live"),
        ("height 12 m", "height 14 m", "stockpile heap", "height"),
    ],
)
def test_a_stockpile_that_holds_less_differs(
    before: str, after: str, subject: str, what: str
) -> None:
    was, now = (side(s, plant_of(PILE.replace("STATED", s))) for s in (before, after))
    found = compare(was, now, 0.0)
    assert (subject, what) in {(c.subject, c.what) for c in found.consequences}
    assert found.changes


def test_hours_of_a_year_move_the_tonnes_of_a_year() -> None:
    plants = [PILE.replace("STATED", "live 60 t").replace("2400", h) for h in ("2400", "4800")]
    found = compare(side("a", plant_of(plants[0])), side("b", plant_of(plants[1])), 0.0)
    (row,) = [c for c in found.consequences if c.subject == "product all"]
    # 100 t/h in 2400 h and in 4800 h, by hand
    assert (row.what, row.before, row.after) == ("per year", 240_000.0, 480_000.0)


@pytest.mark.slow
def test_a_price_of_liners_moves_what_they_cost() -> None:
    text = (EXAMPLES / "cones.hog").read_text()
    assert "price = 4.20 EUR/kg" in text
    dearer = plant_from("cones", text.replace("price = 4.20 EUR/kg", "price = 8.40 EUR/kg"))
    assert dearer is not None
    found = compare(whole("cones"), side("dearer", dearer), 0.0)
    assert any("liner cost" in c.what for c in found.consequences)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("rate normal(100 t/h, 5 %)", "rate normal(100 t/h, 9 %)"),
        ("rate free(90 t/h to 110 t/h)", "rate free(80 t/h to 120 t/h)"),
        ("rate any(100 t/h, 120 t/h)", "rate any(100 t/h, 130 t/h)"),
    ],
)
def test_what_is_left_open_otherwise_is_not_the_same_plant(before: str, after: str) -> None:
    text = PILE.replace("STATED", "live 60 t")
    was, now = (side(s, plant_of(text.replace("rate 100 t/h", s))) for s in (before, after))
    found = compare(was, now, 0.0)
    assert not found.same and not found.consequences
    assert [c.subject for c in found.changes] == ["plant"]


def test_an_option_that_is_not_picked_is_part_of_the_plant() -> None:
    text = PILE.replace(
        "stockpile heap { STATED }\n  f -> heap -> product all",
        "choose way { option one { f -> product all }\n"
        "    option two { splitter s { out a 30 %; out b rest }\n"
        "      f -> s; s.a -> product all; s.b -> product rest } }",
    )
    other = text.replace("out a 30 %", "out a 40 %")
    found = compare(side("a", plant_of(text)), side("b", plant_of(other)), 0.0)
    assert [c.what for c in found.changes] == ["option two of way"]
    same = compare(side("a", plant_of(text)), side("b", plant_of(f"# a comment\n{text}")), 0.0)
    assert same.same
