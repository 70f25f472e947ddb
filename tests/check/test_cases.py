"""Cases of a plant: each is the plant that a file of its own would state, with the same values
written in. What is compared with is that file, made by exchanging text."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.balancing import balanced, rated
from hoggin.check.checker import Checked, check
from hoggin.commands.main import main
from hoggin.diagnostics.diagnostic import Diagnostic, Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError
from hoggin.report.results_json import results_json
from hoggin.schema.plant import Limit, Plant
from hoggin.schema.results import Results
from hoggin.syntax import tree
from hoggin.syntax.parser import parse
from hoggin.world import World
from tests.check.reading import check_text, plant_of, small_plant

EXAMPLES = Path(__file__).parents[2] / "examples"


@dataclass(frozen=True)
class Stated:
    """A thing that an example states: its name in a case, the text around its value, the values it
    may get."""

    name: str
    text: str  # `{}` stands where the value does
    now: str
    values: tuple[str, ...]


QUARRY = (
    Stated("shot_rock.rate", "    rate {}\n", "450 t/h", ("400 t/h", "430 t/h", "500 stph")),
    Stated("shot_rock.tramp", "tramp {}\n", "30 mm", ("20 mm", "25 mm")),
    Stated("granite.moisture", "moisture       {}\n", "1.5 %", ("4 %", "0.06")),
    Stated("granite.work_index", "work_index     {}\n", "15.5 kWh/t", ("14 kWh/t", "17 kWh/t")),
    Stated("tertiary_setting", "tertiary_setting = {}\n", "15 mm", ("14 mm", "2 * 8 mm")),
    Stated("secondary.css", "css     {}\n", "40 mm", ("38 mm", "1.6 in")),
    Stated("secondary.chamber", "chamber {}\n", "coarse", ("medium",)),
    Stated("tertiary.speed", "speed   {}\n", "1050 rpm", ("1000 rpm",)),
    Stated("primary.css", "    css {}\n  }}\n", "125 mm", ("110 mm", "140 mm")),
    Stated("sorting.top", "deck top    {} square", "50 mm", ("48 mm", "2 in")),
    Stated("sorting.length", "(width: 3.0 m, length: {})", "7.8 m", ("7.2 m", "8.4 m")),
    Stated("order_book.drain", "out drain {};", "15 %", ("0 %", "40 %")),
    Stated("surge.live", "live {} }}", "6000 t", ("4000 t",)),
    Stated("hours", "hours_per_year {} }}\n", "2200 h", ("600 h", "100 h")),
)


def _check(text: str) -> Checked:
    checked = check(World(EXAMPLES / "quarry.hog"), Source("quarry.hog", text))
    assert not checked.has_errors, [(d.code, d.message) for d in checked.diagnostics]
    return checked


def _document(results: Results, case: str) -> str:
    """The whole document but for what says which texts it is of, and of which case."""
    assert results.plant is not None
    title = results.title.removesuffix(f", case {case}") if case else results.title
    plant = results.plant.model_copy(update={"case": "", "cases": (), "title": title})
    kept = {"provenance": None, "title": title, "plant": plant}
    return results_json(results.model_copy(update=kept))


@cache
def _document_alone(text: str) -> str:
    return _document(balanced(_check(text)), "")


def _with_lines(text: str, lines: str) -> str:
    """The example with lines at the end of its plant, so that nothing before them moves."""
    return f"{text.rstrip().removesuffix('}')}{lines}}}\n"


def _written(text: str, picked: dict[Stated, str]) -> str:
    for one, value in picked.items():
        was = one.text.format(one.now)
        assert text.count(was) == 1, was
        text = text.replace(was, one.text.format(value))
    return text


def _case(head: str, picked: dict[Stated, str]) -> str:
    lines = "; ".join(f"{one.name} {value}" for one, value in picked.items())
    return f"  case {head} {{ {lines} }}\n"


_PICKS = st.lists(st.sampled_from(QUARRY), min_size=1, max_size=6, unique=True).flatmap(
    lambda names: st.fixed_dictionaries({one: st.sampled_from(one.values) for one in names})
)


@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(first=_PICKS, second=_PICKS)
def test_a_case_gives_byte_for_byte_what_a_file_with_its_values_gives(
    first: dict[Stated, str], second: dict[Stated, str]
) -> None:
    """The second case begins from the first: what both state is as the second has it. Hours are
    each case's own."""
    text = (EXAMPLES / "quarry.hog").read_text(encoding="utf-8")
    asked = "  require sand.rate >= 90 t/h in b\n"
    blocks = _case("a", first) + _case("b: a", second)
    whole = _check(_with_lines(text, asked + blocks))
    assert _document(balanced(whole), "") == _document_alone(text)
    inherited = {one: value for one, value in first.items() if one.name != "hours"}
    for name, picked, more in (
        ("a", first, ""),
        ("b", {**inherited, **second}, "  require sand.rate >= 90 t/h\n"),
    ):
        alone = _with_lines(_written(text, picked), more)
        found = balanced(whole.cases[name])
        assert _document(found, name) == _document_alone(alone)
        assert found.title.endswith(f", case {name}")


