"""Washing machines against what they can do. The plants are invented; figures are worked by hand,
and the laws are tested in `tests/models/test_washing.py`."""

from __future__ import annotations

from collections.abc import Callable
from math import log, pi

import pytest

from hoggin.rating.overload import fitting
from hoggin.schema.plant import Plant
from hoggin.schema.results import Check, ClassifierResult, DeckResult, MachineResult, Results
from tests.rating.conftest import Rate

# Fine aggregate, per cent passing by ASTM C33: the middle of its band (looked up), and washed of
# silt as its limits allow.
C33 = "9.5 mm: 100 %, 4.75 mm: 97.5 %, 2.36 mm: 90 %, 1.18 mm: 67.5 %, 0.6 mm: 42.5 %, {fine}"
MIDDLE = C33.format(fine="0.3 mm: 17.5 %, 0.15 mm: 5 %, 0.075 mm: 1.5 %")
ALL_SAND = C33.format(fine="0.3 mm: 17.5 %, 0.15 mm: 0 %")


def plant(lines: str, rate: float, grading: str = MIDDLE) -> str:
    return f"""
use std.washing
use std.slurry
plant "wash" {{
  sieves sieves.astm_c33
  feed sand {{ rock rock; rate {rate} t/h; moisture 6 %; passing {{ {grading} }} }}
  {lines}
}}
"""


def machine(results: Results, tag: str) -> MachineResult:
    return next(one for one in results.machines if one.tag == tag)


def classifier(results: Results, tag: str) -> ClassifierResult:
    found = machine(results, tag).classifier
    assert found is not None
    return found


def deck(results: Results, tag: str, at: int = 0) -> DeckResult:
    return machine(results, tag).decks[at]


def check(one: MachineResult | DeckResult, name: str) -> Check:
    return next(check for check in one.checks if check.name == name)


def _classified(line: str, tag: str) -> str:
    return f"{line}\n sand -> {tag}; {tag}.coarse -> product coarse; {tag}.fine -> product fine"


def screw(facts: str = "", diameter: float = 500.0) -> str:
    line = f"classifier screw: washing.screw(diameter: {diameter:g} mm) {{ {facts} }}"
    return _classified(line, "screw")


def test_a_screw_too_small_for_its_sand_is_over_and_needs_more_of_them(
    rate_plant: Rate,
) -> None:
    """500 mm at 1 m/s: 38.2 rpm, and 135 D^3 n / 24 are 26.9 t/h of 2.7 t/m3 (handbook form,
    memory; its bulk density is taken as 1.6)."""
    found = rate_plant(plant(screw("peripheral_speed 1 m/s; added_water 60 m3/h"), 117.0))
    one = machine(found, "screw")
    assert one.capacity_t_h == pytest.approx(135 * 0.5**3 * 60 / (pi * 0.5) / 24, rel=0.02)
    load = check(one, "load")
    assert (load.verdict, load.code) == ("over", "W0501")
    raked = next(s for s in found.streams if s.source == "screw" and s.outlet == "coarse")
    assert one.load == pytest.approx(raked.rate_t_h / 26.9, rel=0.02)


def test_a_spiral_too_fast_for_its_fine_sand_is_noted(rate_plant: Rate) -> None:
    """Half of the sand finer than 0.3 mm: a quarter of 1 m/s; common practice, no source."""
    fine = "0.6 mm: 100 %, 0.3 mm: 50 %, 0.2 mm: 0 %"
    speeds = {
        speed: check(
            machine(
                rate_plant(plant(screw(f"cut 0.05 mm; peripheral_speed {speed} m/s"), 5.0, fine)),
                "screw",
            ),
            "spiral speed",
        )
        for speed in (0.24, 0.3)
    }
    assert [one.verdict for one in speeds.values()] == ["ok", "watch"]
    assert speeds[0.3].code == "W0545"
    assert speeds[0.3].limit == pytest.approx(0.25, rel=0.02)


