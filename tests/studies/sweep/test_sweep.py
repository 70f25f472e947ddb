"""Sweeps against single balances, and against a splitter whose rates are worked by hand."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from tests.check.reading import small_plant
from tests.studies.uncertainty.plants import splitter_plant

from hoggin.balance import lower, solve
from hoggin.check.checker import check
from hoggin.diagnostics.source import Source
from hoggin.errors import HogginError, SourceError
from hoggin.rating.rated import Rated
from hoggin.rating.readings import Readings
from hoggin.schema.plant import Reading
from hoggin.studies.runner.progress import Progress
from hoggin.studies.runner.spread import Here
from hoggin.studies.sweep.document import Sweep
from hoggin.studies.sweep.sweep import SweepQuestion, prepared, swept
from hoggin.world import World

QUARRY = Path(__file__).parents[3] / "examples" / "quarry.hog"
LOOP = (
    "  crusher cone: cones.high_speed(head: 1300 mm)"
    " {{ duty secondary; chamber coarse; css {css} }}\n"
    "  screen top: screens.inclined(width: 2.1 m, length: 6 m) {{ deck top {deck} }}\n"
    "  rock -> top\n  top.over -> cone -> top\n  top.under -> product fine\n{more}"
)


def loop(css: str = "20 mm", deck: str = "25 mm", more: str = "", above: str = "") -> str:
    return small_plant(LOOP.format(css=css, deck=deck, more=more), above)


def sweep_of(file: Path, *over: str, read: tuple[str, ...] = ()) -> Sweep:
    world = World(file)
    question = SweepQuestion(world, check(world, world.open_main()), over, read)
    ready = prepared(question)
    return swept(question, ready, Here(1), Progress(ready.cases, sys.stderr, terminal=False))


def sweep_text(folder: Path, text: str, *over: str, read: tuple[str, ...] = ()) -> Sweep:
    file = folder / "plant.hog"
    file.write_text(text)
    return sweep_of(file, *over, read=read)


def values(sweep: Sweep, name: str) -> list[float | None]:
    return list(next(output.values for output in sweep.outputs if output.name == name))


@pytest.mark.slow
def test_a_sweep_over_a_count_is_over_whole_machines(tmp_path: Path) -> None:
    """One, two and three cones: each takes its part. Emptier chambers break coarser, so more
    recirculates."""
    for over in ("cone.count 1, 2, 3", "cone.count 1 to 3 in 3"):
        found = sweep_text(tmp_path, loop(), over, read=("cone.load", "cone.rate"))
        loads, rates = (values(found, name) for name in ("cone.load", "cone.rate"))
        assert all(rate is not None for rate in rates) and rates == sorted(rates)  # type: ignore[type-var]
        each = [load * n / rate for n, load, rate in zip((1, 2, 3), loads, rates, strict=True)]  # type: ignore[operator]
        assert each == pytest.approx([each[0]] * 3)
    found = sweep_text(tmp_path, loop(), "cone.count 1 to 2 in 3")
    assert [bool(reason) for reason in found.refused] == [False, True, False], (
        "there is no half cone"
    )


@pytest.mark.slow
def test_every_step_is_the_plant_with_that_setting_written_in_it() -> None:
    """Each on a grid of its own here. The sweep's classes are those of its starting value, which is
    the middle one: there the two agree to the solver's end. Elsewhere other classes change the
    results, by a tenth of the 0.1 % that docs/methods.md states."""
    read = ("chips.rate", "secondary.load", "tertiary.recirculating_load", "plant.power")
    found = sweep_of(QUARRY, "secondary.css 36 mm, 41 mm, 44.5 mm", read=read)
    text = QUARRY.read_text()
    scale = {"secondary.load": 100, "tertiary.recirculating_load": 100}
    for place, css in enumerate(("36", "41", "44.5")):
        written = text.replace("css     40 mm", f"css     {css} mm")
        plant = check(World(QUARRY), Source("examples/quarry.hog", written)).plant
        assert plant is not None
        readings = Readings(Rated(plant, solve(lower(plant))))
        for name in read:
            subject, _, quantity = name.rpartition(".")
            subject = "" if subject == "plant" else subject
            alone = float(readings.read(Reading(subject=subject, quantity=quantity))[0])
            told = values(found, name)[place]
            same_classes = css == "41"
            expected = alone * scale.get(name, 1)
            assert told == pytest.approx(expected, rel=1e-8 if same_classes else 1e-4)


def test_where_a_rate_is_met_is_found_between_the_steps(tmp_path: Path) -> None:
    """a.rate is 200 t/h times the share: at least 41 t/h from 20.5 %, at most 69 t/h to 34.5 %."""
    text = splitter_plant(requires="  require a.rate within 41 t/h to 69 t/h")
    found = sweep_text(tmp_path, text, "s.cut 10 % to 50 % in 9")
    assert values(found, "a.rate") == pytest.approx([20, 30, 40, 50, 60, 70, 80, 90, 100])
    ((low, high),) = found.feasible
    assert (low, high) == pytest.approx((20.5, 34.5))
    assert found.all_met == (False, False, False, True, True, False, False, False, False)
    (limit,) = next(output.limits for output in found.outputs if output.name == "a.rate")
    assert (limit.low, limit.high) == (41.0, 69.0)


def test_a_grid_runs_over_the_second_setting_fastest(tmp_path: Path) -> None:
    found = sweep_text(
        tmp_path, splitter_plant(), "rock.rate 100 t/h to 300 t/h in 3", "s.cut 10 % to 20 % in 2"
    )
    assert values(found, "a.rate") == pytest.approx([10, 20, 20, 40, 30, 60])


@pytest.mark.parametrize(
    ("text", "over", "expected"),
    [
        (splitter_plant(share="cut", above="let cut = 30 %"), "cut 10 %, 20 %", [20, 40]),
        (splitter_plant(share="free(10 % to 40 %)"), "s.cut in 4", [20, 40, 60, 80]),
        (splitter_plant(share="any(10 %, 40 %)"), "s.cut", [20, 80]),
        (splitter_plant(share="normal(20 %, 5 %)"), "s.cut in 3", [20, 40, 60]),
        (splitter_plant(), "rock.rate 100 stph, 200 stph", [27.2155422, 54.4310844]),
    ],
)
def test_what_can_be_swept(tmp_path: Path, text: str, over: str, expected: list[float]) -> None:
    """30 % of 100 short tons of 0.90718474 t; the others by hand. A normal runs two deviations
    either side of its mean."""
    assert values(sweep_text(tmp_path, text, over), "a.rate") == pytest.approx(expected)


@pytest.mark.slow
def test_a_deck_a_material_and_a_default_setting_can_be_swept(tmp_path: Path) -> None:
    cut = sweep_text(tmp_path, loop(), "top.top 20 mm, 25 mm, 31.5 mm", read=("fine.p80",))
    p80 = [value or 0.0 for value in values(cut, "fine.p80")]
    assert p80[0] < p80[1] < p80[2], "a coarser deck lets coarser rock through"
    over = "granite.work_index 10 kWh/t, 20 kWh/t, 30 kWh/t"
    # Harder rock usually breaks coarser; here it does not, so the flows are those of every step.
    same = loop(
        above="class crusher ours: cones.high_speed { model breakage: matrix { rock_exponent 0 } }"
    )
    same = same.replace("crusher cone: cones.high_speed", "crusher cone: ours")
    power = values(sweep_text(tmp_path, same, over, read=("cone.power",)), "cone.power")
    low, middle, high = (value or 0.0 for value in power)
    assert 0 < middle - low == pytest.approx(high - middle), "Bond's power goes with the work index"
    slope = sweep_text(tmp_path, loop(), "top.slope 15 deg, 25 deg", read=("top.top.cut_size",))
    steep, flat = reversed(values(slope, "top.top.cut_size"))
    assert steep is not None and flat is not None and steep < flat, "a steeper deck cuts finer"


def test_a_parameter_of_a_section_can_be_swept(tmp_path: Path) -> None:
    text = small_plant(
        "  section one: half(cut: 30 %)\n  rock -> one.rock\n"
        "  one.a -> product a\n  one.b -> product b\n",
        "template half(cut: % = 20 %) {\n  in rock\n  out a\n  out b\n"
        "  splitter s { out x cut; out y rest }\n  rock -> s\n  s.x -> a\n  s.y -> b\n}",
    )
    for written in (text, text.replace("(cut: 30 %)", "()")):
        found = sweep_text(tmp_path, written, "one.cut 10 %, 25 %")
        assert values(found, "a.rate") == pytest.approx([20, 50])


def test_a_coefficient_stays_in_the_range_of_its_model(tmp_path: Path) -> None:
    """`karra` takes a blinding of 0 % to 90 %, whatever the setting of a class may be."""
    text = small_plant(
        "  screen one: ours(width: 2.1 m, length: 6 m) { blind 20 %; deck top 20 mm }\n"
        "  rock -> one\n  one.top.over -> product a\n  one.under -> product b\n",
        "class screen ours: screens.inclined {\n"
        "  setting blind: 0 % to 200 %\n  model partition: karra { blinding blind }\n}",
    )
    open_ = text.replace("blind 20 %", "blind free(20 % to 30 %)")
    found = sweep_text(tmp_path, open_, "one.blind 50 % to 150 % in 3")
    assert found.refused == (
        "",
        *(
            f"`one.blinding` is {blind} % and must be from 0 % to 90 %, the range of its model"
            for blind in (100, 150)
        ),
    )
    sweep_text(tmp_path, open_, "one.blind 50 % to 90 % in 3")


def test_a_step_that_can_not_settle_is_told_and_spoils_no_other(tmp_path: Path) -> None:
    found = sweep_text(
        tmp_path,
        loop("12 mm", "12 mm", "  require rock.rate >= 1 t/h").replace("200 t/h", "40 t/h"),
        "cone.css 12 mm, 50 mm, 14 mm",
    )
    assert [bool(reason) for reason in found.refused] == [False, True, False]
    assert "cone" in found.refused[1]
    rates = values(found, "fine.rate")
    assert rates[0] == pytest.approx(40) and rates[1] is None
    assert found.all_met == (True, False, True)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("over", "fault"),
    [
        ("cone.cs 10 mm, 12 mm", "E0403"),
        ("cone.css 1 mm to 2 mm", "E0404"),
        ("cone.css 1 %, 2 %", "E0303"),
    ],
)
def test_what_the_class_does_not_allow_is_a_fault_of_the_source(
    tmp_path: Path, over: str, fault: str
) -> None:
    with pytest.raises(SourceError) as raised:
        sweep_text(tmp_path, loop(), over)
    assert fault in [diagnostic.code for diagnostic in raised.value.diagnostics]


@pytest.mark.parametrize(
    ("over", "sentence"),
    [
        ("con.css 10 mm, 12 mm", "has no `con.css`. did you mean `cone.css`?"),
        ("cone.css", "has no values"),
        ("cone.css 10 mm", "is not a range"),
        ("cone.css 20 mm to 10 mm", "write the lower end of the range first"),
        ("cone.css 10 mm, 10 mm", "twice"),
        ("cone.css 10 mm to 20 mm in 1", "from 2 to 1000 steps"),
        ("cone.css 10 mm, 20 %", "same kind of unit"),
        ("cone.css 10 apples to 12 apples", "not a value|not a quantity"),
        ("cone.css 10 mm, 12 mm in 4", "leave out `in`"),
        ("", "can't be read"),
    ],
)
def test_what_can_not_be_read_is_a_plain_sentence(tmp_path: Path, over: str, sentence: str) -> None:
    with pytest.raises((HogginError, SourceError), match=sentence):
        sweep_text(tmp_path, loop(), over)


@pytest.mark.slow
def test_a_number_left_open_is_held_to_its_class(tmp_path: Path) -> None:
    with pytest.raises(HogginError, match=r"`cone.css` is 1 mm and must be from .*, its class.s"):
        sweep_text(tmp_path, loop("free(15 mm to 25 mm)"), "cone.css 1 mm to 2 mm")
    with pytest.raises(HogginError, match=r"`cone\.css` is a length, not"):
        sweep_text(tmp_path, loop("free(15 mm to 25 mm)"), "cone.css 2 % to 25 %")


@pytest.mark.parametrize("read", ["fine.colour", "nothing.rate", "fine.rate >= 3", "fine.rate +"])
def test_a_result_that_is_none_is_refused(tmp_path: Path, read: str) -> None:
    with pytest.raises((HogginError, SourceError)):
        sweep_text(tmp_path, loop(), "cone.css 20 mm, 22 mm", read=(read,))


def test_results_are_read_in_the_units_of_the_trade_and_shares_in_per_cent(tmp_path: Path) -> None:
    read = ("a.rate", "a.share", "a.rate / b.rate", "plant.energy", "a.passing(63 mm)")
    found = sweep_text(tmp_path, splitter_plant(), "s.cut 20 %, 40 %", read=read)
    assert [(o.name, o.unit) for o in found.outputs] == [
        ("a.rate", "t/h"),
        ("a.share", "%"),
        ("a.rate / b.rate", ""),
        ("plant.energy", "kWh/t"),
        ("a.passing(63 mm)", "%"),
    ]
    assert values(found, "a.share") == pytest.approx([20, 40])
    assert values(found, "a.rate / b.rate") == pytest.approx([0.25, 2 / 3])
    assert values(found, "a.passing(63 mm)") == pytest.approx([50.0, 50.0], abs=0.05)


def test_numbers_are_finite_or_none(tmp_path: Path) -> None:
    found = sweep_text(tmp_path, splitter_plant(), "s.cut 0 %, 40 %", read=("a.rate", "a.p80"))
    assert values(found, "a.p80")[0] is None
    assert all(np.isfinite(v) for output in found.outputs for v in output.values if v is not None)


def test_results_are_told_in_the_order_they_are_asked_for(tmp_path: Path) -> None:
    """Whatever the order in which rock reaches what they are about."""
    read = ("plant.rate", "b.rate", "a.rate", "rock.rate")
    found = sweep_text(tmp_path, splitter_plant(), "s.cut 20 %, 40 %", read=read)
    assert [output.name for output in found.outputs] == list(read)
    assert values(found, "b.rate") == pytest.approx([160, 120])
    assert values(found, "a.rate") == pytest.approx([40, 80])


def test_a_result_is_told_in_the_unit_it_is_declared_in(tmp_path: Path) -> None:
    """40 t/h and 80 t/h for 1,000 hours are 40,000 t and 80,000 t a year."""
    text = splitter_plant().replace(
        "{\n  sieves", "{\n  operation { hours_per_year 1000 h }\n  sieves", 1
    )
    found = sweep_text(tmp_path, text, "s.cut 20 %, 40 %", read=("a.per_year",))
    assert [(o.name, o.unit) for o in found.outputs] == [("a.per_year", "t/y")]
    assert values(found, "a.per_year") == pytest.approx([40_000, 80_000])


PRICED = """
use std.cones
material granite {
  solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t; abrasion_index 0.3
}
plant "p" {
  currency EUR
  sieves { 63 mm, 20 mm, 5 mm }
  feed dug { rock granite; rate 90 t/h; passing { 60 mm: 100 %, 5 mm: 9 % } }
  crusher c: cones.high_speed(head: 900 mm) { duty tertiary; css 12 mm; RUN }
  dug -> c -> product chips
}
"""


@pytest.mark.parametrize(
    "run", ["", "operation { pace 110 % }", "operation { liner_price 3 EUR/kg }"]
)
def test_a_price_of_the_operation_is_swept_over_and_costs_are_in_the_plants_currency(
    tmp_path: Path, run: str
) -> None:
    """The cost is in proportion to the price, whether the machine states one already or not."""
    over = "c.operation.liner_price 2 EUR/kg, 4 EUR/kg"
    text = PRICED.replace("RUN", run)
    found = sweep_text(tmp_path, text, over, read=("c.liner_cost",))
    assert [(o.name, o.unit) for o in found.outputs] == [("c.liner_cost", "EUR/t")]
    low, high = values(found, "c.liner_cost")
    assert low is not None and high == pytest.approx(2 * low)


_GATE = """  splitter gate { out left; out right; position left }
  splitter parted { out a 30 %; out b rest }
  rock -> gate
  gate.left  -> product left
  gate.right -> parted
  parted.a   -> product a
  parted.b   -> product b
