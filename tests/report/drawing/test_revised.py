"""Two revisions in one flowsheet, on pairs of plants: clouds and triangles are around what was
changed and nothing else, and the numbers are those of the comparison.

That a revision is marked by a cloud and a triangle with its mark is common practice, no source.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest

from hoggin.balancing import rated
from hoggin.check.checker import check_file
from hoggin.report import comparison as tables
from hoggin.report.drawing.diagram import Diagram
from hoggin.report.drawing.figure import figure
from hoggin.report.drawing.geometry import on_circle
from hoggin.report.drawing.model import Arc, Drawing, Stroke, Words
from hoggin.report.revised.drawing import compared, revised_diagrams
from hoggin.report.revised.union import Union, united
from hoggin.revise.compare import Comparison
from hoggin.schema.results import Results
from tests.generator.drawing import MAIN, plant, write
from tests.report.drawing.reading import faults
from tests.report.drawing.revised_quarry import (
    EXAMPLES,
    PICTURE,
    Pair,
    picture,
    quarry,
    revised_quarry,
)
from tests.revise.compare.test_nothing_is_forgotten import edited

pytestmark = pytest.mark.slow


@cache
def example(name: str) -> Results:
    found = rated(check_file(EXAMPLES / f"{name}.hog"))
    assert isinstance(found, Results)
    return found


def drawn_at(seed: int, folder: Path) -> Results | None:
    write(plant(seed), folder)
    checked = check_file(folder / MAIN)
    found = rated(checked) if checked.plant is not None else None
    return found if isinstance(found, Results) else None


def ends_of(union: Union) -> dict[str, tuple[str, str]]:
    """Source and target of every line; those of water alone have supplies of their own."""
    ends = {stream.name: (stream.source, stream.target) for stream in union.results.streams}
    for water in union.results.water_streams:
        target = water.target.rpartition(".")[0] if water.kind == "spray" else water.target
        ends[water.number] = (f"{water.source} {water.number}", target)
    return ends


def expected(pair: Pair, comparison: Comparison) -> Counter[str]:
    """What is to be marked, found anew: by the subjects of changes, and by which ends two things
    have a stream between them in one of the plants only."""
    marked: set[str] = set()
    there = {t.tag for t in (*pair.after.machines, *pair.after.feeds, *pair.after.products)}
    gone: dict[str, str] = {}
    kinds = {"feed", "product", *(m.kind for m in (*pair.before.machines, *pair.after.machines))}
    for change in comparison.changes:
        kind, _, tag = change.subject.partition(" ")
        if kind not in kinds:
            continue
        if change.kind == "removed":
            gone[tag] = f"{tag} before" if tag in there else tag
            marked.add(f"machine {gone[tag]}")
        else:
            marked.add(f"machine {tag}")

    def now(tag: str) -> str:
        return gone[tag] if tag in gone else comparison.renamed.get(tag, tag)

    old = {(now(s.source), s.outlet, now(s.target)): s.number for s in pair.before.streams}
    new = {(s.source, s.outlet, s.target): s.number for s in pair.after.streams}
    marked |= {f"stream ex {number}" for way, number in old.items() if way not in new}
    marked |= {f"stream {number}" for way, number in new.items() if way not in old}
    return Counter(marked)


def sheets(found: Sequence[Diagram]) -> Sequence[Diagram]:
    return found if len(found) == 1 else found[1:]


def triangles(diagram: Diagram) -> Counter[str]:
    strokes = (i for i in figure(diagram).items if isinstance(i, Stroke) and i.layer == "revision")
    return Counter(i.of for i in strokes if i.closed and len(i.points) == 3)


def clouds(diagram: Diagram) -> Counter[str]:
    """Closed runs of arcs, each of which begins where the last ends."""
    found: Counter[str] = Counter()
    arcs: dict[str, list[Arc]] = {}
    for item in figure(diagram).items:
        if isinstance(item, Arc) and item.layer == "revision":
            arcs.setdefault(item.of, []).append(item)
    for of, run in arcs.items():
        for one, following in pairwise([*run, run[0]]):
            end = on_circle(one.centre, one.radius, one.end)
            start = on_circle(following.centre, following.radius, following.start)
            assert math.dist(end, start) < 1e-6
        found[of] += 1
    return found


def told(comparison: Comparison) -> Iterator[tuple[str, str]]:
    """Every pair of values of the comparison's own tables, with and without their unit."""
    for section in tables.document(comparison, everything=True).sections:
        if section.table is None:
            continue
        headings = [column.heading for column in section.table.columns]
        if "before" not in headings or "margin" in headings:
            continue
        first, second = headings.index("before"), headings.index("after")
        for row in section.table.rows:
            both = (str(row[first] or "-"), str(row[second] or "-"))
            yield both
            if "unit" in headings:
                unit = row[headings.index("unit")]
                was, now = (t if t == "-" else f"{t} {unit}".strip() for t in both)
                yield was, now


