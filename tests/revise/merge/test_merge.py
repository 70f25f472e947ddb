"""Files merged as facts: laws that hold for any edits, and what a user reads of a conflict."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.diagnostics.source import Source
from hoggin.revise.compare.listing import listing
from hoggin.revise.merge import Labels, Merged, merge

EXAMPLES = Path(__file__).parents[3] / "examples"
PLANT = """\
use std.sieves
use std.screens
use std.cones

material granite {
  solid_density 2.65 t/m3
  bulk_density  1.55 t/m3
  work_index    15 kWh/t  # from the quarry's own core
}

# The whole of it.
plant "Hill" {
  sieves sieves.quarry
  feed rock {
    rock granite
    rate     200 t/h  # dry
    passing { 125 mm: 100 %, 20 mm: 50 %, 4 mm: 10 % }
  }

  # Scalping comes first.
  screen sizing: screens.inclined(width: 1.8 m, length: 4.8 m) { deck top 20 mm square }
  crusher cone: cones.high_speed(head: 1300 mm) { css 25 mm; duty secondary }

  rock -> sizing
  sizing.top.over -> cone -> product coarse
  sizing.under    -> product fine

  require fine.rate >= 80 t/h
}
"""


def merged(base: str, ours: str, theirs: str) -> Merged:
    found = merge(base, ours, theirs, Labels())
    assert found is not None
    return found


def stated(text: str) -> str:
    found = listing(Source("a.hog", text))
    assert found is not None, text
    return found


# -- edits that hypothesis chooses --------------------------------------------------------------

FACTS = (
    "rate     200 t/h",
    "css 25 mm",
    "work_index    15 kWh/t",
    "solid_density 2.65 t/m3",
    "head: 1300 mm",
    "width: 1.8 m",
    "deck top 20 mm",
    "require fine.rate >= 80 t/h",
    "passing { 125 mm: 100 %",
)
ADDED = (
    ("  feed rock {", '    title "Face {}"'),
    ("  rock -> sizing", '  product coarse {{ title "Coarse {}" }}'),
    ("  require fine.rate", "  require coarse.rate >= {} t/h"),
    ('plant "Hill" {', "  operation {{ hours_per_year {} }}"),
    ("use std.cones", "use std.jaws as jaws{}"),
    ("# The whole", "let more_{0} = {0} mm\n"),
    (
        "  # Scalping",
        "  crusher extra_{0}: cones.high_speed(head: 900 mm) {{\n    css {0} mm\n  }}",
    ),
)
REMOVED = (
    "  require fine.rate >= 80 t/h\n",
    "; duty secondary",
    "  bulk_density  1.55 t/m3\n",
    "    rate     200 t/h  # dry\n",
    "  crusher cone: cones.high_speed(head: 1300 mm) { css 25 mm; duty secondary }\n",
    "  sizing.under    -> product fine\n",
)


def _changed(text: str, place: int, number: int) -> str:
    """One fact with another number."""
    old = FACTS[place]
    digits = [word for word in old.replace("(", " ").split() if word[0].isdigit()]
    return text.replace(old, old.replace(digits[0], f"{number}", 1))


EDIT = st.one_of(
    st.tuples(st.just("change"), st.integers(0, len(FACTS) - 1), st.integers(26, 99)),
    st.tuples(st.just("add"), st.integers(0, len(ADDED) - 1), st.integers(1, 9)),
    st.tuples(st.just("remove"), st.integers(0, len(REMOVED) - 1), st.just(0)),
    st.tuples(st.just("through"), st.just(0), st.integers(1, 9)),
)


def edit(text: str, choices: list[tuple[str, int, int]]) -> str:
    for kind, place, number in choices:
        if kind == "change":
            text = _changed(text, place, number)
        elif kind == "remove":
            text = text.replace(REMOVED[place], "\n" if REMOVED[place].endswith("\n") else "")
        elif kind == "add":
            anchor, line = ADDED[place]
            written = line.format(number)
            if written.split("{")[0] not in text:
                text = text.replace(
                    anchor,
                    f"{written}\n{anchor}"
                    if place > 1 and place != 3
                    else f"{anchor}\n{written}"
                    if place != 1
                    else f"{written}\n{anchor}",
                    1,
                )
        else:  # a machine comes into a chain
            text = text.replace(
                "sizing.top.over -> cone", f"sizing.top.over -> bin_{number} -> cone"
            )
    return text


EDITS = st.lists(EDIT, max_size=6, unique_by=lambda one: one[:2])


@pytest.mark.slow
@given(edits=EDITS)
@settings(max_examples=50, deadline=None)
def test_what_one_side_changed_alone_is_taken_whole(edits: list[tuple[str, int, int]]) -> None:
    made = edit(PLANT, edits)
    for ours, theirs in ((made, PLANT), (PLANT, made)):
        found = merged(PLANT, ours, theirs)
        assert found.conflicts == ()
        assert stated(found.text) == stated(made)


@pytest.mark.slow
@given(edits=EDITS)
@settings(max_examples=30, deadline=None)
def test_what_both_changed_the_same_way_is_no_conflict(edits: list[tuple[str, int, int]]) -> None:
    made = edit(PLANT, edits)
    found = merged(PLANT, made, made)
    assert found == Merged(made, ())


@pytest.mark.slow
@given(first=EDITS, second=EDITS)
@settings(max_examples=50, deadline=None)
def test_facts_and_conflicts_are_the_same_whichever_side_is_ours(
    first: list[tuple[str, int, int]], second: list[tuple[str, int, int]]
) -> None:
    ours, theirs = edit(PLANT, first), edit(PLANT, second)
    one, other = merged(PLANT, ours, theirs), merged(PLANT, theirs, ours)
    assert len(one.conflicts) == len(other.conflicts)
    if not one.conflicts:
        assert stated(one.text) == stated(other.text)
    assert one.text.count("<<<<<<< ours") >= len(one.conflicts) > 0 or not one.conflicts


@pytest.mark.slow
@given(first=EDITS, second=EDITS)
@settings(max_examples=50, deadline=None)
def test_independent_edits_both_survive(
    first: list[tuple[str, int, int]], second: list[tuple[str, int, int]]
) -> None:
    first = [one for one in first if one[0] != "remove"]
    taken = {one[:2] for one in first}
    apart = [one for one in second if one[:2] not in taken and one[0] != "remove"]
    found = merged(PLANT, edit(PLANT, first), edit(PLANT, apart))
    assert found.conflicts == ()
    assert stated(found.text) == stated(edit(edit(PLANT, first), apart))


@pytest.mark.slow
@given(data=st.data())
@settings(max_examples=40, deadline=None)
def test_order_is_no_conflict(data: st.DataObject) -> None:
    """One side puts the statements of the plant in another order, the other changes some."""
    head, _, rest = PLANT.partition("  sieves sieves.quarry\n")
    blocks = rest.rpartition("}\n")[0].replace("\n\n", "\n").split("\n  ")
    parts = ["  " + part.strip("\n") + "\n" for part in blocks if not part.startswith("  ")]
    lines = [p for p in parts if p.strip() and not p.strip().startswith("#")]
    single = [p for p in lines if p.count("{") == p.count("}")]
    shuffled = data.draw(st.permutations(single))
    base = head + "".join(single) + "}\n"
    ours = head + "".join(shuffled) + "}\n"
    theirs = base.replace("css 25 mm", "css 30 mm").replace(
        "  require fine", "  require coarse.rate >= 5 t/h\n  require fine"
    )
    found = merged(base, ours, theirs)
    assert found.conflicts == ()
    assert stated(found.text) == stated(theirs)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["quarry", "gravel", "sand", "cones"])
def test_a_change_in_any_line_of_the_examples_comes_over(name: str) -> None:
    """Every statement of a real file taken out by them, where that still reads."""
    text = (EXAMPLES / f"{name}.hog").read_text(encoding="utf-8")
    lines = text.splitlines(keepends=True)
    tried = 0
    for number in range(0, len(lines), 7):
        theirs = "".join(lines[:number] + lines[number + 1 :])
        if listing(Source("a.hog", theirs)) is None:
            continue
        found = merge(text, text, theirs, Labels())
        assert found is not None, lines[number]
        assert (stated(found.text), found.conflicts) == (stated(theirs), ()), lines[number]
        tried += 1
    assert tried > 5


# -- what a user reads -------------------------------------------------------------------------


def test_a_conflict_shows_the_two_facts_and_nothing_else() -> None:
    found = merged(
        PLANT,
        PLANT.replace("200 t/h", "220 t/h").replace("20 mm square", "22 mm square"),
        PLANT.replace("200 t/h", "240 t/h").replace("work_index    15", "work_index    16"),
    )
    assert found.conflicts == ("rate of feed rock: 220 t/h on our side, 240 t/h on theirs",)
    expected = PLANT.replace("20 mm square", "22 mm square").replace("index    15", "index    16")
    assert found.text == expected.replace(
        "    rate     200 t/h  # dry\n",
        "<<<<<<< ours\n    rate     220 t/h  # dry\n=======\n    rate     240 t/h  # dry\n"
        ">>>>>>> theirs\n",
    )


def test_a_conflict_within_a_line_of_several_facts_breaks_that_line_only() -> None:
    found = merged(PLANT, PLANT.replace("css 25", "css 24"), PLANT.replace("css 25", "css 28"))
    assert (
        "(head: 1300 mm) {\n<<<<<<< ours\n    css 24 mm\n=======\n    css 28 mm\n>>>>>>> theirs\n"
        "  duty secondary }\n"
    ) in found.text


def test_arguments_of_one_machine_are_facts_of_their_own() -> None:
    ours = PLANT.replace("width: 1.8 m", "width: 2.1 m")
    theirs = PLANT.replace("length: 4.8 m", "length: 6 m").replace("20 mm sq", "22 mm sq")
    found = merged(PLANT, ours, theirs)
    assert found.conflicts == ()
    expected = "screens.inclined(width: 2.1 m, length: 6 m) { deck top 22 mm square }\n"
    assert expected in found.text


def test_a_conflict_in_the_head_of_a_block_leaves_the_block_whole() -> None:
    ours = PLANT.replace("head: 1300", "head: 1100").replace("css 25", "css 20")
    theirs = PLANT.replace("head: 1300", "head: 900")
    found = merged(PLANT, ours, theirs)
    assert len(found.conflicts) == 1
    assert (
        "<<<<<<< ours\n  crusher cone: cones.high_speed(head: 1100 mm) {\n"
        "=======\n  crusher cone: cones.high_speed(head: 900 mm) {\n>>>>>>> theirs\n"
        "  css 20 mm; duty secondary }\n"
    ) in found.text


def test_a_machine_that_one_side_took_out_and_the_other_changed_is_a_conflict() -> None:
    gone = PLANT.replace(REMOVED[4], "")
    changed = PLANT.replace("css 25 mm", "css 30 mm")
    for ours, theirs in ((gone, changed), (changed, gone)):
        found = merged(PLANT, ours, theirs)
        assert len(found.conflicts) == 1 and "removed" in found.conflicts[0]
        assert found.text.count("css 30 mm") == 1 and found.text.count("<<<<<<<") == 1


def test_a_requirement_changed_by_both_is_a_conflict_not_two_requirements() -> None:
    found = merged(PLANT, PLANT.replace(">= 80", ">= 85"), PLANT.replace(">= 80", ">= 90"))
    assert "  require fine.rate >= 85 t/h\n=======\n  require fine.rate >= 90 t/h\n" in found.text


def test_their_new_statements_come_with_their_comments_and_ours_keep_theirs() -> None:
    theirs = PLANT.replace(
        "  rock -> sizing\n",
        '  # Agreed with the client.\n  product coarse { title "Ballast" }  # by rail\n'
        "  rock -> sizing\n",
    )
    ours = PLANT.replace("  # Scalping comes first.", "  # Scalping comes first, as ever.")
    found = merged(PLANT, ours, theirs)
    for words in ("as ever", "# Agreed with the client.\n", "} # by rail", "# dry"):
        assert words.replace("} #", "}  #") in found.text


def test_a_machine_put_into_a_chain_by_them_and_another_route_by_us() -> None:
    theirs = PLANT.replace("-> cone ->", "-> surge -> cone ->")
    ours = PLANT.replace("cone -> product coarse", "cone -> sizing")
    found = merged(PLANT, ours, theirs)
    assert found.conflicts == ()
    assert "sizing.top.over -> surge -> cone -> sizing\n" in found.text


def test_a_block_of_a_product_that_a_route_declares_as_well() -> None:
    """Without its block the product still is there: the route declares it."""
    with_block = PLANT.replace("  rock ->", '  product fine { title "Sand" }\n  rock ->')
    assert '"Sand"' in merged(PLANT, PLANT.replace("200", "210"), with_block).text
    found = merged(with_block, PLANT, with_block.replace("200", "210"))
    assert found.conflicts == () and '"Sand"' not in found.text
    found = merged(with_block, PLANT, with_block.replace("Sand", "Fine sand"))
    assert len(found.conflicts) == 1
    assert '=======\n  product fine { title "Fine sand" }\n>>>>>>>' in found.text


def test_a_merge_of_lines_is_taken_where_it_states_the_same() -> None:
    theirs = PLANT.replace("css 25", "css 30") + "# A closing word.\n"
    by_lines = theirs.replace("200 t/h", "210 t/h")
    found = merge(PLANT, PLANT.replace("200 t/h", "210 t/h"), theirs, Labels(), by_lines)
    assert found == Merged(by_lines, ())
    wrong = by_lines.replace("css 30", "css 25")
    found = merge(PLANT, PLANT.replace("200 t/h", "210 t/h"), theirs, Labels(), wrong)
    assert found is not None and "css 30" in found.text


def test_a_file_that_can_not_be_read_is_not_merged() -> None:
    assert merge(PLANT, PLANT, PLANT.replace("{", "", 1), Labels()) is None
