"""Hybrids against the checker itself: pieces of text replaced by hand, the file checked as a user
would have it checked."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.revise.why.sides import EDITS, QUARRY, attributed, changed, side, sides

from hoggin.revise.why.assembly import Assembly
from hoggin.revise.why.attribute import _hybrids
from hoggin.revise.why.elements import signatures
from hoggin.revise.why.hybrids import Hybrids
from hoggin.revise.why.upstream import upstream
from hoggin.schema.plant import Plant

pytestmark = pytest.mark.slow

RESULT = "stone.rate + chips.rate"
STRUCTURAL = (
    (
        "surge            -> tunnel_feeder",
        "bin spare { live 90 t }\n  surge -> spare -> tunnel_feeder",
    ),
    ("sorting.bottom.over -> order_book", "sorting.bottom.over -> oversize"),
)


@cache
def quarry_hybrids() -> Hybrids:
    with TemporaryDirectory() as folder:
        before, after = sides(Path(folder), QUARRY, changed(QUARRY, EDITS))
        return _hybrids(before, after, RESULT, {})[0]


def checked_by_hand(choice: int) -> Plant:
    """The main example with some of the edits made to its text, and the result asked for."""
    asked = QUARRY.replace("  require chips meets", f"  require {RESULT} >= {RESULT}\n  #", 1)
    asked = "\n".join(line for line in asked.split("\n") if "require" not in line or RESULT in line)
    made = [edit for i, edit in enumerate(EDITS) if choice >> i & 1]
    with TemporaryDirectory() as folder:
        plant = side(Path(folder), changed(asked, made)).checked.plant
    assert plant is not None
    kept = [r for r in plant.requirements if r.text.startswith(f"{RESULT} >= {RESULT}")]
    return upstream(plant.model_copy(update={"requirements": tuple(kept)}))


def compared(plant: Plant) -> dict[tuple[str, str], str]:
    found = signatures(plant)
    found["asked", ""] = found["asked", ""].replace(f"{RESULT} >= {RESULT}", RESULT)
    return {key: words for key, words in found.items() if key[0] != "asked"}


@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.integers(0, (1 << len(EDITS)) - 1))
def test_a_hybrid_is_the_plant_whose_text_has_those_edits(choice: int) -> None:
    found = quarry_hybrids().plant(choice)
    assert isinstance(found, Plant)
    assert compared(found) == compared(checked_by_hand(choice))


@settings(max_examples=5, deadline=None)
@given(st.lists(st.integers(0, (1 << len(EDITS)) - 1), min_size=1, max_size=20))
def test_plants_put_together_from_elements_are_those_checked_as_a_whole(choices: list[int]) -> None:
    hybrids = quarry_hybrids()
    assembly = Assembly(hybrids, 0, [1 << i for i in range(len(EDITS))])
    for choice, plant in assembly.plants(choices).items():
        checked = hybrids.whole(choice)
        assert isinstance(checked, Plant)
        assert signatures(plant) == signatures(upstream(checked))


def test_few_hybrids_are_checked_for_all_choices_of_edits() -> None:
    hybrids = quarry_hybrids()
    hybrids.checked.clear()
    players = [1 << i for i in range(len(EDITS))]
    found = Assembly(hybrids, 0, players).plants(range(1 << len(EDITS)))
    assert len(found) == 1 << len(EDITS)
    assert len(hybrids.checked) < (1 << len(EDITS)) / 4


def test_all_edits_of_one_machine_are_checked_in_every_choice(tmp_path: Path) -> None:
    edits = [
        ("head: 1500 mm", "head: 1400 mm"),
        ("chamber medium", "chamber fine"),
        ("let tertiary_setting = 15 mm", "let tertiary_setting = 13 mm"),
        ("speed   1050 rpm", "speed 1000 rpm"),
    ]
    before, after = sides(tmp_path, QUARRY, changed(QUARRY, edits))
    hybrids, _ = _hybrids(before, after, RESULT, {})
    players = [1 << i for i in range(len(edits))]
    for choice, plant in Assembly(hybrids, 0, players).plants(range(16)).items():
        checked = hybrids.plant(choice)
        assert isinstance(checked, Plant)
        assert signatures(plant) == signatures(checked)


def test_edits_that_work_only_through_one_another_are_found_out(tmp_path: Path) -> None:
    # None of the three changes the setting on BEFORE, and AFTER lacks none of them alone: the
    # middle one of three numbers moves when two of them do.
    middle = "max(min(a, b), min(max(a, b), c))"
    before = changed(QUARRY, [("css     40 mm", f"css {middle}")])
    lets = "let a = 40 mm\nlet b = 40 mm\nlet c = 40 mm\n"
    before = before.replace('plant "', lets + 'plant "', 1)
    after = before.replace("= 40 mm", "= 36 mm")
    found = attributed(tmp_path, before, after, "secondary.load")
    alone = attributed(
        tmp_path, QUARRY, changed(QUARRY, [("css     40 mm", "css 36 mm")]), "secondary.load"
    )
    assert found.change == pytest.approx(alone.change)
    assert [edit.alone for edit in found.edits] == pytest.approx([0, 0, 0])
    # Alike, so each has a third (symmetry).
    assert [edit.share for edit in found.edits] == pytest.approx([found.change / 3] * 3)


def test_random_hybrids_of_structural_edits_are_put_together_right(tmp_path: Path) -> None:
    drop = [
        ("  order_book.drain    -> drain\n", ""),
        ("  order_book.onward   -> oversize\n", ""),
        ("  splitter order_book { out drain 15 %; out onward rest }\n", ""),
        ('  product drain { title "25/50 drain stone" }\n', ""),
    ]
    before, after = sides(tmp_path, QUARRY, changed(QUARRY, (*EDITS[:6], *STRUCTURAL, *drop)))
    hybrids, _ = _hybrids(before, after, "sand.rate", {})
    count = len(hybrids.differences.edits)
    assert count == len(EDITS[:6]) + 2
    chance = random.Random(1)
    choices = [chance.randrange(1 << count) for _ in range(12)]
    for choice, plant in (
        Assembly(hybrids, 0, [1 << i for i in range(count)]).plants(choices).items()
    ):
        checked = hybrids.plant(choice)
        assert isinstance(checked, Plant)
        assert signatures(plant) == signatures(checked)
