"""Flakiness from the language to the tables. Plants are scenarios of our own."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from hoggin.balance import balance
from hoggin.check.library import load_library
from hoggin.rating.rate import rate
from hoggin.report import documents, mass_balance
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results
from hoggin.syntax import tree
from hoggin.world import library_names
from tests.check.reading import MATERIAL, check_text
from tests.rating.conftest import Rate
from tests.report.shown import balance_text

LIBRARIES = """
use std.jaws
use std.cones
use std.impactors
use std.screens
"""
CUT = """
plant "Netherby cut, invented" {
  sieves { 125 mm, 63 mm, 31.5 mm, 16 mm, 8 mm, 4 mm, 2 mm, 0.063 mm }
  feed blast { rock rock; rate 200 t/h; flakiness 20 %
    passing { 500 mm: 100 %, 250 mm: 70 %, 63 mm: 25 %, 16 mm: 9 %, 4 mm: 4 % } }
  crusher jaw: jaws.single_toggle(gape: 800 mm, width: 1000 mm) { css 100 mm }
  crusher cone: cones.high_speed(head: 1300 mm) { duty secondary; css 32 mm }
  crusher third: cones.high_speed(head: 1300 mm) { duty tertiary; css 14 mm }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) {
    deck top 22.4 mm; deck second 8 mm; deck bottom 4 mm
  }
  blast -> jaw -> cone -> sizing
  sizing.top.over -> third -> sizing
  sizing.second.over -> product stone
  sizing.bottom.over -> product chips
  sizing.under -> product sand
  require chips.flakiness <= 20 %
  require stone.flakiness <= 1 %
}
"""
SCREENED = """
plant "screened" {
  sieves { 63 mm, 31.5 mm, 16 mm, 8 mm, 4 mm }
  feed dug { rock rock; rate 100 t/h; flakiness { 63 mm: 30 %, 4 mm: 10 % }
    passing { 63 mm: 100 %, 16 mm: 50 %, 4 mm: 0 % } }
  %MORE%
}
"""


# -- what the plant says and what is reported --------------------------------------------------


def test_a_plant_that_states_no_flakiness_is_shown_without(rate_plant: Rate) -> None:
    silent = CUT.replace("; flakiness 20 %", "")
    silent = "\n".join(line for line in silent.splitlines() if "require" not in line)
    results = rate_plant(silent)
    assert all(s.flakiness is None for s in results.streams)
    assert not any("lakiness" in text for text in results.assumptions)
    assert "lakiness" not in balance_text(results)
    assert [w for w in results.warnings if w.code == "W0515"] == []


@pytest.mark.slow
def test_a_plant_that_states_it_has_it_judged_and_shown(rate_plant: Rate) -> None:
    results = rate_plant(CUT)
    missed, met = results.requirements
    chips = next(p for p in results.products if p.tag == "chips")
    assert chips.flakiness is not None
    assert met.met
    assert met.margin == pytest.approx(20.0 - 100.0 * chips.flakiness)
    assert not missed.met
    table = mass_balance.streams(results)
    at = [column.heading for column in table.columns].index("flakiness")
    assert table.columns[at].text(table.rows[0][at]) == "20"
    shown = balance_text(results)
    assert "PRODUCT FLAKINESS" in shown
    assert "tendency" in shown
    ledger = documents.documents(results)["mass_balance.csv"].decode()
    assert "flakiness (%)" in ledger.splitlines()[0]


def test_the_index_of_a_product_is_that_of_its_fractions_by_their_mass(rate_plant: Rate) -> None:
    """EN 933-3: FI = 100 M2 / M1, sums over the fractions (from memory); the fractions' masses add
    to what was tested."""
    for product in rate_plant(CUT).products:
        parts = product.flakiness_by_fraction
        if product.flakiness is None:
            assert parts == ()
            continue
        assert sum(part.share for part in parts) == pytest.approx(1.0, abs=0.005)
        mean = sum(part.share * part.flakiness for part in parts)
        assert mean == pytest.approx(product.flakiness, abs=0.005)


def test_sand_is_not_tested(rate_plant: Rate) -> None:
    """EN 933-3 tests nothing under 4 mm (from memory)."""
    results = rate_plant(CUT)
    assert next(p for p in results.products if p.tag == "sand").flakiness is None


def test_flakiness_by_size_is_read_in_any_order_of_sizes(rate_plant: Rate) -> None:
    """The flaky share is the integral of the flakiness, linear in log size as stated, over what
    passes, here the pile's own curve: numpy's trapezoid on 20 000 points."""
    text = SCREENED.replace("%MORE%", "dug -> product pile")
    results = rate_plant(text)
    turned = rate_plant(text.replace("63 mm: 30 %, 4 mm: 10 %", "4 mm: 10 %, 63 mm: 30 %"))
    assert turned.products == results.products
    (pile,) = results.products
    assert pile.flakiness is not None
    sizes = np.geomspace(4.0, 63.0, 20_000)
    passing = np.interp(sizes, *np.array(pile.curve)[::-1].T)
    flaky = np.interp(np.log(sizes), np.log([4.0, 63.0]), [0.10, 0.30])
    assert pile.flakiness == pytest.approx(np.trapezoid(flaky, passing), abs=0.002)


def test_what_stays_on_slots_is_less_flaky_than_what_stays_on_squares(rate_plant: Rate) -> None:
    """Common practice: slots let flakes through. The square mesh is that of the same cut."""

    def chips(deck: str) -> float:
        more = (
            f"screen s: screens.inclined(width: 1.8 m, length: 4.8 m) {{ deck top {deck} }}\n"
            "  dug -> s; s.over -> product chips; s.under -> product sand"
        )
        found = next(p for p in rate_plant(SCREENED.replace("%MORE%", more)).products)
        assert found.flakiness is not None
        return found.flakiness

    assert chips("10 mm slotted") < chips("12 mm square") - 0.005


def test_a_product_of_rock_of_unknown_shape_stays_open_and_is_warned_of(
    rate_plant: Rate,
) -> None:
    text = SCREENED.replace(
        "%MORE%",
        """feed bought { rock rock; rate 50 t/h; passing { 16 mm: 100 %, 4 mm: 5 % } }
  blend heap
  splitter half { out a 50 %; out b rest }
  dug -> half
  half.a -> product good
  half.b -> heap
  bought -> heap -> product mixed""",
    )
    results = rate_plant(text)
    good, mixed = results.products
    assert good.flakiness is not None
    assert mixed.flakiness is None
    assert [w.text for w in results.warnings if w.code == "W0515"] == [
        "`mixed`: its flakiness is known for only a part of its rock"
    ]


# -- what the checker refuses --------------------------------------------------------------------


def found_in(body: str, feed: str = "flakiness 20 %", above: str = "") -> list[tuple[str, str]]:
    text = f"""{LIBRARIES}{MATERIAL}{above}
