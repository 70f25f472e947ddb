"""Proposals, each put in and held against the checker: what is proposed is taken there."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check.checker import Checked, check
from hoggin.diagnostics.source import Source
from hoggin.editor.asking import Item
from hoggin.editor.completion import completions
from hoggin.editor.cursor import cursor_at
from hoggin.editor.edits import Edit, applied
from hoggin.editor.project import Project
from hoggin.editor.reading import Reader
from hoggin.schema import asked as results
from hoggin.schema.facts import FACTS, facts_of
from hoggin.schema.units import known, units_of
from hoggin.world import World

HERE = "@"  # where the cursor is; no sign of the language
# Bounds are not a proposal's affair: `32 m` has the right unit and is no setting of a cone.
BOUNDS = {"E0404", "E0306"}
# Nor is what the plant lacks elsewhere: a price for a cost, a flakiness of the feed, a wet screen.
ELSEWHERE = {"E0402", "E0405"}

HEAD = """\
use std.cones
use std.screens
use std.sieves
use std.gradings.astm as astm
let gap = 14 mm
let share = 40 %
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
"""
TEMPLATE = """\
template circuit(head: 900 mm to 2000 mm, duty: secondary | tertiary = tertiary) {
  in rock
  out stone
  crusher inner: cones.high_speed(head: head) { duty duty; css gap }
  rock -> inner -> stone
}
"""
PLANT = (
    HEAD
    + TEMPLATE
    + """\
plant "Hill" {
  sieves sieves.en_set2
  feed rock { rock granite; rate 200 t/h; passing { 200 mm: 100 %, 50 mm: 40 % } }
  crusher cone: cones.high_speed(head: 1300 mm) { duty tertiary; css gap }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) { deck top 20 mm }
  splitter halves { out left 50 %; out right rest }
  section line: circuit(head: 1300 mm)
  rock -> cone -> sizing
  sizing.over -> halves
  sizing.under -> product sand
  halves.left -> line -> product stone
  halves.right -> product rest_of_it
@
}
"""
)

READER = Reader()  # libraries are read once for all the tests
NOWHERE = World(Path("/nowhere/plant.hog"))


def check_text(text: str) -> Checked:
    return check(NOWHERE, Source("plant.hog", text), READER)


def asked(text: str) -> tuple[str, int, tuple[Item, ...]]:
    """The text without the cursor's sign, its place, and the proposals there."""
    offset = text.index(HERE)
    text = text.replace(HERE, "", 1)
    project = Project(READER)
    path = Path("/nowhere/plant.hog")
    project.put(path, text)
    return text, offset, completions(project.snapshot(path), offset, project.reader)


def labels(text: str) -> list[str]:
    return [item.label for item in asked(text)[2]]


def faults_of(text: str, offset: int, item: Item, rest: str = "") -> list[str]:
    """Errors that touch what was put in."""
    start = offset
    while start and (text[start - 1].isalnum() or text[start - 1] == "_"):
        start -= 1
    new = item.text + rest
    edits = [Edit("", start, offset, new), *(Edit("", e.start, e.end, e.text) for e in item.edits)]
    start += sum(len(e.text) for e in item.edits if e.start < start)
    written = applied(text, edits)
    assert written[start : start + len(new)] == new
    return [
        f"{found.code} {found.message}"
        for found in check_text(written).diagnostics
        if found.is_error
        and found.code not in BOUNDS | ELSEWHERE
        and found.span.source.name == "plant.hog"
        and found.span.start < start + len(item.text)
        and found.span.end > start
    ]


def line(words: str) -> str:
    return PLANT.replace(HERE, words)


