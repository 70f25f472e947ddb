"""A splitter's outlets and a drawn store's, as the checker reads them."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.schema.plant import Machine, Plant
from hoggin.world import World
from tests.check.reading import check_text, codes, plant_of, small_plant


def divided(block: str, outlets: tuple[str, ...], above: str = "") -> str:
    routes = "\n".join(f"  own.{outlet} -> product {outlet}_pile" for outlet in outlets)
    return small_plant(f"  splitter own {{ {block} }}\n  rock -> own\n{routes}", above)


def machine(plant: Plant) -> Machine:
    return plant.machines[0]


def test_the_order_of_outlets_makes_no_difference() -> None:
    texts = ("out a 90 t/h; out b rest; out c 5 t/h", "out c 5 t/h; out a 90 t/h; out b rest")
    first, second = (machine(plant_of(divided(text, ("a", "b", "c")))) for text in texts)
    place = first.place
    assert first == second.model_copy(update={"place": place})
    assert first.asked_t_h == {"a": 90.0, "c": 5.0}
    assert first.outlets == ("a", "b", "c") and not first.shares


def test_a_tonnage_is_a_let_an_expression_or_free() -> None:
    above = "let order = 60 t/h\n"
    text = divided(
        "out a order * 1.5; out b free(20 t/h to 40 t/h); out c rest", ("a", "b", "c"), above
    )
    checked = check_text(text)
    assert checked.plant is not None
    assert machine(checked.plant).asked_t_h == pytest.approx({"a": 90.0, "b": 30.0})
    assert list(checked.freedom.variables) == ["own.b"]
    assert list(checked.freedom.formulas) == [("machines", "own", "asked_t_h", "b")]


def test_a_free_tonnage_is_held_at_what_is_possible() -> None:
    assert "E0306" in codes(divided("out a free(-5 t/h to 40 t/h); out b rest", ("a", "b")))


def test_a_draw_names_both_outlets() -> None:
    plant = plant_of(
        small_plant(
            "  stockpile heap { live 900 t; draw 100 stph }\n  rock -> heap\n"
            "  heap.draw -> product a\n  heap.overflow -> product b"
        )
    )
    assert machine(plant).outlets == ("draw", "overflow")
    assert machine(plant).asked_t_h == pytest.approx({"draw": 90.718474})  # of 2000 lb
    assert set(machine(plant).facts) == {"live_t"}


def test_a_faulty_draw_does_not_blame_the_routes() -> None:
    text = small_plant(
        "  bin heap { draw 3 mm }\n  rock -> heap\n"
        "  heap.draw -> product a\n  heap.overflow -> product b"
    )
    assert [code for code in codes(text) if code.startswith("E")] == ["E0302"]


def test_a_template_passes_a_position_on() -> None:
    template = (
        "template gated(way: yard | mill = mill) {\n  in rock\n  out yard\n  out mill\n"
        "  splitter gate { out yard; out mill; position way }\n  rock -> gate\n"
        "  gate.yard -> yard\n  gate.mill -> mill\n}\n"
    )
    body = (
        "  section one: gated(way: yard)\n  section two: gated()\n  rock -> one\n"
        "  one.yard -> two\n  one.mill -> product a\n  two.yard -> a\n  two.mill -> product b"
    )
    plant = plant_of(small_plant(body, template))
    settings = {m.tag: m.settings[0].text for m in plant.machines}
    assert settings == {"one.gate": "yard", "two.gate": "mill"}
    shares = {m.tag: m.shares for m in plant.machines}
    assert shares["one.gate"] == {"mill": 0.0, "yard": 1.0}


def test_a_position_may_be_left_open() -> None:
    text = divided("out a; out b; position any(b, a)", ("a", "b"))
    checked = check_text(text)
    assert checked.plant is not None
    assert machine(checked.plant).shares == {"a": 0.0, "b": 1.0}
    (found,) = checked.freedom.alternatives.values()
    assert found.options == ("b", "a")


def test_the_word_of_a_position_stands_for_the_outlet() -> None:
    source = Source("plant.hog", divided("out a; out b; position b", ("a", "b")))
    checked = check(World(Path("/nowhere/plant.hog")), source, naming=True)
    uses = [(use.text, of) for use, of in checked.names.uses.items() if use.text == "b"]
    declared = {of.span.start for _, of in uses}
    assert len(uses) == 2 and len(declared) == 1  # in `position`, and in the route
