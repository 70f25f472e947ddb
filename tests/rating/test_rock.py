"""Plants of several feeds: each crusher sees the rock of what it receives. Blends are worked by
hand from the shares, and the shares in a loop solved with scipy."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
from scipy.linalg import solve

from hoggin.balance import balance
from hoggin.rating.rate import rate
from hoggin.schema.plant import Plant
from hoggin.schema.results import MachineResult, Results
from tests.check.reading import plant_of
from tests.rating.conftest import HEAD

ROCKS = """
material hard {
  solid_density 2.9 t/m3; bulk_density 1.7 t/m3; work_index 20 kWh/t; abrasion_index 0.3
}
material soft {
  solid_density 2.6 t/m3; bulk_density 1.5 t/m3; work_index 10 kWh/t; abrasion_index 0.02
  moisture 3 %; clay 1 %
}
"""
FLOW = """
  crusher first: jaws.single_toggle(gape: 900 mm, width: 1200 mm) { css 100 mm }
  crusher second: cones.high_speed(head: 1300 mm) { duty secondary; chamber coarse; css 25 mm }
  screen sizing: screens.inclined(width: 2.4 m, length: 6 m) { deck top 32 mm; deck bottom 8 mm }
  sizing.top.over    -> second -> sizing
  sizing.bottom.over -> product chips
  sizing.under       -> product sand