def test_so_many_screws_as_are_said_to_do_will_do(rate_plant: Rate) -> None:
    def screws(number: float) -> MachineResult:
        lines = screw(f"cut 0.15 mm; count {number:g}")
        fed = lines.replace("sand ->", "sump tank { added_water 300 m3/h }; sand -> tank ->")
        return machine(rate_plant(plant(fed, 117.0)), "screw")

    one = screws(1).classifier
    assert one is not None and one.number_needed is not None and one.number_needed > 1
    enough, fewer = screws(one.number_needed), screws(one.number_needed - 1)
    assert all(one.verdict != "over" for one in enough.checks)
    assert any(one.verdict == "over" for one in fewer.checks)


def test_the_water_rises_at_the_overflow_over_the_surface(rate_plant: Rate) -> None:
    """By hand: all sand settles at a cut of 0.05 mm but for the bypass; what overflows is nearly
    the water, 6 % of 30 t/h and 200 m3/h less 22 % of the sand, on 3 x 1.5^2 = 6.75 m2."""
    lines = screw("added_water 200 m3/h; cut 0.05 mm", 1500.0)
    found = classifier(rate_plant(plant(lines, 30.0, ALL_SAND)), "screw")
    assert found.surface_m2 == pytest.approx(6.75)
    assert found.overflow_m3_h == pytest.approx(201.8 - 0.22 * 30, rel=2e-3)
    assert found.rise_speed_m_s == pytest.approx(found.overflow_m3_h / 3600 / 6.75)


def test_a_pool_too_small_for_its_cut_is_over_with_the_cut_that_it_makes(rate_plant: Rate) -> None:
    """0.15 mm of 2.7 t/m3 sink at 1.7 x 9.80665 x 2.25e-8 / (18e-6 + 6.50e-6) = 15.31 mm/s alone
    (by hand, Ferguson & Church 2004), slower in a slurry."""
    found = rate_plant(plant(screw("added_water 300 m3/h; cut 0.15 mm", 1000.0), 60.0))
    one, pool = classifier(found, "screw"), check(machine(found, "screw"), "pool")
    assert (pool.verdict, pool.code) == ("over", "W0540")
    assert one.surface_needed_m2 is not None and one.cut_size_mm is not None
    assert one.surface_needed_m2 >= one.overflow_m3_h / 3600 / 0.01531
    assert one.cut_size_mm > 0.15 and f"{1000 * one.cut_size_mm:.3g} um" in pool.text


def test_a_pool_that_settles_much_finer_than_stated_is_noted(rate_plant: Rate) -> None:
    found = rate_plant(plant(screw("added_water 30 m3/h; cut 0.3 mm", 2000.0), 60.0))
    cut, one = check(machine(found, "screw"), "cut size"), classifier(found, "screw")
    assert (cut.verdict, cut.code) == ("watch", "W0542")
    # Pool and overflow of the same size settle alike, so the overflow wanted is that over the use.
    assert one.surface_use is not None
    assert f"{one.overflow_m3_h / one.surface_use:.0f} m3/h" in cut.text


def test_an_upflow_classifier_cuts_where_grains_sink_as_fast_as_its_water_rises(
    rate_plant: Rate,
) -> None:
    """By hand: 2 m across are 3.14 m2. 0.3 mm sinks at 1.65 x 9.80665 x 9e-8 / (18e-6 + 18.1e-6) =
    40.3 mm/s alone, which is 456 m3/h; little rock leaves with it."""
    facts = "cut 0.3 mm; added_water 475 m3/h"
    line = f"classifier tank: washing.upflow(diameter: 2 m) {{ {facts} }}"
    found = rate_plant(plant(_classified(line, "tank"), 50.0, ALL_SAND))
    one = classifier(found, "tank")
    assert one.surface_m2 == pytest.approx(pi)
    assert one.cut_size_mm == pytest.approx(0.3, rel=0.05)
    assert machine(found, "tank").capacity_t_h == pytest.approx(20 * pi)