plant "p" {{
  sieves {{ 63 mm, 20 mm, 5 mm }}
  feed dug {{ rock granite; rate 90 t/h; passing {{ 60 mm: 100 %, 5 mm: 9 % }}; {feed} }}
  {body}
}}
"""
    return [(d.code, d.message) for d in check_text(text).diagnostics if d.code != "W0101"]


ASKED = "dug -> c -> product chips\n  require chips.flakiness <= 15 %"


def test_asking_for_flakiness_needs_feeds_that_state_it() -> None:
    body = "crusher c: cones.high_speed(head: 900 mm) { duty tertiary; css 12 mm }\n  " + ASKED
    assert found_in(body) == []
    assert found_in(body, feed="") == [
        ("E0402", "`chips.flakiness` can't be computed: feed `dug` states no flakiness")
    ]


def test_asking_for_flakiness_needs_crushers_with_a_flakiness_model() -> None:
    plain = """
class crusher ours(head: mm) {
  setting css: 8 mm to 40 mm
  model breakage: setting_curve { css css; passing_css 60 % }
  model capacity: rated { rated 180 t/h }
  model power: bond { efficiency 80 % }
}"""
    body = "crusher c: ours(head: 900 mm) { css 12 mm }\n  "
    assert found_in(body + ASKED, above=plain) == [
        (
            "E0408",
            "`chips.flakiness` can't be computed: "
            "the class of crusher `c` names no flakiness model",
        )
    ]
    assert found_in(body + "dug -> c -> product chips", above=plain) == []
    shaped = plain.replace("  model power", "  model flakiness: even { share 9 % }\n  model power")
    assert found_in(body + ASKED, above=shaped) == []


def test_only_what_runs_into_the_product_counts() -> None:
    body = """feed other { rock granite; rate 9 t/h; passing { 60 mm: 100 %, 5 mm: 9 % } }
  other -> product heap
  dug -> product chips
  require chips.flakiness <= 25 %"""
    assert found_in(body) == []
    assert [code for code, _ in found_in(body + "\n  require heap.flakiness <= 9 %")] == ["E0402"]


@pytest.mark.parametrize(
    ("fact", "code"),
    [
        ("flakiness 120 %", "E0306"),
        ("flakiness 20 mm", "E0302"),
        ("flakiness { 20 mm: 10 % to 20 % }", "E0601"),
        ("flakiness { 20 mm }", "E0601"),
        ("flakiness { 20 mm: 10 %, 20 mm: 12 % }", "E0202"),
        ("flakiness { 20 kW: 10 % }", "E0302"),
        ("flakiness", "E0403"),
        ("flakiness 20 %; flakiness 21 %", "E0202"),
    ],
)
def test_a_flakiness_that_cannot_be_is_refused(fact: str, code: str) -> None:
    assert [found for found, _ in found_in("dug -> product chips", feed=fact)] == [code]


# -- the library's classes -------------------------------------------------------------------------

CheckPlant = Callable[[str], Plant]


def made_by(check_plant: CheckPlant, machine: str, f80: str = "60 mm") -> Results:
    text = f"""
