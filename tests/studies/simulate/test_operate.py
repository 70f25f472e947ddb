"""A plant from its text through time, worked by hand."""

from __future__ import annotations

import pytest
from tests.studies.simulate.sample import documented, rated, small

from hoggin.errors import HogginError
from hoggin.studies.simulate.document import Operation
from hoggin.studies.simulate.operate import Question, operated


def run(text: str, asked: str, **options: object) -> Operation:
    plant, results = rated(text)
    return operated(plant, results, Question(asked, **options))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def week() -> Operation:
    return run(documented(), "1 week", runs=40, seed=3)


def test_half_the_hours_at_twice_the_pace_fill_a_pile_for_the_other_half() -> None:
    """100 t/h on average. Loaded 12 h of 24 at 200 t/h; the rest of the plant takes 100 t/h all
    day. From 200 t the pile is at 200 + 12 x 100 = 1400 t at noon and at 200 t at midnight."""
    text = small(
        "conveyor_free_blend -> s -> out_blend -> product p\nf -> conveyor_free_blend\n"
        "blend conveyor_free_blend { operation { pace 200 % } }\nblend out_blend\n"
        "stockpile s { live 2000 t; operation { start_level 10 % } }",
        "operation { loading { day: 0 h to 12 h } }",
    )
    found = run(text, "1 day")
    level = found.levels[0]
    assert found.shown_h == pytest.approx((0, 12, 24))
    assert level.shown_t == pytest.approx((200, 1400, 200))
    assert found.products[0].made_t.mean == pytest.approx(2400)
    assert found.products[0].steady_t == pytest.approx(2400)
    assert found.sections[0].hours["not loaded"] == pytest.approx(12)
    assert found.runs == 1 and not found.failures


def test_the_slower_section_is_the_bottleneck_and_the_faster_is_not() -> None:
    """Both could make 100 t/h; the second at a pace of 80 %, with the pile full: 10 % faster it
    makes 0.1 x 80 x 100 h = 800 t more, and the first nothing."""
    text = small(
        "blend one\nblend two { operation { pace 80 % } }\n"
        "stockpile s { live 100 t; operation { start_level 100 % } }\n"
        "f -> one -> s -> two -> product p"
    )
    found = run(text, "100 h")
    assert found.bottleneck == "two" == found.busiest
    one, two = found.sections
    assert two.gain_t == pytest.approx(800) and two.gain_from_stores_t == pytest.approx(0)
    assert one.gain_t == pytest.approx(0)
    assert one.slowed_h == pytest.approx(100)


def test_what_only_empties_a_pile_names_no_bottleneck() -> None:
    text = small(
        "blend one\nblend two\nstockpile s { live 5000 t }\nf -> one -> s -> two -> product p"
    )
    found = run(text, "10 h")
    assert found.bottleneck is None
    assert found.sections[1].gain_t == pytest.approx(100)
    assert found.sections[1].gain_from_stores_t == pytest.approx(100)


def test_of_two_conveyors_one_runs_on_while_the_other_is_stopped() -> None:
    """Each stands still 5 h in every 20 h, in turns: at 10, 20, 30 and 40 h. In 45 h four stops of
    5 h leave half: 100 x (45 - 20 / 2) t. One such conveyor alone stops at 20 and 40 h, and all
    with it."""
    body = (
        "conveyor c: conveyors.troughed(width: 800 mm, length: 20 m) "
        "{ COUNT; operation { maintenance { 20 h: 5 h } } }\nf -> c -> product p"
    )
    two, one = (
        run("use std.conveyors\n" + small(body.replace("COUNT", f"count {n}")), "45 h")
        for n in (2, 1)
    )
    assert two.products[0].made_t.mean == pytest.approx(3500)
    assert two.sections[0].lost_t["planned stop"] == pytest.approx(1000)
    assert two.sections[0].hours["planned stop"] == pytest.approx(0)
    assert two.in_parallel == ("c",)
    assert one.products[0].made_t.mean == pytest.approx(3500)
    assert one.sections[0].hours["planned stop"] == pytest.approx(10)
    assert one.in_parallel == ()