PLACES = {
    "a class": line("  crusher second: @"),
    "a class of a library": line("  crusher second: cones.@"),
    "a class half typed": line("  screen second: scre@"),
    "a feeder's class, of a library not used yet": line("  feeder second: @"),
    "a template": line("  section other: @"),
    "a parameter": line("  screen second: screens.inclined(@) { deck top 10 mm }"),
    "a second parameter": line("  screen s: screens.inclined(width: 2 m, @) { deck top 10 mm }"),
    "a parameter's value": line(
        "  crusher c: cones.high_speed(head: @) { duty tertiary; css gap }"
    ),
    "a template's choice": line("  section other: circuit(head: 1000 mm, duty: @)"),
    "a setting": line("  crusher c: cones.high_speed(head: 1300 mm) { duty tertiary; @ }"),
    "a count": line("  feeder f: feeders.belt(width: 1 m) { count @ }"),
    "a choice": line("  crusher c: cones.high_speed(head: 1300 mm) { css gap; duty @ }"),
    "a number": line("  crusher c: cones.high_speed(head: 1300 mm) { duty tertiary; css @ }"),
    "a unit": line("  crusher c: cones.high_speed(head: 1300 mm) { duty tertiary; css 14 @ }"),
    "a unit of rate": line("  require sand.rate >= 14 @"),
    "a limit by name": line("  require sand.p80 >= @"),
    "a screen's setting": line("  screen s: screens.inclined(width: 2 m, length: 6 m) { @ }"),
    "a deck": line("  screen s: screens.inclined(width: 2 m, length: 6 m) { deck @ }"),
    "an aperture": line("  screen s: screens.inclined(width: 2 m, length: 6 m) { deck top @ }"),
    "a shape": line("  screen s: screens.inclined(width: 2 m, length: 6 m) { deck top 9 mm @ }"),
    "a deck's fact": line(
        "  screen s: screens.inclined(width: 2 m, length: 6 m) { deck top 9 mm slotted { @ } }"
    ),
    "a band": line("  require sand meets @"),
    "a band of a library": line("  require sand meets astm.@"),
    "a result of a product": line("  require sand.@ <= 0 mm"),
    "a result of a section's machine": line("  require line.inner.@ <= 0 mm"),
    "a result of a deck": line("  require sizing.top.@ <= 0 mm"),
    "a result of the plant": line("  require plant.@ <= 0 mm"),
    "an aim's result": line("  maximize sand.@"),
    "a limit": line("  require sand.rate @"),
    "a feed's fact": line("  feed more { @ }"),
    "a feed's rock": line("  feed more { rock @; rate 1 t/h }"),
    "a bin's fact": line("  bin b { @ }"),
    "a pile's fact": line("  stockpile s { @ }"),
    "a product's fact": line("  product p { @ }"),
    "a share": line("  splitter s { out a 10 %; out b @ }"),
    "a series": PLANT.replace("sieves sieves.en_set2", "sieves @").replace(f"\n{HERE}\n}}", "\n}"),
    "an operation": line(
        "  currency EUR\n  feeder f: feeders.belt(width: 1 m) { operation { @ } }"
    ),
    "a splitter's operation": line("  splitter s { out a 9 %; out b rest; operation { @ } }"),
    "a feed's operation": line("  feed more { operation { @ } }"),
    "the plant's operation": line("  currency EUR\n  operation { @ }"),
    "a price": line(
        "  currency USD\n"
        "  crusher c: cones.high_speed(head: 900 mm) { operation { liner_price 4 @ } }"
    ),
    "a plant's fact": line("  elongation_ratio 3\n  @"),
    "a material's fact": HEAD + "material other { @ }\n",
    "a band's fact": HEAD + "band other { @ }\n",
    "a grading's fact": HEAD + "grading other { @ }\n",
    "a size of a result": line("  require sand.passing(@) <= 40 %"),
    "a sentence's other half": line("  require sand.share within 5 % @ 60 %"),
    "a template's own number": HEAD
    + TEMPLATE.replace("css gap", "css @").replace("(head: ", "(set: mm = 9 mm, head: "),
    "a template's own word": HEAD + TEMPLATE.replace("duty duty", "duty @"),
    "a template's own argument": HEAD + TEMPLATE.replace("head: head", "head: @"),
    "a library": "use std.@\n",
    "a library of gradings": "use std.gradings.@\n",
    "a class's fact": HEAD + "class crusher own() { @ }\n",
    "a screen class's fact": HEAD + "class screen own() { @ }\n",
    "a model": HEAD + "class crusher own() { model capacity: @\n }\n",
    "a breakage model": HEAD + "class crusher own() { model breakage: @\n }\n",
    "a coefficient": HEAD + "class crusher own() { model capacity: jaw { gape 900 mm; @ } }\n",
    "a setting in an expression": HEAD
    + "class crusher own(head: mm) { setting css: 5 mm to 60 mm\n feed_opening @ }\n",
    "a word in a rule": HEAD
    + 'class crusher own() { setting duty: secondary | tertiary\n rule duty == @ else "no" }\n',
}
# What ends a line that a proposal only begins.
BEGINNINGS = {
    "deck": " second 5 mm",
    "out": " more 10 %",
    "material": " granite",
    "note": ' "seen"',
}


