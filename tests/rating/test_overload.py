"""What is downstream of a machine that is fed more than it can take is void.

The law is the conservation of mass: what a machine can't take does not leave it. Which parts are
downstream is checked with networkx, which knows nothing of plants.
"""

from __future__ import annotations

from collections.abc import Callable

import networkx as nx
import pytest

from hoggin.balance import balance
from hoggin.rating.overload import fitting
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.rating.requirements import margins, met
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.schema.tracing import Freedom
from hoggin.studies.runner.cases import cases
from hoggin.studies.runner.solving import solve_cases
from tests.rating.conftest import Rate

PLANT = """
plant "p" {
  sieves { 100 mm, 40 mm, 20 mm, 10 mm }
  feed rock { rock rock; rate %RATE% t/h
              passing { 300 mm: 100 %, 100 mm: 40 %, 10 mm: 5 % } }
  screen scalp: screens.scalper(width: 1.5 m, length: 3 m) { deck top 40 mm square }
  crusher jaw: jaws.single_toggle(gape: 700 mm, width: 900 mm) { css 90 mm }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) { deck top 40 mm square }
  crusher cone: cones.medium_speed(head: %HEAD% mm) { duty secondary; chamber coarse; css 22 mm }
  rock -> scalp
  scalp.under -> product base
  scalp.top.over -> jaw -> sizing
  sizing.top.over -> cone -> sizing
  sizing.under -> product chips
  require base.rate >= 1 t/h
  require chips.rate >= 1 t/h
  require jaw.load <= 100 %
  require cone.load <= 1000 %
  require jaw.installed_power >= 1 kW
  require plant.rate >= 1 t/h
  require plant.power <= 9999 kW
  require jaw.product.rate >= 1 t/h
  require base.rate + chips.rate >= 1 t/h
}
"""
FITS = PLANT.replace("%RATE%", "60").replace("%HEAD%", "1300")
JAW_OVER = PLANT.replace("%RATE%", "300").replace("%HEAD%", "2000")
CONE_OVER = PLANT.replace("%RATE%", "150").replace("%HEAD%", "650")


def _verdicts(results: Results) -> dict[str, str]:
    return {one.text.split(" >=")[0].split(" <=")[0]: one.verdict for one in results.requirements}


def test_a_plant_whose_machines_fit_has_nothing_void(rate_plant: Rate) -> None:
    found = rate_plant(FITS)
    assert found.met and not found.overloaded
    assert not any(stream.void_by for stream in found.streams)
    assert not any(machine.void_by for machine in found.machines)
    assert not any(product.void_by for product in found.products)


@pytest.mark.parametrize(("text", "tag"), [(JAW_OVER, "jaw"), (CONE_OVER, "cone")])
def test_what_networkx_finds_downstream_is_void_and_nothing_else(
    rate_plant: Rate, text: str, tag: str
) -> None:
    found = rate_plant(text)
    assert found.overloaded == (tag,)
    graph = nx.DiGraph((s.source, s.target) for s in found.streams)
    below = nx.descendants(graph, tag)
    void = {machine.tag: machine.void_by for machine in found.machines}
    void |= {product.tag: product.void_by for product in found.products}
    for name, void_by in void.items():
        assert void_by == ((tag,) if name in below else ()), name
    for stream in found.streams:
        assert stream.void_by == ((tag,) if stream.source in {tag, *below} else ()), stream.name


def test_a_requirement_on_what_is_downstream_is_not_judged_and_says_why(rate_plant: Rate) -> None:
    found = rate_plant(JAW_OVER)
    assert _verdicts(found) == {
        "base.rate": "met",
        "plant.rate": "met",
        "jaw.load": "not met",
        "jaw.installed_power": "met",
        "chips.rate": "not judged",
        "cone.load": "not judged",
        "plant.power": "not judged",
        "jaw.product.rate": "not judged",
        "base.rate + chips.rate": "not judged",
    }
    chips = next(one for one in found.requirements if one.text.startswith("chips"))
    assert "`jaw`" in chips.reason and chips.margin is None and not chips.met


def test_an_overloaded_machine_in_a_loop_is_itself_judged(rate_plant: Rate) -> None:
    """Its own load is the proof that it does not fit, though part of it comes round the loop."""
    verdicts = _verdicts(rate_plant(CONE_OVER))
    assert verdicts["cone.load"] == "met" and verdicts["jaw.load"] == "met"


def test_a_plant_that_cannot_run_is_not_met_without_any_requirement(rate_plant: Rate) -> None:
    bare = "\n".join(line for line in JAW_OVER.splitlines() if "require" not in line)
    assert not rate_plant(bare).met


def test_a_motor_that_cannot_drive_its_machine_overloads_it(rate_plant: Rate) -> None:
    """Its chamber has room, but it draws more than its motor gives. The load says so too."""
    weak = (
        "class crusher weak(head: 600 mm to 2200 mm): cones.medium_speed { installed_power 60 kW }"
    )
    text = FITS.replace("cones.medium_speed", "weak").replace("plant ", f"{weak}\nplant ", 1)
    found = rate_plant(text)
    cone = next(machine for machine in found.machines if machine.tag == "cone")
    assert cone.load is not None and cone.load > 1 and (cone.power_use or 0) > 1
    (told,) = (check.text for check in cone.checks if check.name == "load")
    assert "by its motor" in told
    assert found.overloaded == ("cone",)


def test_a_specification_of_a_void_product_is_not_judged(rate_plant: Rate) -> None:
    asked = "use std.gradings.astm\n" + JAW_OVER.replace(
        "  require plant.rate", "  require chips meets astm.c33_57\n  require plant.rate"
    )
    chips = next(p for p in rate_plant(asked).products if p.tag == "chips")
    assert [band.verdict for band in chips.bands] == ["not judged"]


def test_a_batch_judges_as_a_single_plant_does(check_plant: Callable[[str], Plant]) -> None:
    plant = check_plant(JAW_OVER)
    solved = solve_cases(cases(plant, Freedom(), {}))
    assert isinstance(solved.rated, Rated) and isinstance(solved.readings, Readings)
    judged = {
        one.text: bool(met(one, margins(one, solved.readings, solved.rated))[0])
        for one in plant.requirements
    }
    assert judged["base.rate >= 1 t/h"] and not judged["chips.rate >= 1 t/h"]


def test_every_machine_that_can_be_overloaded_is_asked_to_fit(
    check_plant: Callable[[str], Plant],
) -> None:
    """A screen has no capacity, but its class may state a motor that is too small for its box."""
    ours = "class screen ours: screens.inclined { installed_power 1 kW }\n"
    text = ours + FITS
    plant = check_plant(text.replace("sizing: screens.inclined", "sizing: ours"))
    rated = Rated(plant, balance(plant))
    asked = {one.text.removesuffix(".utilization <= 100 %") for one in fitting(plant)}
    assert "sizing" in rated.overload.machines
    assert set(rated.overload.machines) <= asked


def test_a_feed_coarser_than_the_opening_does_not_pass(rate_plant: Rate) -> None:
    """By hand: lumps of 0.8 m do not enter a gap of 0.7 m, so nothing downstream is as balanced."""
    found = rate_plant(FITS.replace("300 mm: 100 %", "900 mm: 100 %"))
    jaw = next(one for one in found.machines if one.tag == "jaw")
    assert jaw.top_size_mm is not None and jaw.utilization is not None
    assert jaw.utilization == pytest.approx(jaw.top_size_mm / 700)
    assert "jaw" in found.overloaded and not found.met
    assert _verdicts(found)["chips.rate"] == "not judged"
    assert _verdicts(found)["base.rate"] == "met"
