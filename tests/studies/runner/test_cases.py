"""Many cases at once against each case on its own: lowered, balanced and rated by itself."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from tests.check.reading import check_text, codes, small_plant
from tests.studies.runner.one_case import one_case

from hoggin.balance import lower, solve
from hoggin.check.checker import Checked, check
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.rating.rate import document
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.schema.plant import Limit, Reading
from hoggin.schema.tracing import Freedom, Variable
from hoggin.studies.runner.cases import Cases, cases
from hoggin.studies.runner.solving import solve_cases
from hoggin.world import World

_QUARRY = Path(__file__).parents[3] / "examples" / "quarry.hog"
_FREED = (
    ("css     40 mm", "css free(34 mm to 50 mm, 40 mm)"),
    ("tertiary_setting = 15 mm", "tertiary_setting = free(12 mm to 20 mm)"),
    ("rate 450 t/h", "rate normal(450 t/h, 5 %)"),
    ("deck bottom 25 mm square", "deck bottom any(25 mm, 28 mm, 31.5 mm) square; count any(1, 2)"),
    ("speed   1050 rpm", "speed uniform(1000 rpm to 1100 rpm); count any(1, 2, 3)"),
    ("out drain 15 %", "out drain uniform(10 % to 20 %)"),
    (" 20 mm: 11 %", " 20 mm: triangle(9 % to 12 %, 11 %)"),
    ("work_index     15.5 kWh/t", "work_index normal(15.5 kWh/t, 1 kWh/t)"),
    ("bulk_density   1.60 t/m3", "bulk_density uniform(1.5 t/m3 to 1.7 t/m3)"),
)
_READ = (
    *((tag, q) for tag in ("chips", "sand") for q in ("rate", "share", "p80", "p50")),
    *(("chips", q) for q in ("fineness_modulus", "moisture")),
    *(
        ("secondary", q)
        for q in ("rate", "load", "power", "power_use", "reduction_ratio", "f80", "p80")
    ),
    *(("tertiary", q) for q in ("recirculating_load", "specific_energy", "liner_life", "load")),
    *(("sorting.bottom", q) for q in ("rate", "area_use", "bed_depth", "efficiency", "cut_size")),
    *(("tertiary", q) for q in ("count", "capacity", "power", "installed_power", "motor")),
    *(("sorting.bottom", q) for q in ("area", "area_needed")),
    ("hopper_feeder", "load"),
    ("surge", "surge_time"),
    *(("", q) for q in ("rate", "power", "energy")),
)


QUICK_READ = tuple(r for r in _READ if r[1] not in ("moisture", "liner_life", "surge_time"))


def drawn(variable: Variable, count: int, random: np.random.Generator) -> np.ndarray:
    first, second = variable.numbers[0], variable.numbers[-1]
    match variable.kind:
        case "choice":
            return random.choice(variable.numbers, count)
        case "normal":
            return random.normal(first, second, count)
        case _:
            return random.uniform(first, second, count)


def freed_quarry() -> Checked:
    text = _QUARRY.read_text()
    for old, new in _FREED:
        assert old in text, old
        text = text.replace(old, new)
    checked = check(World(_QUARRY), Source("examples/quarry.hog", text))
    assert checked.plant is not None, [d.message for d in checked.diagnostics]
    return checked


def made(checked: Checked, values: dict[str, np.ndarray]) -> Cases:
    assert checked.plant is not None
    return cases(checked.plant, checked.freedom, values)


def on_its_own(found: Cases, case: int) -> Rated:
    """One case lowered on the study's grid, and balanced alone."""
    plant = one_case(found, case)
    return Rated(plant, solve(lower(plant, found.circuit.edges_mm)))


@pytest.mark.slow
def test_every_reading_of_every_case_is_that_of_the_case_alone() -> None:
    checked = freed_quarry()
    random = np.random.default_rng(20261125)
    count = 12
    values = {name: drawn(v, count, random) for name, v in checked.freedom.variables.items()}
    found = made(checked, values)
    solved = solve_cases(found)
    assert solved.settled.all()
    readings = [Reading(subject=tag, quantity=quantity) for tag, quantity in _READ]
    readings += [Reading(subject="chips", quantity=q, size_mm=5.6) for q in ("passing", "retained")]
    together = [solved.read(reading) for reading in readings]
    for case in range(count):
        own = Readings(on_its_own(found, case))
        alone = [own.value(reading)[0] for reading in readings]
        # Cut sizes are settled to some 1e-10; a P80 and all that follows from it to a little less.
        assert [value[case] for value in together] == pytest.approx(alone, rel=1e-6)