_PLANTS = ("gravel", "sand", "cones", "standard/south", "cookbook/shape_impactor", "seasons")


def _measures(file: tree.File) -> Iterator[tuple[str, tree.Measure]]:
    """Everything in a plant's file that is stated as a number with its unit, by its name in a
    case."""
    plant = next(s for s in file.statements if isinstance(s, tree.PlantDefinition))
    for statement in (*file.statements, *plant.body):
        match statement:
            case tree.Let(name=name, value=tree.Measure() as value):
                yield name.text, value
            case tree.Declaration(name=name, arguments=arguments, body=body):
                values = [(one.name.text, one.value) for one in _facts(body)]
                values += [(one.name.text, one.value) for one in arguments]
                values += [(d.name.text, d.aperture) for d in body if isinstance(d, tree.Deck)]
                values += [(o.name.text, o.share) for o in body if isinstance(o, tree.Port)]
                for part, given_as in values:
                    if isinstance(given_as, tree.Measure):
                        yield f"{name.text}.{part}", given_as
            case tree.Definition(keyword=tree.Ident(text="material"), name=name, body=body):
                for fact in _facts(body):
                    if isinstance(fact.value, tree.Measure):
                        yield f"{name.text}.{fact.name.text}", fact.value


def _facts(body: tuple[tree.Statement, ...]) -> list[tree.Fact]:
    return [one for one in body if isinstance(one, tree.Fact)]


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(name=st.sampled_from(_PLANTS), chance=st.randoms(use_true_random=False))
def test_a_random_case_is_what_a_file_with_its_values_is_be_it_refused(
    name: str, chance: random.Random
) -> None:
    """Of every example, some numbers are moved by up to a fifth: in a case, and in the text."""
    path = EXAMPLES / f"{name}.hog"
    text = path.read_text(encoding="utf-8")
    file = parse(Source(path.name, text), Diagnostics())
    known = list(_measures(file))
    moved = chance.sample(known, min(len(known), chance.randint(1, 4)))
    lines, written = [], text
    for called, value in sorted(moved, key=lambda one: -one[1].span.start):
        now = f"{value.number * chance.uniform(0.8, 1.2):.6g} {value.unit}"
        lines.append(f"{called} {now}")
        written = written[: value.span.start] + now + written[value.span.end :]
    world = World(path)
    cases = check(
        world, Source(path.name, _with_lines(text, f"  case x {{ {'; '.join(lines)} }}\n"))
    )
    alone = check(world, Source(path.name, written))
    assert cases.has_errors == alone.has_errors, lines
    if alone.has_errors:
        assert {d.code for d in cases.diagnostics if d.is_error} == {
            d.code for d in alone.diagnostics if d.is_error
        }
        return
    ours, theirs = rated(cases.in_case("x")), rated(alone)
    if isinstance(ours, Results) and isinstance(theirs, Results):
        assert _document(_without_places(ours), "x") == _document(_without_places(theirs), "")
    else:
        assert isinstance(ours, Diagnostic) and isinstance(theirs, Diagnostic)
        assert ours.message == f"in case `x`: {theirs.message}"