@pytest.mark.slow
@pytest.mark.parametrize("place", PLACES)
def test_what_is_proposed_is_taken(place: str) -> None:
    text, offset, items = asked(PLACES[place])
    assert items, "nothing is proposed"
    refused = {}
    for item in items:
        rest = BEGINNINGS.get(item.label, "") if item.kind == "keyword" else ""
        if item.label in ("let", "rule", "setting", "model") and item.kind == "keyword":
            continue  # what begins a statement is tried below
        if place == "a plant's fact" and (item.kind != "property"):
            continue
        faults = faults_of(text, offset, item, rest)
        if "result" in place and item.kind == "property" and faults:
            # a limit of another dimension is refused at the number beside it, not for the name
            faults = [fault for fault in faults if not fault.startswith(("E0302", "E0303"))]
        if item.label == "checks":  # no package is installed here that has any
            faults = [fault for fault in faults if not fault.startswith("E0210")]
        if faults:
            refused[item.text] = faults
    assert not refused


STATEMENTS = {
    # Each word that may begin a statement, with a whole one, as docs/language.md writes them.
    "top": {
        "use": "use std.jaws",
        "let": "let other = 5 mm",
        "material": "material m { solid_density 2 t/m3; bulk_density 1 t/m3; work_index 9 kWh/t }",
        "grading": "grading g { passing { 9 mm: 100 %, 1 mm: 9 % } }",
        "series": "series s { 5 mm, 2 mm }",
        "band": "band b { passing { 8 mm: 100 %, 4 mm: 0 % to 20 % } }",
        "class": "class feeder f() { model capacity: rated { rated 100 t/h } }",
        "template": "template t() { in a; out b; blend m; a -> m -> b }",
        "plant": "",
    },
    "plant": {
        "let": "let other = 5 mm",
        "feed": "feed f { rock granite; rate 1 t/h; passing { 9 mm: 100 %, 1 mm: 9 % } }",
        "crusher": "crusher c: cones.high_speed(head: 1300 mm) { duty tertiary; css gap }",
        "screen": "screen s: screens.inclined(width: 2 m, length: 6 m) { deck top 9 mm }",
        "feeder": "feeder f: std_feeders.belt(width: 1 m)",
        "classifier": "classifier c: washing.sand_screw()",
        "splitter": "splitter s { out a 10 %; out b rest }",
        "blend": "blend b",
        "bin": "bin b { live 100 t }",
        "stockpile": "stockpile s { live 100 t }",
        "conveyor": "conveyor c: conveyors.troughed()",
        "magnet": "magnet m: magnets.drum(width: 1 m)",
        "metal_detector": "metal_detector m: magnets.coil(width: 1 m)",
        "instrument": "instrument i: instruments.belt_scale()",
        "grizzly_feeder": "grizzly_feeder g: feeders.vibrating(width: 1 m) { deck top 60 mm }",
        "sump": "sump s { volume 5 m3 }",
        "pump": "pump p: slurry.centrifugal(flow: 90 m3/h)",
        "thickener": "thickener t: slurry.raked(diameter: 9 m)",
        "product": "product p",
        "section": "section s: circuit(head: 1300 mm)",
        "require": "require sand.rate >= 1 t/h",
        "maximize": "maximize sand.rate",
        "minimize": "minimize plant.power",
        "operation": "operation { days_per_week 5 }",
        "project": 'project { client "one" }',
        "case": "case c { rock.rate 90 t/h }",
        "choose": "choose c { option a { blend x }; option b { blend y } }",
    },
}