def _cyclones(facts: str, water: float, diameter: float = 50.0) -> str:
    line = f"classifier cyclone: washing.cyclone(diameter: {diameter:g} mm) {{ {facts} }}"
    return (
        _classified(f"{line}", "cyclone")
        .replace(
            "sand -> cyclone",
            f"sump tank {{ added_water {water:g} m3/h }}\n"
            "pump lift: slurry.centrifugal(flow: 400 m3/h) { head HEAD }; "
            "sand -> tank -> lift -> cyclone",
        )
        .replace("HEAD", "25 m")
    )


def test_a_small_cyclone_under_a_great_flow_is_over_and_needs_more_of_them(
    rate_plant: Rate,
) -> None:
    """A cyclone of 50 mm passes a few m3/h: by Antunes & Medronho (1992), memory, 4.4 m3/h at
    200 kPa; 300 m3/h need some 70."""
    found = rate_plant(plant(_cyclones("cut 0.02 mm", 290.0), 20.0))
    one, flow = classifier(found, "cyclone"), check(machine(found, "cyclone"), "cyclone flow")
    assert (flow.verdict, flow.code) == ("over", "W0541")
    assert one.passes_m3_h == pytest.approx(4.4, rel=0.15)
    assert one.number_needed == pytest.approx(68, abs=10)
    enough = _cyclones(f"cut 0.02 mm; count {one.number_needed:g}", 290.0)
    flow = check(machine(rate_plant(plant(enough, 20.0)), "cyclone"), "cyclone flow")
    assert flow.verdict == "ok"


def test_a_cyclone_s_cut_is_that_of_its_flow(rate_plant: Rate) -> None:
    """A cyclone of 250 mm under 60 m3/h of thin slurry cuts near 0.02 mm (Plitt 1976; Antunes &
    Medronho 1992; both from memory): a cut of 0.075 mm is not what it makes."""
    facts = {cut: _cyclones(f"cut {cut} mm", 60.0, 250.0) for cut in (0.02, 0.075, 0.01)}
    found = {cut: rate_plant(plant(text, 2.0)) for cut, text in facts.items()}
    verdicts = {c: check(machine(one, "cyclone"), "cut size").verdict for c, one in found.items()}
    assert verdicts == {0.02: "ok", 0.075: "watch", 0.01: "over"}
    assert classifier(found[0.02], "cyclone").cut_size_mm == pytest.approx(0.02, rel=0.25)


def test_a_pump_s_head_has_to_hold_the_pressure_of_its_cyclone(rate_plant: Rate) -> None:
    """Hydrostatics: p / (rho g), by hand."""
    text = plant(_cyclones("cut 0.02 mm", 60.0, 250.0), 2.0)
    found = rate_plant(text)
    pressure, lift = classifier(found, "cyclone").pressure_kpa, machine(found, "lift")
    assert pressure is not None and lift.slurry is not None and lift.slurry.density_t_m3
    head = check(lift, "pump head")
    assert head.value == pytest.approx(pressure / 9.80665 / lift.slurry.density_t_m3)
    assert head.verdict == "ok"
    low = check(machine(rate_plant(text.replace("25 m", "5 m")), "lift"), "pump head")
    assert (low.verdict, low.code) == ("over", "W0544")


def drying(width: str, length: str) -> str:
    return f"""screen dry: washing.dewatering(width: {width}, length: {length}) {{
    deck top 0.5 mm slotted }}
  sand -> dry; dry.over -> product cake; dry.under -> product lost"""


def test_a_dewatering_screen_too_small_for_its_sand_is_over(rate_plant: Rate) -> None:
    """By hand: 158 t/h at 20 t/h a m2 need 7.9 m2 of 0.72 m2; and 150 t/h of 1.6 t/m3 on 0.6 m at
    0.15 m/s are 289 mm deep."""
    small = deck(rate_plant(plant(drying("0.6 m", "1.2 m"), 158.0)), "dry")
    area, bed = check(small, "deck area"), check(small, "bed depth")
    assert small.area_needed_m2 == pytest.approx(7.9)
    assert (area.verdict, bed.verdict) == ("over", "over")
    assert f"20 t/h a m2; {small.undersize_t_h / 1.58:.0f} % of its feed passes" in area.text
    assert bed.value == pytest.approx(small.oversize_t_h / 1.6 / 3600 / 0.6 / 0.15 * 1000)
    large = deck(rate_plant(plant(drying("2.1 m", "4.2 m"), 158.0)), "dry")
    assert all(one.verdict == "ok" for one in large.checks)