"""


def test_words_are_swept_over_in_the_order_given(tmp_path: Path) -> None:
    """200 t/h goes one way or the other."""
    found = sweep_text(tmp_path, small_plant(_GATE), "gate.position right, left", read=("a.rate",))
    assert found.settings[0].words == ("right", "left")
    assert values(found, "a.rate") == pytest.approx([60.0, 0.0])


@pytest.mark.parametrize("words_first", [True, False])
def test_words_and_numbers_make_a_grid(tmp_path: Path, words_first: bool) -> None:
    """a.rate is 200 t/h times the share, if the gate sends the rock there; the last setting's
    values run fastest."""
    over = ["gate.position left, right", "parted.a 20 %, 30 %, 40 %"]
    expected = [0.0, 0.0, 0.0, 40.0, 60.0, 80.0]
    if not words_first:
        over.reverse()
        expected = [0.0, 40.0, 0.0, 60.0, 0.0, 80.0]
    found = sweep_text(tmp_path, small_plant(_GATE), *over, read=("a.rate",))
    assert values(found, "a.rate") == pytest.approx(expected)


@pytest.mark.parametrize(
    ("over", "said"),
    [
        (("gate.position left, left",), "the same word is listed twice"),
        (("gate.position left, right", "gate.position right, left"), "is given twice|words of one"),
        (("gte.position left, right",), "has no `gte.position`"),
    ],
)
def test_wrong_lists_of_words_are_sentences(
    tmp_path: Path, over: tuple[str, ...], said: str
) -> None:
    with pytest.raises(HogginError, match=said):
        sweep_text(tmp_path, small_plant(_GATE), *over)


def test_a_word_that_the_setting_does_not_take_is_reported(tmp_path: Path) -> None:
    with pytest.raises(SourceError):
        sweep_text(tmp_path, small_plant(_GATE), "gate.position left, middle")