def _without_places(results: Results) -> Results:
    """Numbers of another length move what stands behind them on their line."""
    warnings = tuple(one.model_copy(update={"column": 0}) for one in results.warnings)
    assert results.plant is not None
    dump = json.loads(results.plant.model_dump_json())
    return results.model_copy(
        update={"warnings": warnings, "plant": Plant.model_validate(_same_columns(dump))}
    )


def _same_columns(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: 0 if key == "column" else _same_columns(one) for key, one in value.items()}
    return [_same_columns(one) for one in value] if isinstance(value, list) else value


def test_lists_rocks_and_sections_are_stated_in_a_case_as_they_are_in_the_plant() -> None:
    above = """\
material clay { solid_density 2.6 t/m3; bulk_density 1.4 t/m3; work_index 9 kWh/t }
grading fine { passing { 100 mm: 100 %, 20 mm: 50 % } }
template line(live: t = 20 t) {
  in  rock_in
  out rock_out
  bin store { live live }
  rock_in -> store
  store   -> rock_out
}
"""
    body = """\
  section way: line(live: 30 t)
  rock         -> way.rock_in
  way.rock_out -> product all
  case pit_b {
    rock.rock    clay
    rock.passing fine
    way.live     50 t
  }
  case pit_c: pit_b { rock.passing { 80 mm: 100 %, 10 mm: 40 % } }
"""
    checked = check_text(small_plant(body, above))
    assert not checked.has_errors
    b, c = (checked.cases[name].plant for name in ("pit_b", "pit_c"))
    assert b is not None and c is not None
    assert [b.feeds[0].material, c.feeds[0].material] == ["clay", "clay"]
    assert b.feeds[0].grading == ((100.0, 1.0), (20.0, 0.5))
    assert c.feeds[0].grading == ((80.0, 1.0), (10.0, 0.4))
    assert [p.machines[0].facts["live_t"] for p in (b, c)] == [50.0, 50.0]


CHOICE = """\
  choose type {
    option pile { stockpile store { live 100 t } }
    option silo { bin store { live 200 t } }
  }
  rock  -> store -> product all
  case built { type silo; store.live 300 t }
  case still { store.live 150 t }
"""


def test_a_case_picks_an_option_and_states_what_stands_in_it() -> None:
    checked = check_text(small_plant(CHOICE))
    kinds = {}
    for name in ("", "built", "still"):
        plant = checked.in_case(name).plant
        assert plant is not None
        kinds[name] = (plant.machines[0].kind, plant.machines[0].facts["live_t"])
    assert kinds == {
        "": ("stockpile", 100.0),
        "built": ("bin", 300.0),
        "still": ("stockpile", 150.0),
    }


def test_a_feed_called_as_its_rock_is_told_from_it() -> None:
    text = small_plant(
        """\
  feed granite { rock granite; rate 50 t/h; passing { 100 mm: 100 %, 20 mm: 50 % } }
  rock    -> product coarse
  granite -> product fine
  case wet { granite.moisture 6 %; granite.rate 60 t/h }
"""
    ).replace("work_index 15 kWh/t", "work_index 15 kWh/t; moisture 1 %")
    plant = check_text(text).cases["wet"].plant
    assert plant is not None
    assert plant.materials["granite"].moisture == 0.06
    assert {feed.tag: feed.rate_t_h for feed in plant.feeds} == {"granite": 60.0, "rock": 200.0}


def test_a_requirement_holds_in_every_case_or_in_those_it_names() -> None:
    body = """\
  rock -> product all
  case wet { rock.rate 100 t/h }
  case peak { rock.rate 300 t/h }
  case late: peak { rock.tramp 5 mm }
  require all.rate >= 50 t/h
  require all.rate >= 250 t/h in peak, late
  require all.share <= 1 in wet
"""
    checked = check_text(small_plant(body))
    asked: dict[str, Any] = {}
    for name in ("", "wet", "peak", "late"):
        plant = checked.in_case(name).plant
        assert plant is not None
        asked[name] = [one.text for one in plant.requirements]
    every, peak = "all.rate >= 50 t/h", "all.rate >= 250 t/h"
    assert asked[""] == [every]
    assert sorted(asked["wet"]) == sorted([every, "all.share <= 1"])
    assert sorted(asked["peak"]) == sorted(asked["late"]) == sorted([every, peak])