@pytest.mark.slow
def test_repairs_of_equal_machines_are_told_in_one_row() -> None:
    """Two machines fail twice as often as one."""
    body = (
        "conveyor c: conveyors.troughed(width: 800 mm, length: 20 m) "
        "{ COUNT; operation { availability 90 %; repair 2 h } }\nf -> c -> product p"
    )
    one, two = (
        run("use std.conveyors\n" + small(body.replace("COUNT", f"count {n}")), "1000 h", runs=60)
        for n in (1, 2)
    )
    (alone,), (both,) = one.repairs, two.repairs
    assert both.failures == pytest.approx(2 * alone.failures, rel=0.05)
    assert both.down_h == pytest.approx(2 * alone.down_h, rel=0.1)
    assert two.sections[0].availability == pytest.approx(0.9)


def test_a_campaign_makes_whole_products_in_turn_and_the_shares_in_the_long_run() -> None:
    """100 t/h, rounds of 10 h at 70 and 30 %, no time to change over. After 7 h 700 t of a and
    nothing of b; after 10 rounds the shares."""
    text = small(
        "splitter d { out a 70 %; out b rest; operation { campaign 10 h } }\nf -> d\n"
        "d.a -> product a\nd.b -> product b"
    )
    first, long = run(text, "7 h"), run(text, "100 h")
    assert [one.made_t.mean for one in first.products] == pytest.approx([700, 0], abs=1e-6)
    assert [one.made_t.mean for one in long.products] == pytest.approx([7000, 3000])


def test_a_campaign_into_a_store_that_parts_nothing_is_refused() -> None:
    text = small(
        "splitter d { out a 70 %; out b rest; operation { campaign 10 h } }\nbin s\nf -> d\n"
        "d.a -> s -> product a\nd.b -> product b"
    )
    with pytest.raises(HogginError, match="`s`"):
        run(text, "7 h")


@pytest.mark.slow
def test_availability_is_what_a_plant_without_stores_runs(week: Operation) -> None:
    """In the long run 90 % of a single machine; four standard errors of the mean, whose variance
    over T hours is about 2 A (1 - A)^2 R T (alternating renewal process, Cox 1962, from memory)."""
    text = small("blend m { operation { availability 90 %; repair 2 h } }\nf -> m -> product p")
    found = run(text, "2000 h", runs=200)
    error = (2 * 0.9**2 * 0.1 * 2 * 2000) ** 0.5 / 200**0.5
    assert found.sections[0].hours["running"] == pytest.approx(1800, abs=4 * error)
    assert found.sections[0].availability == pytest.approx(0.9)
    assert week.failures


def test_mass_and_hours_of_the_documented_plant_add_up(week: Operation) -> None:
    assert week.hours == pytest.approx(80)
    assert week.fed_t.mean == pytest.approx(week.made_t.mean + week.stored_t.mean)
    assert sum(one.made_t.mean for one in week.products) == pytest.approx(week.made_t.mean)
    for section in week.sections:
        assert sum(section.hours.values()) == pytest.approx(80)
    assert week.sections[0].hours["not loaded"] <= 40
    assert not [caution for caution in week.cautions if caution.code]


def test_a_pace_over_capacity_is_told() -> None:
    found = run(documented().replace("pace 210 %", "pace 600 %"), "8 h", runs=1)
    told = [caution.text for caution in found.cautions if caution.code == "W0525"]
    assert any("`primary`" in text for text in told)


def test_no_failures_each_pace_is_taken_down() -> None:
    """90 % of 100 t/h for 50 h."""
    text = small("blend m { operation { availability 90 %; repair 2 h } }\nf -> m -> product p")
    found = run(text, "50 h", failures=False)
    assert found.made_t.mean == pytest.approx(4500)
    assert found.runs == 1


@pytest.mark.slow
def test_the_same_question_gives_the_same_answer(week: Operation) -> None:
    assert run(documented(), "1 week", runs=40, seed=3) == week