def check_pair(pair: Pair) -> None:
    comparison = pair.compared()
    union = united(pair.before, pair.after, comparison)
    found = revised_diagrams(union, comparison)
    ends = ends_of(union)
    assert [fault for one in sheets(found) for fault in faults(one, ends)] == []
    wanted = expected(pair, comparison)
    assert Counter(set().union(*(triangles(one) for one in sheets(found)))) == wanted
    for one in sheets(found):
        assert set(triangles(one).values()) <= {1}
        assert clouds(one) == triangles(one)
    of_changes = {key for one in union.changes for key in one.of}
    assert of_changes == set(wanted)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("closed_one_screen", "open_circuit"),
        ("open_circuit", "surge_pile"),
        ("split_decks", "reversed_closed"),
        ("washed_gravel", "tramp_guard"),
        ("pressed_sand", "shape_impactor"),
    ],
)
def test_what_is_marked_between_two_plants_is_what_differs(before: str, after: str) -> None:
    check_pair(Pair(example(f"cookbook/{before}"), example(f"cookbook/{after}")))


def test_what_is_marked_between_two_revisions_is_what_differs() -> None:
    check_pair(revised_quarry())


@pytest.mark.parametrize("seed", range(8))
def test_what_is_marked_between_random_plants_is_what_differs(seed: int, tmp_path: Path) -> None:
    """Every other pair is of one plant, of which a number is edited."""
    before = drawn_at(seed, tmp_path / "a")
    if seed % 2:
        after = drawn_at(seed + 100, tmp_path / "b")
    else:
        name = plant(seed)
        write(name, tmp_path / "b")
        file = tmp_path / "b" / MAIN
        file.write_text(edited(file.read_text(), Random(seed).randrange(1000)))
        checked = check_file(file)
        result = rated(checked) if checked.plant is not None else None
        after = result if isinstance(result, Results) else None
    if before is None or after is None:
        pytest.skip("one of the plants has no balance")
    check_pair(Pair(before, after))


def words(drawn: Drawing) -> list[Words]:
    return [item for sheet in drawn.sheets for item in sheet.items if isinstance(item, Words)]


@pytest.mark.parametrize("threshold", [0.0, 1.0, 20.0])
def test_numbers_of_the_tables_are_those_of_the_comparison(threshold: float) -> None:
    pair = revised_quarry()
    comparison = pair.compared(threshold)
    drawn = compared(pair.before, pair.after, comparison)
    known = {text for both in told(comparison) for text in both}
    cells = {w.text for w in words(drawn) if w.layer == "table" and w.of}
    numbers = {text for text in cells if re.match(r"\d+\.\d", text)}
    assert numbers
    assert numbers <= known