@pytest.mark.parametrize(
    "fine",
    [
        "0.3 mm: 17.5 %, 0.15 mm: 5 %, 0.075 mm: 1.5 %",
        "0.3 mm: 20 %, 0.15 mm: 4 %, 0.075 mm: 1 %",
    ],
)
def test_a_dewatering_screen_loses_a_twentieth_to_a_tenth_of_concrete_sand(
    rate_plant: Rate, fine: str
) -> None:
    """5 to 10 % through slots of 0.5 mm, common practice, no source; sands of ASTM C33."""
    text = plant(drying("2.1 m", "4.2 m"), 100.0, C33.format(fine=fine))
    assert 0.05 <= deck(rate_plant(text), "dry").undersize_t_h / 100.0 <= 0.10


def rinsing(water: str, first: str = "", second: str = "") -> str:
    return f"""screen rinse: screens.horizontal(width: 1.5 m, length: 4.2 m) {{
    water {water}; deck top 9.5 mm {{ {first} }}; deck bottom 4.8 mm {{ {second} }} }}
  sand -> rinse; rinse.top.over -> product a; rinse.bottom.over -> product b
  rinse.under -> product c"""


_GRAVEL = "25 mm: 100 %, 9.5 mm: 70 %, 4.75 mm: 45 %, 0.5 mm: 10 %"


def _decks(rate_plant: Rate, *spray: str) -> tuple[DeckResult, ...]:
    """Of a feed that brings no water, so that damp fines play no part."""
    text = plant(rinsing(*spray), 100.0, _GRAVEL).replace("moisture 6 %", "moisture 0 %")
    return machine(rate_plant(text), "rinse").decks


def test_a_deck_that_no_spray_reaches_is_as_a_dry_one(rate_plant: Rate) -> None:
    dry, unsprayed = _decks(rate_plant, "dry"), _decks(rate_plant, "spray")
    for one, other in zip(unsprayed, dry, strict=True):
        assert one.cut_size_mm == pytest.approx(other.cut_size_mm, rel=0.01)  # dust clings less
        assert one.area_by_tables_m2 == pytest.approx(other.area_by_tables_m2, rel=0.01)
        found = check(one, "spray")
        assert (found.verdict, found.code) == ("over", "W0543")
    below = _decks(rate_plant, "spray", "", "spray 100 m3/h")
    assert [check(one, "spray").verdict for one in below] == ["over", "ok"]


def test_a_wet_screen_s_partition_counts_no_spray_that_is_not_there(rate_plant: Rate) -> None:
    """Whatever its partition model: a damp feed clings and blinds as on a dry deck."""
    found = {}
    for water in ("dry", "spray"):
        text = plant(rinsing(f"{water}; model partition: fixed"), 100.0, _GRAVEL)
        found[water] = machine(rate_plant(text), "rinse").decks
    for one, other in zip(found["spray"], found["dry"], strict=True):
        assert check(one, "blinding").text == check(other, "blinding").text


@pytest.mark.slow
def test_a_screen_fed_with_slurry_is_screened_wet_without_sprays(rate_plant: Rate) -> None:
    """The water of its slurry is that of sprays, in the balance and in the area: only the tonne of
    water on a cubic metre differs."""

    def decks(lines: str) -> tuple[DeckResult, ...]:
        text = plant(lines, 100.0, _GRAVEL).replace("moisture 6 %", "moisture 0 %")
        return machine(rate_plant(text), "rinse").decks

    sprayed = decks(rinsing("spray", "spray 150 m3/h"))
    pulped = rinsing("spray").replace(
        "sand -> rinse;", "sump tank { added_water 150 m3/h }; sand -> tank -> rinse;"
    )
    for one, other in zip(decks(pulped), sprayed, strict=True):
        assert one.cut_size_mm == pytest.approx(other.cut_size_mm)
        assert one.area_needed_m2 == pytest.approx(other.area_needed_m2)
        assert check(one, "spray").verdict == "ok"
    dry = decks(pulped.replace("water spray", "water dry"))
    assert (dry[1].area_by_tables_m2 or 0.0) > 1.2 * (sprayed[1].area_by_tables_m2 or 0.0)