@pytest.mark.slow
@pytest.mark.parametrize("place", STATEMENTS)
def test_the_words_that_begin_a_statement_are_those_the_checker_knows_there(place: str) -> None:
    """Each proposed word begins a statement that is not out of place (E0207) or unreadable."""
    text, offset, items = asked(HEAD + "@\n" if place == "top" else PLANT)
    words = [item.label for item in items if item.kind == "keyword"]
    assert set(words) == set(STATEMENTS[place])
    for word in words:
        written = applied(text, [Edit("", offset, offset, STATEMENTS[place][word])])
        codes = {found.code for found in check_text(written).diagnostics}
        assert not codes & {"E0101", "E0103", "E0207"}, word


@pytest.mark.slow
def test_only_what_fits_is_proposed() -> None:
    """By hand, from the language: units of length and no others, a let of a length and no share."""
    lengths = {"um", "mm", "cm", "m", "in", "ft"}
    assert set(labels(PLACES["a unit"])) == lengths
    number = labels(PLACES["a number"])
    assert "gap" in number
    assert "share" not in number
    assert set(labels(PLACES["a choice"])) == {"secondary", "tertiary"}
    assert set(labels(PLACES["a result of a product"])) == set(results.asked("product"))
    assert set(labels(PLACES["a unit of rate"])) <= {*units_of(known("t/h").dimension)}


def test_ports_and_targets_of_routes() -> None:
    """By hand: what has an outlet may begin a route, what takes rock may end one."""
    assert {"over", "under"} >= set(labels(line("  sizing.top.@ -> sand"))) == {"over"}
    sources = labels(line("  rock -> sand\n  @"))
    assert {"rock", "cone", "sizing.top.over", "sizing.under", "halves.left", "line.stone"} <= set(
        sources
    )
    assert "sand" not in sources
    targets = labels(line("  rock -> @"))
    assert {"cone", "sizing", "sand", "line.rock", "product"} <= set(targets)
    assert "rock" not in targets


@pytest.mark.slow
def test_what_is_stated_is_not_proposed_again() -> None:
    assert "duty" not in labels(PLACES["a setting"])
    assert "css" in labels(PLACES["a setting"])
    assert "width" not in labels(PLACES["a second parameter"])


def test_what_a_template_is_given_is_proposed_inside_it() -> None:
    """By hand, from the template: `head` and `set` are lengths, `duty` is a choice of the same
    words; a choice of other words is none."""
    assert {"set", "gap"} <= set(labels(PLACES["a template's own number"]))
    assert "duty" in labels(PLACES["a template's own word"])
    assert "head" in labels(PLACES["a template's own argument"])
    other = HEAD + TEMPLATE.replace("duty duty", "duty duty; chamber @")
    assert labels(other) == ["coarse", "medium", "fine"]


def test_a_free_number_is_proposed_with_the_range_of_the_class() -> None:
    (free,) = (item for item in asked(PLACES["a number"])[2] if item.label == "free")
    assert free.text == "free(6 mm to 60 mm)"  # as stdlib/cones.hog has it


@pytest.mark.parametrize("typed", ["", "t", "t/", "t/h"])
def test_a_unit_with_a_slash_is_completed_as_a_whole(typed: str) -> None:
    """`halves` stands in the plant, and `14 t/halves` is no rate."""
    text, offset, items = asked(line(f"  require sand.rate >= 14 {typed}@"))
    assert {item.label for item in items} == {"t/h", "kg/h", "kg/s", "stph", "lb/h"}
    cursor = cursor_at(Source("plant.hog", text), offset)
    assert cursor is not None
    assert cursor.word == typed