plant "p" {{
  sieves {{ 63 mm, 31.5 mm, 16 mm, 8 mm, 4 mm }}
  feed f {{ rock rock; rate 60 t/h; flakiness 20 %
    passing {{ 125 mm: 100 %, {f80}: 80 %, 16 mm: 12 %, 4 mm: 3 % }} }}
  crusher c: {machine}
  f -> c -> product p
}}
"""
    plant = check_plant("use std.impactors\n" + text)
    return rate(plant, balance(plant), "plant.hog")


def flaky(check_plant: CheckPlant, machine: str, f80: str = "60 mm") -> float:
    found = made_by(check_plant, machine, f80).products[0].flakiness
    assert found is not None
    return found


CONES = (
    "low_speed_secondary",
    "low_speed_tertiary",
    "medium_speed",
    "high_speed",
    "supported_shaft",
    "bowl_and_shaft",
)


@pytest.mark.parametrize("name", CONES)
def test_choke_feeding_makes_fewer_flakes_than_starving(check_plant: CheckPlant, name: str) -> None:
    """Common practice, no source: a full chamber breaks rock against rock. The same feed chokes
    a small machine and starves a large one."""
    duty = "" if "low_speed" in name else "duty tertiary;"
    cone = f"cones.{name}(head: %s mm) {{ {duty} css 20 mm }}"
    assert flaky(check_plant, cone % 750) < flaky(check_plant, cone % 2100) - 0.005


@pytest.mark.slow
def test_inter_particle_crushing_makes_fewer_flakes_than_single_particle(
    check_plant: CheckPlant,
) -> None:
    """Bengtsson & Evertsson (2006), from memory: inter-particle breakage gives better shape."""
    results = {
        name: made_by(check_plant, f"cones.{name}(head: 1800 mm) {{ {duty} css 20 mm }}")
        for name in CONES
        for duty in ["" if "low_speed" in name else "duty tertiary;"]
    }
    by_action: dict[str, list[float]] = {"inter_particle": [], "single_particle": []}
    for found in results.values():
        flakiness = found.products[0].flakiness
        assert flakiness is not None
        by_action[found.machines[0].traits["action"]].append(flakiness)
    assert max(by_action["inter_particle"]) < min(by_action["single_particle"])


def test_a_faster_head_makes_fewer_flakes(check_plant: CheckPlant) -> None:
    """Common practice, no source."""
    cone = "cones.high_speed(head: 1300 mm) { duty tertiary; css 20 mm; speed %s }"
    assert flaky(check_plant, cone % "1200 rpm") < flaky(check_plant, cone % "1000 rpm")


def test_the_fraction_at_the_setting_is_the_best(check_plant: CheckPlant) -> None:
    """Bengtsson & Evertsson (2006), from memory."""
    cone = "cones.high_speed(head: 1300 mm) { duty tertiary; css 18 mm }"
    (product,) = made_by(check_plant, cone).products
    best = min(product.flakiness_by_fraction, key=lambda part: part.flakiness)
    assert best.lower_mm <= 18.0 <= best.upper_mm * 1.26


def test_impact_makes_fewer_flakes_than_a_jaw(check_plant: CheckPlant) -> None:
    """Common practice, no source."""
    jaw = flaky(check_plant, "jaws.single_toggle(gape: 500 mm, width: 800 mm) { css 40 mm }")
    horizontal = "impactors.horizontal_shaft(rotor: 1100 mm, width: 1000 mm) { gap 40 mm }"
    vertical = "impactors.vertical_shaft(rotor: 900 mm) { }"
    assert flaky(check_plant, horizontal) < jaw
    assert flaky(check_plant, vertical, "30 mm") < jaw


def test_every_crusher_of_the_library_says_how_it_shapes_rock() -> None:
    classes = [
        entity.node
        for library in library_names()
        for entity in load_library(library).classes.values()
        if entity.node.kind.text == "crusher"
    ]
    assert len(classes) >= 11
    for node in classes:
        roles = [m.role.text for m in node.body if isinstance(m, tree.ModelDefinition)]
        assert "flakiness" in roles, node.name.text