def test_wet_screening_takes_five_gallons_a_minute_a_short_ton_an_hour(rate_plant: Rate) -> None:
    """5 US gal/min for each short ton an hour (screen makers' association, looked up): by hand
    5 x 3.785411784 l x 60 / 907.18474 kg = 1.2518 m3 a tonne."""

    def rinse(*sprays: str) -> MachineResult:
        text = plant(rinsing("spray", *sprays), 100.0, _GRAVEL)
        return machine(rate_plant(text), "rinse")

    wet = rinse("spray 70 m3/h", "spray 60 m3/h")
    assert wet.rinse is not None
    assert wet.rinse.water_needed_m3_h == pytest.approx(125.18, rel=1e-4)
    assert wet.rinse.water_m3_h == pytest.approx(136.0)  # 6 % of moisture come with the feed
    assert check(wet, "water").verdict == "ok"
    short = check(rinse("spray 70 m3/h", "spray 40 m3/h"), "water")
    assert (short.verdict, short.code) == ("watch", "W0543")


def test_less_water_takes_its_part_of_the_wet_factor(rate_plant: Rate) -> None:
    """Half of the water has half of what factor E adds: by the handbooks' table (memory), between
    1.75 at 3/8 in and 1.40 at 1/2 in in the logarithm of the opening."""
    dry = _decks(rate_plant, "dry")[0]
    half = _decks(rate_plant, "spray", f"spray {0.5 * 125.18:.4f} m3/h")[0]
    share = log(9.5 / 9.525) / log(12.7 / 9.525)
    wet = 1.75 - 0.35 * max(share, 0.0)
    assert dry.area_by_tables_m2 is not None
    assert half.area_by_tables_m2 == pytest.approx(
        dry.area_by_tables_m2 / (1 + 0.5 * (wet - 1)), rel=5e-3
    )


def test_machines_of_enough_size_are_all_ok(rate_plant: Rate) -> None:
    """A chain in which nothing is over: no verdict is over by its nature."""
    lines = """
    classifier screw: washing.screw(diameter: 1200 mm) { cut 0.15 mm; added_water 150 m3/h }
    screen dry: washing.dewatering(width: 1.5 m, length: 3.6 m) { deck top 0.5 mm slotted }
    sand -> screw; screw.coarse -> dry; dry.over -> product cake; dry.under -> product lost
    screw.fine -> product silt"""
    found = rate_plant(plant(lines, 90.0))
    for tag in ("screw", "dry"):
        one = machine(found, tag)
        checks = [*one.checks, *(c for d in one.decks for c in d.checks)]
        assert checks and {c.verdict for c in checks} == {"ok"}, [c.text for c in checks]


@pytest.mark.parametrize(
    ("lines", "tag"),
    [
        (_cyclones("cut 0.02 mm", 290.0), "cyclone"),
        (screw("added_water 300 m3/h; cut 0.15 mm", 1000.0), "screw"),
        (drying("0.6 m", "1.2 m"), "dry"),
    ],
)
def test_what_washing_machines_can_not_take_is_an_overload(
    rate_plant: Rate, check_plant: Callable[[str], Plant], lines: str, tag: str
) -> None:
    """The balance cuts as stated, and drains as stated, whatever comes: it is not so if a limit is
    passed."""
    text = plant(lines, 60.0)
    found = rate_plant(text)
    one = machine(found, tag)
    assert one.utilization is not None and one.utilization > 1.0
    assert tag in found.overloaded and not found.met
    assert all(product.void_by for product in found.products)
    assert tag in {limit.text.partition(".")[0] for limit in fitting(check_plant(text))}
