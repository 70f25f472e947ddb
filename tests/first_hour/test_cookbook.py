"""The cookbook's plants balance within their limits and are the circuits they say they are."""

from __future__ import annotations

import networkx
import pytest

from tests import cookbook_page
from tests.cookbook_page import ORDER, PAGE, PICTURES, PLANTS, results

# Which circuits hold a loop, by what each is called: an open circuit has none by definition.
CLOSED = {
    "made_to_order",
    "closed_one_screen",
    "reversed_closed",
    "split_decks",
    "surge_pile",
    "shape_impactor",
    "fines_crushing",
    "pressed_sand",
    "washed_gravel",
    "parallel_lines",
    "blend_to_band",
}


def test_every_plant_of_the_folder_is_in_the_book() -> None:
    assert {path.stem for path in PLANTS.glob("*.hog")} == set(ORDER)
    assert len(ORDER) >= 10


@pytest.mark.slow
def test_page_and_pictures_are_todays() -> None:
    how = "run: python -m tests.cookbook_page"
    assert PAGE.read_text(encoding="utf-8") == cookbook_page.page(), how
    made = cookbook_page.pictures()
    assert {path.name for path in PICTURES.iterdir()} == set(made), how
    for name, content in made.items():
        assert (PICTURES / name).read_bytes() == content, how


@pytest.mark.parametrize("stem", ORDER)
def test_a_plant_keeps_its_limits_and_loses_no_rock(stem: str) -> None:
    """Conservation of mass, by its definition; limits as the classes have them."""
    plant = results(stem)
    assert sum(product.rate_t_h for product in plant.products) == pytest.approx(plant.feed_t_h)
    assert plant.requirements and all(requirement.met for requirement in plant.requirements)
    for machine in plant.machines:
        checks = [*machine.checks, *(check for deck in machine.decks for check in deck.checks)]
        assert not [check.text for check in checks if check.verdict == "over"], machine.tag
        # What a crusher is short of is told as near; no cookbook plant starves its crushers.
        assert not [check.text for check in machine.checks if check.verdict != "ok"], machine.tag


@pytest.mark.parametrize("stem", ORDER)
def test_a_circuit_is_closed_where_it_says_so(stem: str) -> None:
    """Loops found by networkx, a general-purpose library, in the streams of the results."""
    plant = results(stem)
    graph = networkx.DiGraph((stream.source, stream.target) for stream in plant.streams)
    loops = [part for part in networkx.strongly_connected_components(graph) if len(part) > 1]
    crushers = {machine.tag for machine in plant.machines if machine.kind == "crusher"}
    crushing_loops = [loop for loop in loops if loop & crushers]
    lines = 2 if stem == "parallel_lines" else 1
    assert len(crushing_loops) == (lines if stem in CLOSED else 0)


@pytest.mark.parametrize("stem", ORDER)
def test_a_plant_says_what_it_is_for_and_when_not(stem: str) -> None:
    head = (PLANTS / f"{stem}.hog").read_text(encoding="utf-8").partition("\nuse ")[0]
    assert "\n# For: " in head and "\n# Not for: " in head and "nvented" in head


def test_screening_first_takes_less_of_a_cone_than_crushing_first() -> None:
    """The claim of the reversed circuit, from the streams: rock that is fine already is spared."""
    first, reversed_ = results("closed_one_screen"), results("reversed_closed")
    fed = {
        stem: next(m.feed_t_h for m in plant.machines if m.kind == "crusher") / plant.feed_t_h
        for stem, plant in (("first", first), ("reversed", reversed_))
    }
    assert fed["reversed"] < 1.0 < fed["first"]


def test_the_impactor_lowers_the_flakiness_of_its_feed() -> None:
    plant = results("shape_impactor")
    chips = next(product for product in plant.products if product.tag == "coarse_chips")
    assert plant.feeds[0].flakiness == pytest.approx(0.24)
    assert chips.flakiness is not None and chips.flakiness < 0.24