def test_a_rock_of_uncertain_toughness_is_broken_as_it_is_in_each_case() -> None:
    crusher = (
        "  crusher cone: cones.high_speed(head: 1300 mm) { duty secondary; chamber coarse; "
        "css 30 mm; model breakage: matrix_t10 }\n  rock -> cone -> product all"
    )
    tough = "work_index 15 kWh/t; t10_limit 50 %; energy_scale uniform(0.8 kWh/t to 2.5 kWh/t)"
    text = re.sub(r"work_index +[0-9.]+ kWh/t", tough, small_plant(crusher))
    assert tough in text
    checked = check_text(text)
    ((name, variable),) = checked.freedom.variables.items()
    found = made(checked, {name: np.linspace(variable.numbers[0], variable.numbers[1], 3)})
    together = solve_cases(found)
    for reading in (
        Reading(subject="all", quantity="p80"),
        Reading(subject="cone", quantity="power"),
    ):
        values = together.read(reading)
        alone = [Readings(on_its_own(found, case)).value(reading)[0] for case in range(3)]
        assert values == pytest.approx(alone, rel=1e-9)
        assert values[0] < values[1] < values[2]  # tougher rock is coarser and draws more


@pytest.mark.slow
def test_margins_of_requirements_are_those_of_the_case_alone() -> None:
    checked = freed_quarry()
    random = np.random.default_rng(7)
    values = {name: drawn(v, 6, random) for name, v in checked.freedom.variables.items()}
    found = made(checked, values)
    solved = solve_cases(found)
    assert checked.plant is not None
    margins = [solved.margin(r) for r in checked.plant.requirements]
    for case in range(6):
        results = document(on_its_own(found, case), "alone.hog")
        alone = [requirement.margin for requirement in results.requirements]
        assert [margin[case] for margin in margins] == pytest.approx(alone, rel=1e-6, abs=1e-6)


def test_the_plant_at_its_starts_is_the_plant_that_was_checked() -> None:
    checked = freed_quarry()
    found = made(checked, {})
    assert checked.plant is not None
    again = one_case(found, 0).model_dump()
    before = checked.plant.model_dump()
    for machine, old in zip(again["machines"], before["machines"], strict=True):
        for setting, was in zip(machine["settings"], old["settings"], strict=True):
            if setting["value"] is not None:
                assert setting["value"] == pytest.approx(was["value"], rel=1e-11)
            setting.update(was)
    assert _flat(again) == pytest.approx(_flat(before), rel=1e-11)


@pytest.mark.slow
def test_a_plant_written_with_other_numbers_is_the_case_with_them() -> None:
    """The formulas against the checker itself, which reads the values as text."""
    checked = freed_quarry()
    text = _QUARRY.read_text()
    written = text.replace("css     40 mm", "css 37 mm").replace(
        "setting = 15 mm", "setting = 13 mm"
    )
    written = written.replace("1050 rpm", "1080 rpm").replace("drain 15 %", "drain 12 %")
    plain = check(World(_QUARRY), Source("examples/quarry.hog", written)).plant
    values = {
        "secondary.css": 0.037,
        "tertiary_setting": 0.013,
        "tertiary.speed": 1080 / 60,
        "order_book.drain": 0.12,
        "granite.work_index": 15.5 * 3600,
    }
    found = one_case(made(checked, {n: np.array([value]) for n, value in values.items()}), 0)
    assert plain is not None
    for machine, other in zip(found.machines, plain.machines, strict=True):
        assert dict(machine.facts) == pytest.approx(dict(other.facts))
        assert dict(machine.shares) == pytest.approx(dict(other.shares))
        for role, use in other.models.items():
            assert dict(machine.models[role].coefficients) == pytest.approx(dict(use.coefficients))


def test_a_case_that_can_not_settle_spoils_no_other() -> None:
    checked = check_text(
        small_plant(
            "  crusher cone: cones.high_speed(head: 1300 mm)"
            " { duty secondary; chamber coarse; css free(10 mm to 50 mm, 12 mm) }\n"
            "  screen top: screens.inclined(width: 2.1 m, length: 6 m) { deck top 12 mm }\n"
            "  rock -> top\n  top.over -> cone -> top\n  top.under -> product fine\n"
        )
    )
    solved = solve_cases(made(checked, {"cone.css": np.array([0.012, 0.05, 0.011])}))
    assert solved.settled.tolist() == [True, False, True]
    assert "cone" in solved.refused[1]
    rate_t_h = solved.read(Reading(subject="fine", quantity="rate"))
    assert rate_t_h[[0, 2]] == pytest.approx([200.0, 200.0])
    assert np.isnan(rate_t_h[1])


