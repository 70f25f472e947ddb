"""Templates: instances, parameters, defaults, choices handed on, ports that dissolve."""

from __future__ import annotations

import pytest

from hoggin.check.checker import check_file
from hoggin.schema.plant import Machine, Plant
from tests.check.reading import FIXTURES, codes, plant_of, small_plant

_CLOSING = """
template closing(setting: mm = 14 mm, service: secondary | tertiary = tertiary) {
  in rock
  out base
  crusher cone: cones.medium_speed(head: 1100 mm) { duty service; css setting }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) { deck top 1.5 * setting }
  rock -> sizing
  sizing.over -> cone -> sizing
  sizing.under -> base
}
"""


def _machine(plant: Plant, tag: str) -> Machine:
    return next(machine for machine in plant.machines if machine.tag == tag)


def _setting(plant: Plant, tag: str, name: str) -> str:
    return next(s.text for s in _machine(plant, tag).settings if s.name == name)


def test_nested_instances_get_dotted_tags_and_streams_without_ports() -> None:
    plant = check_file(FIXTURES / "good" / "two_lines.hog").plant
    assert plant is not None
    assert {stream.name for stream in plant.streams} == {
        "pit -> heap",
        "dug -> surge",
        "heap -> surge",
        "surge -> fine_side.halves",
        "fine_side.halves.left -> fine_side.a.sizing",
        "fine_side.a.sizing.top.over -> fine_side.a.cone",
        "fine_side.a.cone -> fine_side.a.sizing",
        "fine_side.a.sizing.under -> fine_side.joined",
        "fine_side.halves.right -> fine_side.b.sizing",
        "fine_side.b.sizing.top.over -> fine_side.b.cone",
        "fine_side.b.cone -> fine_side.b.sizing",
        "fine_side.b.sizing.under -> fine_side.joined",
        "fine_side.joined -> base",
    }


def test_parameters_take_their_value_or_their_default_in_each_instance() -> None:
    plant = plant_of(
        small_plant(
            "section a: closing()\n section b: closing(setting: 20 mm)\n"
            " rock -> a -> b -> product base",
            _CLOSING,
        )
    )
    assert _setting(plant, "a.cone", "css") == "14 mm"
    assert _setting(plant, "b.cone", "css") == "20 mm"
    assert _machine(plant, "a.sizing").decks[0].aperture_mm == 21
    assert _machine(plant, "b.sizing").decks[0].aperture_mm == 30


def test_a_choice_is_handed_on_through_two_templates() -> None:
    outer = """
    template outer(service: secondary | tertiary) {
      in rock; out base
      section inner: closing(service: service)
      rock -> inner -> base
    }
    """
    plant = plant_of(
        small_plant(
            "section a: outer(service: secondary)\n rock -> a -> product base", _CLOSING + outer
        )
    )
    assert _setting(plant, "a.inner.cone", "duty") == "secondary"


def test_an_instance_is_the_same_as_its_lines_written_out() -> None:
    written_out = """
      crusher a_cone: cones.medium_speed(head: 1100 mm) { duty tertiary; css 18 mm }
      screen a_sizing: screens.inclined(width: 2.4 m, length: 6 m) { deck top 27 mm }
      rock -> a_sizing
      a_sizing.over -> a_cone -> a_sizing
      a_sizing.under -> product base
    """
    flat = plant_of(small_plant(written_out))
    made = plant_of(
        small_plant("section a: closing(setting: 18 mm)\n rock -> a -> product base", _CLOSING)
    )
    assert [s.name for s in flat.streams] == [s.name.replace("a.", "a_") for s in made.streams]
    for ours, theirs in zip(flat.machines, made.machines, strict=True):
        assert ours.tag == theirs.tag.replace("a.", "a_")
        place = {"place", "tag"}
        assert ours.model_dump(exclude={*place, "decks"}) == theirs.model_dump(
            exclude={*place, "decks"}
        )
        assert [d.model_dump(exclude=place) for d in ours.decks] == [
            d.model_dump(exclude=place) for d in theirs.decks
        ]


def test_lets_of_a_template_differ_from_instance_to_instance() -> None:
    template = """
    template store(size: t) {
      in i; out o
      let half = size / 2
      stockpile heap { live half }
      i -> heap -> o
    }
    """
    plant = plant_of(
        small_plant(
            "section a: store(size: 100 t)\n section b: store(size: 300 t)\n"
            " rock -> a -> b -> product base",
            template,
        )
    )
    assert _machine(plant, "a.heap").facts == {"live_t": 50}
    assert _machine(plant, "b.heap").facts == {"live_t": 150}


def test_a_port_straight_through_leaves_no_trace() -> None:
    plant = plant_of(
        small_plant(
            "section a: straight()\n section b: straight()\n rock -> a -> b -> product base",
            "template straight() { in i; out o; i -> o }",
        )
    )
    assert [stream.name for stream in plant.streams] == ["rock -> base"]
    assert plant.machines == ()


def test_two_hundred_instances() -> None:
    count = 200
    sections = "\n".join(f"section s{i}: store()" for i in range(count))
    route = " -> ".join(f"s{i}" for i in range(count))
    plant = plant_of(
        small_plant(
            f"{sections}\n rock -> {route} -> product base",
            "template store() { in i; out o; stockpile heap; i -> heap -> o }",
        )
    )
    assert len(plant.machines) == count
    assert len(plant.streams) == count + 1


def _doubling(innermost: str, ports: str, route: str) -> str:
    """Thirty templates, each with two instances of the one before: 2^30 of the innermost."""
    towers = [f"template t0() {{ {ports} {innermost} }}"]
    towers += [
        f"template t{n}() {{ {ports} section a: t{n - 1}(); section b: t{n - 1}(); {route} }}"
        for n in range(1, 31)
    ]
    return "\n".join(towers)


def _refused(above: str, body: str) -> bool:
    """As too large; 2^30 instances worked out one by one would not end."""
    found = codes(small_plant(body, above))
    assert "E0201" not in found  # the instances that were cut off are not called unknown
    return "E0703" in found


@pytest.mark.slow
def test_a_plant_that_doubles_thirty_times_is_refused() -> None:
    above = _doubling(
        "crusher c: cones.high_speed(head: 1300 mm) { duty secondary; css 32 mm }; i -> c -> o",
        "in i; out o;",
        "i -> a -> b -> o",
    )
    assert _refused(above, "section a: t30()\n rock -> a -> product base")


@pytest.mark.slow
def test_even_where_the_templates_are_empty() -> None:
    above = _doubling("", "", "")
    assert _refused(above, "section a: t30()\n rock -> product base")


def test_a_template_in_itself_is_named_with_its_circle() -> None:
    text = small_plant(
        "section a: one()\n rock -> a -> product base",
        "template one() { in i; out o; section s: two(); i -> s -> o }\n"
        "template two() { in i; out o; section s: three(); i -> s -> o }\n"
        "template three() { in i; out o; section s: one(); i -> s -> o }\n",
    )
    assert codes(text) == ["E0701"]