@pytest.mark.parametrize(
    ("line", "limit", "holds"),
    [
        ("all.p80 <= 6 in in wet", 6.0, ["wet"]),
        ("all.p80 <= 6 in", 6.0, ["", "wet"]),
        ("all.rate / rock.rate <= 6 in wet", 6.0, ["wet"]),
        ("all.p80 within 1 in to 6 in in wet", 6.0, ["wet"]),
    ],
)
def test_inches_and_cases_are_told_apart(line: str, limit: float, holds: list[str]) -> None:
    body = f"  rock -> product all\n  case wet {{ rock.rate 100 t/h }}\n  require {line}\n"
    checked = check_text(small_plant(body))
    assert not checked.has_errors, [d.message for d in checked.diagnostics]
    found = []
    for case in ("", "wet"):
        plant = checked.in_case(case).plant
        assert plant is not None
        for one in plant.requirements:
            assert isinstance(one, Limit) and one.high == limit
            found.append(case)
    assert found == holds


def _unused(text: str) -> list[str]:
    found = check_text(text).diagnostics
    return [d.span.text for d in found if d.code == "W0101" and "library" not in d.message]


def test_a_name_that_only_a_case_uses_is_used() -> None:
    clay = "material clay { solid_density 2.6 t/m3; bulk_density 1.4 t/m3; work_index 9 kWh/t }\n"
    body = "  rock -> product all\n"
    assert _unused(small_plant(body, clay)) == ["clay"]
    assert _unused(small_plant(f"{body}  case b {{ rock.rock clay }}\n", clay)) == []
    # What a case sets is not used by that.
    assert _unused(small_plant(f"{body}  case b {{ gap 4 mm }}\n", "let gap = 3 mm\n")) == ["gap"]


def test_a_case_that_is_not_there_is_refused_with_the_nearest_name() -> None:
    checked = check_text(small_plant("  rock -> product all\n  case wet { rock.rate 90 t/h }\n"))
    with pytest.raises(HogginError, match="no case `wt`: did you mean `wet`"):
        checked.in_case("wt")
    plain = check_text(small_plant("  rock -> product all\n"))
    with pytest.raises(HogginError, match="it states no cases"):
        plain.in_case("wet")


def test_the_plant_says_what_its_cases_state() -> None:
    body = """\
  operation { hours_per_year 2000 h }
  rock -> product all
  case wet { hours 500 h; rock.rate 100000 kg/h }
  case late: wet { rock.tramp 1 in }
  require all.rate >= 10 t/h in late
"""
    late, wet = plant_of(small_plant(body)).cases
    assert (wet.name, wet.of, wet.hours, dict(wet.lines)) == (
        *("wet", "", 500.0),
        {"rock.rate": "100 t/h"},
    )
    assert (late.name, late.of, late.hours, late.asked) == (
        *("late", "wet", None),
        ("all.rate >= 10 t/h",),
    )
    assert dict(late.lines) == {"rock.tramp": "25.4 mm"}


def test_a_case_states_operation_tonnages_positions_and_draws() -> None:
    """The plant in its case is the plant with these values written in its blocks."""
    body = """\
  splitter parted {{ out a {a}; out b rest }}
  splitter gate   {{ out left; out right; position {position} }}
  bin store {{ live 100 t; draw {draw}; operation {{ {operation} }} }}
  rock       -> parted
  parted.a   -> gate
  parted.b   -> store
  store.draw -> product kept
  store.overflow -> product spilled
  gate.left  -> product one
  gate.right -> product other
{more}"""
    was = {"a": "30 t/h", "position": "left", "draw": "60 t/h", "operation": ""}
    lines = """\
  case x {
    parted.a 40 t/h
    gate.position right
    store.draw 50 t/h
    store.operation.start_level 40 %
  }
"""
    now = {"a": "40 t/h", "position": "right", "draw": "50 t/h", "operation": "start_level 40 %"}
    cases = check_text(small_plant(body.format(**was, more=lines)))
    assert not cases.has_errors
    alone = plant_of(small_plant(body.format(**now, more="")))
    assert _numbers_of(cases.in_case("x").plant) == _numbers_of(alone)
    assert _numbers_of(cases.plant) != _numbers_of(alone)