def test_prices_are_proposed_in_the_plants_currency() -> None:
    assert set(labels(PLACES["a price"])) == {"USD/t", "USD/kg"}
    cost = labels(line("  currency USD\n  require cone.liner_cost <= 4 @"))
    assert set(cost) == {"USD/t", "USD/kg"}


@pytest.mark.slow
def test_what_an_operation_may_state_is_proposed_in_it_and_nowhere_else() -> None:
    """By hand, from the language's page."""
    machine = {"availability", "pace", "maintenance", "parts_cost", "price"}
    assert set(labels(PLACES["an operation"])) == machine
    splitter = {"availability", "pace", "maintenance", "campaign"}
    assert set(labels(PLACES["a splitter's operation"])) == splitter
    assert set(labels(PLACES["a feed's operation"])) == {"loading"}
    run = {"shifts", "days_per_week", "hours_per_year", "availability"}
    run |= {"energy_price", "labour_cost", "grid_carbon"}
    assert set(labels(PLACES["the plant's operation"])) == run
    assert {"operation", "note"} <= set(labels(PLACES["a setting"]))
    assert not machine & set(labels(PLACES["a setting"]))
    assert not run & set(labels(PLACES["a plant's fact"]))


def test_units_of_results_are_proposed_for_their_own_results_alone() -> None:
    """A year's tonnes are required in t/y; no one feeds a plant in it. The same for g/t."""
    yearly = {item.label for item in asked(line("  require sand.per_year >= 14 @"))[2]}
    assert "t/y" in yearly
    metal = {item.label for item in asked(line("  require cone.liner_metal <= 14 @"))[2]}
    assert metal == {"%", "g/t"}
    share = {item.label for item in asked(line("  require sand.share >= 14 @"))[2]}
    assert share == {"%"}


def test_a_limit_is_proposed_in_the_unit_of_its_result() -> None:
    yearly = {item.label: item.text for item in asked(line("  require sand.per_year @"))[2]}
    assert yearly[">="] == ">= 1 t/y"


def test_nothing_follows_a_band() -> None:
    assert labels(line("  require sand meets astm.c33_8 @")) == []


def test_limits_of_shares_are_proposed_in_per_cent() -> None:
    """A load of `<= 1` is a slip that no one wants; a reduction ratio is a plain number."""
    load = {item.label: item.text for item in asked(line("  require cone.load @"))[2]}
    assert load["<="] == "<= 100 %"
    ratio = {item.label: item.text for item in asked(line("  require cone.reduction_ratio @"))[2]}
    assert ratio["<="] == "<= 2"


def test_sizes_of_a_result_are_the_plants_sieves() -> None:
    """EN 933-2's set 2 begins so (from memory of the standard, and in stdlib/sieves.hog)."""
    text, offset, _ = asked(line("  require sand.passing(@) <= 40 %"))
    project = Project(READER)
    path = Path("/nowhere/plant.hog")
    project.put(path, text.replace("passing()", "passing(5 mm)"))
    found = completions(project.snapshot(path), offset, project.reader)
    sizes = [item.label for item in found if item.kind == "number"]
    assert {"31.5 mm", "16 mm", "8 mm", "4 mm"} <= set(sizes)


def test_every_keyword_fact_and_result_is_explained() -> None:
    """One line each: no proposal of the language's own words is bare."""
    for place in (HEAD + "@\n", PLANT, PLACES["a result of a product"], PLACES["a feed's fact"]):
        for item in asked(place)[2]:
            if item.kind in ("keyword", "property"):
                assert item.detail, item.label
    assert (
        "t/m3"
        in {i.label: i for i in asked(PLACES["a material's fact"])[2]}["solid_density"].detail
    )