"""
GRADING = "passing { 400 mm: 100 %, 150 mm: 55 %, 40 mm: 20 %, 4 mm: 4 % }"


def plant(feeds: str, flow: str = FLOW, rocks: str = ROCKS) -> Plant:
    return plant_of(f'{HEAD}{rocks}plant "pits" {{\n  sieves sieves.quarry\n{feeds}{flow}}}\n')


def results(checked: Plant) -> Results:
    return rate(checked, balance(checked), "plant.hog")


def machine(of: Results, tag: str) -> MachineResult:
    return next(one for one in of.machines if one.tag == tag)


def feed(tag: str, rock: str, t_h: float, to: str, more: str = "") -> str:
    block = f"{{ rock {rock}; rate {t_h} t/h; {GRADING}; {more} }}"
    return f"  feed {tag} {block}\n  {tag} -> {to}\n"


JOINED = "  first -> sizing\n"


@pytest.mark.slow
def test_two_feeds_of_equal_rock_give_what_one_gives() -> None:
    one = results(plant(feed("pit", "hard", 200.0, "first") + JOINED))
    two = results(
        plant(feed("east", "hard", 140.0, "first") + feed("west", "hard", 60.0, "first") + JOINED)
    )
    for mine, other in zip(one.products, two.products, strict=True):
        assert mine.rate_t_h == pytest.approx(other.rate_t_h, rel=1e-8)
        assert mine.passing == pytest.approx(other.passing, rel=1e-7)
    for tag in ("first", "second"):
        here, there = machine(one, tag), machine(two, tag)
        assert here.power_kw == pytest.approx(there.power_kw, rel=1e-7)
        assert here.capacity_t_h == pytest.approx(there.capacity_t_h, rel=1e-7)
        assert (here.wear and here.wear.metal_g_t) == pytest.approx(
            there.wear and there.wear.metal_g_t, rel=1e-7
        )
    assert machine(one, "second").rock is None  # all rock is that of the one feed


def test_a_crusher_sees_only_the_rock_that_reaches_it() -> None:
    found = results(
        plant(feed("east", "hard", 100.0, "first") + feed("west", "soft", 300.0, "sizing") + JOINED)
    )
    first = machine(found, "first").rock
    assert first is not None
    assert {part.feed: part.share for part in first.shares} == pytest.approx({"east": 1, "west": 0})
    assert (first.work_index_kwh_t, first.abrasion_index) == pytest.approx((20.0, 0.3))


def test_a_blend_is_mixed_by_mass_and_its_densities_by_volume() -> None:
    """One part hard to three of soft, by hand: 12.5 kWh/t, 0.09, 1 / (1/4 / 2.9 + 3/4 / 2.6)."""
    found = results(
        plant(feed("east", "hard", 100.0, "first") + feed("west", "soft", 300.0, "sizing") + JOINED)
    )
    for rock in (machine(found, "second").rock, *(one.rock for one in found.products)):
        assert rock is not None
        assert {part.feed: part.share for part in rock.shares} == pytest.approx(
            {"east": 0.25, "west": 0.75}
        )
        assert rock.work_index_kwh_t == pytest.approx(12.5)
        assert rock.abrasion_index == pytest.approx(0.09)
        assert rock.solid_density_t_m3 == pytest.approx(1 / (0.25 / 2.9 + 0.75 / 2.6))
        assert rock.bulk_density_t_m3 == pytest.approx(1 / (0.25 / 1.7 + 0.75 / 1.5))


def test_moisture_and_clay_are_each_feeds_own() -> None:
    """100 t/h at 6 % and 300 t/h at the rock's 3 % are 15 t/h of water in 400 t/h; clay of 4 % in
    100 t/h and of 1 % in 300 t/h is 7 t/h."""
    found = results(
        plant(
            feed("east", "soft", 100.0, "first", "moisture 6 %; clay 4 %")
            + feed("west", "soft", 300.0, "sizing")
            + JOINED
        )
    )
    east, west = (next(f for f in found.feeds if f.tag == tag) for tag in ("east", "west"))
    assert (east.moisture, east.clay) == pytest.approx((0.06, 0.04))
    assert (west.moisture, west.clay) == pytest.approx((0.03, 0.01))
    assert machine(found, "first").moisture_of_feed == pytest.approx(0.06)
    assert machine(found, "first").clay_of_feed == pytest.approx(0.04)
    assert machine(found, "sizing").moisture_of_feed == pytest.approx(15 / 400)
    assert machine(found, "sizing").clay_of_feed == pytest.approx(7 / 400)
    assert found.water is not None and found.water.with_feeds_m3_h == pytest.approx(15.0)


def test_shares_in_a_loop_are_the_solution_of_its_linear_balance() -> None:
    """A second feed enters inside the loop. Shares are solved with scipy from the rates alone: what
    leaves a machine has the shares of its feed, so (I - W) M = F for the masses M by feed."""
    checked = plant(
        feed("east", "hard", 150.0, "first") + feed("west", "soft", 80.0, "second") + JOINED
    )
    found = balance(checked)
    rates = found.streams_t_h[0].sum(axis=1)
    tags = [one.tag for one in checked.machines]
    fed = {tag: found.machine_feeds_t_h[0, n].sum() for n, tag in enumerate(tags)}
    ways = np.zeros((len(tags), len(tags)))
    entering = np.zeros((len(tags), len(checked.feeds)))
    feeds = [one.tag for one in checked.feeds]
    for stream, t_h in zip(checked.streams, rates, strict=True):
        if stream.target in tags and stream.source in tags:
            place = tags.index(stream.target), tags.index(stream.source)
            ways[place] += t_h / fed[stream.source]
        elif stream.target in tags:
            entering[tags.index(stream.target), feeds.index(stream.source)] += t_h
    masses = solve(np.eye(len(tags)) - ways, entering)
    shares: Mapping[str, np.ndarray] = {
        tag: mass / mass.sum() for tag, mass in zip(tags, masses, strict=True)
    }
    rated = results(checked)
    assert 0.1 < shares["second"][feeds.index("west")] < 0.9
    for tag in ("second", "first"):
        rock = machine(rated, tag).rock
        assert rock is not None
        assert [part.share for part in rock.shares] == pytest.approx(shares[tag], abs=1e-9)
    mean = dict(zip(feeds, shares["second"], strict=True))
    second = machine(rated, "second").rock
    assert second is not None
    assert second.work_index_kwh_t == pytest.approx(20 * mean["east"] + 10 * mean["west"])


@pytest.mark.parametrize(("clay", "verdict"), [("0 %", None), ("1 %", None), ("3 %", "watch")])
def test_damp_clay_blinds_decks_that_damp_fines_do_not(clay: str, verdict: str | None) -> None:
    """A 14 mm deck, 4 % moisture: over the 12 mm of damp fines, under the 20 mm of clay that sticks
    (both common practice, no source)."""
    found = results(
        plant(
            feed("pit", "hard", 150.0, "first", f"moisture 4 %; clay {clay}") + JOINED,
            flow=FLOW.replace("bottom 8 mm", "bottom 14 mm"),
        )
    )
    decks = {deck.name: deck for deck in machine(found, "sizing").decks}
    checks = [one.verdict for one in decks["bottom"].checks if one.name == "blinding"]
    assert checks == ([] if verdict is None else [verdict])
    assert all(one.name != "blinding" for one in decks["top"].checks)


@pytest.mark.slow
def test_what_is_assumed_of_blends_and_clay_is_said_where_there_are_any() -> None:
    dry = results(plant(feed("pit", "hard", 150.0, "first") + JOINED)).assumptions
    assert not any("clay" in text.lower() or "blend of feeds" in text for text in dry)
    mixed = results(
        plant(feed("east", "hard", 100.0, "first") + feed("west", "soft", 50.0, "first") + JOINED)
    ).assumptions
    assert any(text.startswith("A blend of feeds") for text in mixed)
    assert any(text.startswith("Clay follows the rock") for text in mixed)