def test_a_stream_that_differs_has_both_rates_in_its_column() -> None:
    pair = revised_quarry()
    drawn = compared(pair.before, pair.after, pair.compared())
    was = {s.name: s for s in pair.before.streams}
    for stream in pair.after.streams:
        old = was.get(stream.name)
        if old is None or abs(old.rate_t_h - stream.rate_t_h) <= 0.01 * 450:
            continue  # 450 t/h is the plant's feed, by which a rate is weighed
        cells = [w.text for w in words(drawn) if w.of == f"stream {stream.number}"]
        assert {f"{old.rate_t_h:.1f}", f"{stream.rate_t_h:.1f}"} <= set(cells)


def test_a_change_is_beside_its_machine_in_words() -> None:
    pair = revised_quarry()
    drawn = compared(pair.before, pair.after, pair.compared())
    beside = {(w.of, w.text) for w in words(drawn) if w.layer == "revision"}
    assert ("machine secondary", "css 44 mm -> 40 mm") in beside
    assert ("machine secondary", "was called second") in beside
    assert ("machine order_book", "NEW") in beside
    assert ("machine fine", "REMOVED") in beside
    assert {w.text for w in words(drawn) if w.text == "Changes since B"}


@pytest.mark.parametrize(
    ("name", "called"),
    [
        ("/a/long/way/to/the/plants/of/a/site/hill.hog", "hill.hog"),
        ("HEAD~3:plants/hill.hog", "HEAD~3"),
        (":1:plants/hill.hog", "hill.hog"),
    ],
)
def test_revisions_of_one_mark_are_told_apart_by_name(name: str, called: str) -> None:
    later = quarry()
    earlier = quarry(("css     40 mm", "css 44 mm"))
    comparison = Pair(earlier, later).compared()
    before = comparison.before.model_copy(update={"name": name})
    named = comparison.model_copy(update={"before": before})
    drawn = compared(earlier, later, named)
    assert f"Changes since {called}" in {w.text for w in words(drawn)}


def test_what_is_removed_is_dotted_and_crossed_out() -> None:
    pair = revised_quarry()
    drawn = compared(pair.before, pair.after, pair.compared())
    items = [i for sheet in drawn.sheets for i in sheet.items if i.of == "machine fine"]
    outlines = [i for i in items if isinstance(i, Stroke) and i.layer == "machine"]
    assert outlines and {i.dash for i in outlines} == {"dotted"}
    strokes = [i for i in items if isinstance(i, Stroke) and i.layer == "revision"]
    assert len([i for i in strokes if not i.closed]) == 2


def test_the_overview_counts_what_is_removed_and_lists_what_is_made() -> None:
    """The whole of one plant is gone beside another; its sheets are in the overview still."""
    pair = Pair(example("cookbook/parallel_lines"), example("cookbook/fines_crushing"))
    comparison = pair.compared()
    union = united(pair.before, pair.after, comparison)
    first, *others = revised_diagrams(union, comparison)
    said = [line for box in first.placed for line in box.label.lines]
    gone = {m.tag for m in pair.before.machines} - {m.tag for m in pair.after.machines}
    counts = [re.search(r": (\d+) machines?(?:, (\d+) removed)?$", line) for line in said]
    found = [(int(one[1]), int(one[2] or 0)) for one in counts if one]
    assert len(found) == len(others) > 1
    assert sum(n for n, _ in found) == len(pair.after.machines)
    assert sum(n for _, n in found) == len(gone)
    made = {name for line in said if line.startswith("to ") for name in line[3:].split(", ")}
    assert made == {product.tag for product in pair.after.products}


def test_a_plant_beside_itself_has_no_marks() -> None:
    plain = quarry()
    drawn = compared(plain, plain, Pair(plain, plain).compared())
    assert not [i for sheet in drawn.sheets for i in sheet.items if i.layer == "revision"]


def test_the_picture_of_the_docs_is_the_drawing() -> None:
    assert PICTURE.read_bytes() == picture(), "python -m tests.report.drawing.revised_quarry"