def test_a_shared_let_is_one_number_and_template_instances_have_their_own() -> None:
    shared = check_text(
        small_plant(
            "  splitter s { out a cut; out b rest }\n  splitter t { out c cut; out d rest }\n"
            "  rock -> s\n  s.a -> t\n  s.b -> product b\n  t.c -> product c\n  t.d -> product d",
            "let cut = free(10 % to 40 %)",
        )
    )
    assert list(shared.freedom.variables) == ["cut"]
    solved = solve_cases(made(shared, {"cut": np.array([0.2, 0.3])}))
    # 200 t/h x cut x cut, by hand
    assert solved.read(Reading(subject="c", quantity="rate")) == pytest.approx([8.0, 18.0])
    own = check_text(
        small_plant(
            "  section one: half()\n  section two: half()\n"
            "  rock -> one.rock\n  one.a -> two.rock\n  one.b -> product b\n"
            "  two.a -> product c\n  two.b -> product d",
            "template half() {\n  in rock\n  out a\n  out b\n"
            "  splitter s { out x free(10 % to 40 %); out y rest }\n"
            "  rock -> s\n  s.x -> a\n  s.y -> b\n}",
        )
    )
    assert sorted(own.freedom.variables) == ["one.s.x", "two.s.x"]


def test_both_ends_of_a_range_are_held_against_the_class() -> None:
    crusher = (
        "  crusher cone: cones.high_speed(head: 1300 mm) {{\n"
        "    duty secondary; chamber coarse; css {}\n  }}\n  rock -> cone -> product all"
    )
    assert "E0404" not in codes(small_plant(crusher.format("free(20 mm to 40 mm)")))
    assert "E0404" in codes(small_plant(crusher.format("free(1 mm to 40 mm)")))
    assert "E0404" in codes(small_plant(crusher.format("free(20 mm to 900 mm)")))


def test_words_left_open_are_checked_for_the_one_that_is_picked() -> None:
    text = small_plant(
        "  crusher cone: cones.high_speed(head: 1300 mm)"
        " { duty any(secondary, tertiary); chamber medium; css 20 mm }\n"
        "  rock -> cone -> product all"
    )
    first = check_text(text)
    ((place, alternatives),) = first.freedom.alternatives.items()
    assert alternatives.options == ("secondary", "tertiary")
    second = check(World(Path("/nowhere/plant.hog")), Source("plant.hog", text), picks={place: 1})
    duties = [
        next(s.text for s in c.plant.machines[0].settings if s.name == "duty")
        for c in (first, second)
        if c.plant is not None
    ]
    assert duties == ["secondary", "tertiary"]


def test_what_can_not_be_free_is_said() -> None:
    text = small_plant("rock -> product all").replace(
        "200 mm: 100 %", "uniform(190 mm to 210 mm): 100 %"
    )
    checked = check_text(text)
    with pytest.raises(HogginError, match="not the sieve's size"):
        made(checked, {})
    with pytest.raises(KeyError):
        made(checked, {"nothing": np.array([1.0])})


def test_limits_read_in_their_own_units() -> None:
    checked = check_text(
        small_plant("rock -> product all\n  require all.rate >= 220 stph and all.p80 <= 4 in")
    )
    solved = solve_cases(made(checked, {}))
    assert checked.plant is not None
    limits = [r for r in checked.plant.requirements if isinstance(r, Limit)]
    margins = [float(solved.margin(limit)[0]) for limit in limits]
    # 200 t/h is 220.462 short tons an hour (1 short ton = 0.90718474 t by definition)
    assert margins[1] == pytest.approx(200 / 0.90718474 - 220)
    p80 = solved.read(Reading(subject="all", quantity="p80"))[0]
    assert margins[0] == pytest.approx(4 - p80 / 25.4)


def test_an_empty_freedom_is_one_case() -> None:
    checked = check_text(small_plant("rock -> product all"))
    assert checked.freedom == Freedom()
    assert made(checked, {}).count == 1


def _flat(value: object, at: str = "") -> dict[str, float]:
    if isinstance(value, dict):
        return {k: v for name in value for k, v in _flat(value[name], f"{at}.{name}").items()}
    if isinstance(value, list | tuple):
        return {k: v for i, x in enumerate(value) for k, v in _flat(x, f"{at}.{i}").items()}
    return {at: value} if isinstance(value, float) else {}