def _numbers_of(plant: Plant | None) -> Any:
    """All of a plant but its places, title and cases."""
    assert plant is not None
    return _placeless(plant.model_dump(mode="json", exclude={"title", "case", "cases"}))


def _placeless(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _placeless(one) for key, one in value.items() if key != "place"}
    return [_placeless(one) for one in value] if isinstance(value, list) else value


_ROCKS = """material shale { solid_density 2.6 t/m3; bulk_density 1.5 t/m3; work_index 9 kWh/t
                 moisture 2 % }
"""


def _of_library(folder: Path, material: str, lines: str) -> Checked:
    """A plant whose feed is the material of a library beside it."""
    (folder / "rocks.hog").write_text(material, encoding="utf-8")
    text = small_plant(f"  rock -> product all\n{lines}")
    text = text.replace("use std.cones", 'use "rocks.hog" as rocks').replace(
        "rock granite", "rock rocks.shale"
    )
    return check(World(folder / "plant.hog"), Source("plant.hog", text))


def test_a_material_of_a_library_can_be_set_in_a_case(tmp_path: Path) -> None:
    """It is what a library with this value gives."""
    case = "  case wet { rocks.shale.moisture 6 % }\n"
    found = _of_library(tmp_path, _ROCKS, case).in_case("wet").plant
    other = _of_library(tmp_path, _ROCKS.replace("2 %", "6 %"), "").plant
    assert found is not None and other is not None
    assert found.materials == other.materials
    written = _of_library(tmp_path, _ROCKS, case).plant
    assert written is not None and written.materials["shale"].moisture == 0.02


def test_a_material_that_the_library_does_not_hold_is_reported(tmp_path: Path) -> None:
    checked = _of_library(tmp_path, _ROCKS, "  case wet { rocks.slate.moisture 6 % }\n")
    (found,) = (one for one in checked.diagnostics if one.is_error)
    assert "`rocks` has no material `slate`" in found.message and "shale" in found.help


def test_operation_of_the_plant_can_be_set_in_a_case() -> None:
    body = "  rock -> product all\n  operation { days_per_week 5 }\n"
    lines = "operation.days_per_week 6; operation.shifts { day: 6 h to 14 h }"
    checked = check_text(small_plant(f"{body}  case busy {{ {lines} }}\n"))
    busy, plain = checked.in_case("busy").plant, checked.plant
    assert busy is not None and plain is not None
    assert (plain.days_per_week, plain.shifts) == (5, ())
    assert busy.days_per_week == 6 and [shift.end_h for shift in busy.shifts] == [14.0]


def test_a_case_adds_what_a_material_of_a_library_does_not_state(tmp_path: Path) -> None:
    silent = _ROCKS.replace("moisture 2 %", "")
    found = _of_library(tmp_path, silent, "  case wet { rocks.shale.moisture 6 % }\n")
    plant = found.in_case("wet").plant
    assert plant is not None and plant.materials["shale"].moisture == 0.06


def test_why_sees_what_a_case_states_of_a_material_of_a_library(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Moisture of the only rock is that of the product: all of the change is this line's."""
    monkeypatch.chdir(tmp_path)
    for name, moisture in (("old", "4 %"), ("new", "6 %")):
        case = f"  case wet {{ rocks.shale.moisture {moisture} }}\n"
        found = _of_library(tmp_path, _ROCKS, case)
        (tmp_path / f"{name}.hog").write_text(found.source.text, encoding="utf-8")
    assert main(["why", "old.hog", "new.hog", "all.moisture", "--case", "wet", "--as", "json"]) == 0
    document = json.loads(capsys.readouterr().out)
    (edit,) = document["edits"]
    assert edit["share"] == pytest.approx(2.0)