def test_every_word_of_the_language_has_a_line() -> None:
    assert all(fact.meaning for fact in FACTS)
    assert all(one.meaning for kind in results.kinds() for one in results.asked(kind).values())


def test_nothing_is_proposed_in_texts_and_comments() -> None:
    assert labels(line("  # require @")) == []
    assert labels(line('  revision "A@"')) == []


@pytest.mark.slow
def test_ranges_units_and_sources_are_told() -> None:
    items = {item.label: item for item in asked(PLACES["a setting"])[2]}
    assert "6 mm to 60 mm" in items["css"].detail
    classes = {item.label: item for item in asked(PLACES["a class"])[2]}
    assert "head: " in classes["cones.high_speed"].text
    new = {
        item.label: item for item in asked(PLACES["a feeder's class, of a library not used yet"])[2]
    }
    assert [edit.text for edit in new["feeders.belt"].edits] == ["\nuse std.feeders"]


@pytest.mark.parametrize(
    ("block", "opening"),
    [
        ("plant", 'plant "Hill" { zzz 1 }'),
        ("feed", 'plant "Hill" { feed f { zzz 1 } }'),
        ("product", 'plant "Hill" { product p { zzz 1 } }'),
        ("material", "material m { zzz 1 }"),
        ("band", "band b { zzz 1 }"),
        ("grading", "grading g { zzz 1 }"),
        (
            "deck",
            'use std.screens\nplant "Hill" { screen s: screens.inclined(width: 2 m, length: 6 m) '
            "{ deck top 9 mm { zzz 1 } } }",
        ),
    ],
)
def test_the_vocabulary_is_the_checkers_own(block: str, opening: str) -> None:
    """The checker lists what it knows where a name is unknown and near none."""
    (help_,) = [d.help for d in check_text(opening).diagnostics if d.code == "E0403"]
    listed = set(help_.removeprefix("known here: ").replace("`", "").split(", "))
    assert set(facts_of(block)) == listed


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        "  crusher second: @",
        "  crusher second: cones.@",
        "  crusher c: cones.high_speed(@",
        "  crusher c: cones.high_speed(head: @",
        "  crusher c: cones.high_speed(head: 1300 mm) { duty @",
        "  crusher c: cones.high_speed(head: 1300 mm) {\n    css 14 @",
        "  screen s: screens.inclined(width: 2 m, length: 6 m) { deck @",
        "  require @",
        "  require sand.@",
        "  require sand meets @",
        "  require sand.rate >= 14 @",
        "  rock -> @",
        "  sizing.@",
    ],
)
def test_the_rest_of_the_file_is_known_where_a_line_is_only_begun(words: str) -> None:
    """Half-typed, in the middle of the plant and with nothing after it."""
    middle = PLANT.replace("  rock -> cone", f"{words}\n  rock -> cone").replace(
        f"\n{HERE}\n}}", "\n}"
    )
    whole = labels(line(words))
    assert whole
    assert set(labels(middle)) == set(whole)
    assert set(labels(line(words).rpartition("}")[0])) == set(whole)


def test_outlets_of_a_drawn_store_are_its_draw_and_overflow() -> None:
    """By hand, from the language page: a bin has one outlet until it states a `draw`."""
    assert "heap" in labels(line("  bin heap { live 90 t }\n  @"))
    found = labels(line("  bin heap { live 90 t; draw 40 t/h }\n  @"))
    assert {"heap.draw", "heap.overflow"} <= set(found) and "heap" not in found


def test_a_position_is_proposed_with_an_outlet_where_outlets_take_nothing() -> None:
    gate = "  splitter gate {{ out yard; out mill; {} }}"
    (position,) = (i for i in asked(line(gate.format("@")))[2] if i.label == "position")
    assert position.text == "position yard"
    assert labels(line(gate.format("position @"))) == ["yard", "mill"]
    assert "position" not in labels(line("  splitter own { out a 40 t/h; out b rest; @ }"))
