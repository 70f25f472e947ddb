"""What follows from a change: told from two balances, weighed and ranked. Expected values are read
from the two results by hand here, and from a plant whose balance is known without a solver."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.check.reading import plant_of
from tests.revise.compare.test_changes import QUARRY
from tests.revise.compare.test_changes import plant_of as quarry_of

from hoggin.balance import balance
from hoggin.rating.rate import rate
from hoggin.report.comparison import _worst_sieves, document
from hoggin.report.text import terminal
from hoggin.revise.compare import Comparison, Side, compare
from hoggin.revise.compare.comparison import GROUPS
from hoggin.schema.plant import Plant
from hoggin.schema.results import Results

GRAVEL = Path(__file__).parents[3] / "examples/gravel.hog"

SPLIT = """
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
plant "split" {
  sieves { 63 mm, 4 mm }
  feed f { rock rock; rate 100 t/h; passing { 63 mm: 100 %, 4 mm: 10 % } }
  splitter s { out a 30 %; out b rest }
  f -> s
  s.a -> product a
  s.b -> product b
  require a.rate >= 25 t/h
}
"""


def side(name: str, plant: Plant) -> Side:
    return Side(name, plant, rate(plant, balance(plant), f"{name}.hog"))


def of(before: str, after: str, threshold: float = 0.0) -> Comparison:
    return compare(side("a", plant_of(before)), side("b", plant_of(after)), threshold)


def test_a_splitter_that_shares_otherwise_moves_its_rates_and_nothing_else() -> None:
    # 100 t/h: 30 % and 70 %, then 20 % and 80 %: by hand.
    told = of(SPLIT, SPLIT.replace("a 30 %", "a 20 %")).consequences
    rates = {c.subject: c for c in told if c.what == "rate"}
    assert {subject: c.weight for subject, c in rates.items()} == {
        "product a": pytest.approx(10.0),
        "product b": pytest.approx(10.0),
    }
    assert (rates["product a"].before, rates["product a"].after) == pytest.approx((30.0, 20.0))
    assert (rates["product b"].before, rates["product b"].after) == pytest.approx((70.0, 80.0))
    # The stream to a product is the same fact. A splitter is no transfer, so it raises no dust.
    assert rates["product b"].also == ("stream s.b -> b: rate",)
    assert {c.what for c in told if "dust" not in c.what} == {"rate", "share of feed"}


def test_a_requirement_that_is_no_longer_met_turns_first() -> None:
    (found,) = of(SPLIT, SPLIT.replace("a 30 %", "a 20 %")).requirements
    assert found.text == "a.rate >= 25 t/h" and found.turned
    assert found.before is not None and found.after is not None
    was, now = found.before, found.after
    assert (was.met, was.value, was.margin[:6]) == (True, "30 t/h", "+5 t/h")
    assert (now.met, now.value, now.margin[:6]) == (False, "20 t/h", "-5 t/h")


def test_a_requirement_with_another_limit_is_still_the_same_one() -> None:
    after = SPLIT.replace(">= 25 t/h", ">= 35 t/h")
    found = of(SPLIT, after)
    assert [r.turned for r in found.requirements] == [True]
    assert found.consequences == () and found.turns == ()


def test_what_is_lighter_than_the_threshold_is_counted_and_not_told() -> None:
    after = SPLIT.replace("a 30 %", "a 29.5 %")
    everything = of(SPLIT, after)
    rates = [c for c in everything.consequences if c.what == "rate"]
    assert {round(c.weight, 9) for c in rates} == {0.5}
    most = of(SPLIT, after, threshold=3.0)
    assert most.consequences == tuple(rates)  # a product's rate is always listed
    assert most.below_threshold == len(everything.consequences) - len(rates)


def test_a_stream_that_is_only_in_one_plant_comes_from_nothing() -> None:
    after = SPLIT.replace("out b rest", "out b 60 %; out c rest").replace(
        "s.b ->", "s.c -> product c\n  s.b ->"
    )
    told = {c.subject: c for c in of(SPLIT, after).consequences if c.what == "rate"}
    assert told["product c"].before is None
    assert told["product c"].after == pytest.approx(10.0)
    assert told["stream s.c -> c"].weight == pytest.approx(10.0)
    assert told["stream s.c -> c"].after == pytest.approx(10.0)


def test_a_plant_with_itself_differs_in_nothing() -> None:
    assert of(SPLIT, SPLIT).same


def test_a_renamed_machine_has_no_consequences() -> None:
    after = SPLIT.replace("splitter s ", "splitter shares ").replace("f -> s", "f -> shares")
    after = after.replace("s.a", "shares.a").replace("s.b", "shares.b")
    found = of(SPLIT, after)
    assert dict(found.renamed) == {"s": "shares"}
    assert found.consequences == ()
    assert found.turns == ()


@pytest.mark.slow
def test_every_stream_and_machine_that_differs_is_told_heaviest_first() -> None:
    before = side("a", quarry_of(QUARRY))
    after = side("b", quarry_of(QUARRY.replace("css     40 mm", "css 34 mm")))
    found = compare(before, after, 0.0)
    for group in GROUPS:
        weights = [c.weight for c in found.consequences if c.group == group]
        # Weights are told apart to nine places.
        assert weights and weights == pytest.approx(sorted(weights, reverse=True), abs=1e-9)
    assert before.results is not None and after.results is not None
    told = {(c.subject, c.what): c for c in found.consequences}
    for old, new in zip(before.results.streams, after.results.streams, strict=True):
        if abs(old.rate_t_h - new.rate_t_h) > 1e-6:
            where = f"stream {new.name}: rate"
            c = told.get((f"stream {new.name}", "rate")) or next(
                c for c in found.consequences if where in c.also
            )
            assert (c.before, c.after) == (old.rate_t_h, new.rate_t_h)
            assert c.weight == pytest.approx(abs(old.rate_t_h - new.rate_t_h) / 4.50)
    for was, now in zip(before.results.machines, after.results.machines, strict=True):
        if was.load is not None and now.load is not None and abs(was.load - now.load) > 1e-6:
            c = told[f"{now.kind} {now.tag}", "load"]
            assert c.before == pytest.approx(100 * was.load)


@pytest.mark.slow
def test_the_key_sieve_is_the_one_that_differs_most() -> None:
    before = side("a", quarry_of(QUARRY))
    after = side("b", quarry_of(QUARRY.replace("setting = 15 mm", "setting = 12 mm")))
    assert before.results is not None and after.results is not None
    shown = _worst_sieves(compare(before, after, 0.0).consequences)
    told = {c.subject: c for c in shown if c.what.startswith("passing")}
    for old, new in zip(before.results.products, after.results.products, strict=True):
        gaps = [abs(a - b) for a, b in zip(old.passing, new.passing, strict=True)]
        if max(gaps) > 1e-6:
            size = before.results.sieves_mm[gaps.index(max(gaps))]
            c = told[f"product {new.tag}"]
            assert c.what == f"passing {size:.5g} mm"
            assert c.weight == pytest.approx(100 * max(gaps))


def test_a_side_that_can_not_settle_still_tells_what_was_changed() -> None:
    plant = plant_of(SPLIT.replace("a 30 %", "a 20 %"))
    found = compare(
        side("a", plant_of(SPLIT)), Side("b", plant, None, unsettled="nothing leaves the loop"), 1.0
    )
    assert [c.what for c in found.changes] == ["share a", "share b"]
    assert found.consequences == ()
    assert found.after.unsettled == "nothing leaves the loop"


def test_the_document_reads_back() -> None:
    found = of(SPLIT, SPLIT.replace("a 30 %", "a 20 %"))
    assert Comparison.model_validate_json(found.model_dump_json()) == found


def test_other_results_documents_compare_by_what_they_hold() -> None:
    before = side("a", plant_of(SPLIT))
    assert before.results is not None
    results = Results.model_validate_json(before.results.model_dump_json())
    assert results.plant is not None
    again = Side("a", results.plant, results)
    assert compare(before, again, 0.0).same


PRICED = """
use std.cones
material rock {{
  solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t; abrasion_index 0.4
}}
plant "priced" {{
  sieves {{ 63 mm, 4 mm }}
  currency {0}
  feed f {{ rock rock; rate 100 t/h; passing {{ 63 mm: 100 %, 4 mm: 10 % }} }}
  crusher cone: cones.high_speed(head: 1300 mm) {{
    duty tertiary; chamber medium; css 20 mm; operation {{ liner_price 4 {0}/kg }}
  }}
  f -> cone -> product a
}}
"""


def test_another_currency_is_another_unit_of_every_result_in_money() -> None:
    euros = side("a", plant_of(PRICED.format("EUR")))
    assert euros.results is not None
    assert euros.results.machines[0].wear is not None  # so that there is something in money
    found = compare(euros, side("b", plant_of(PRICED.format("USD"))))
    assert [(c.what, c.before, c.after) for c in found.changes] == [("currency", "EUR", "USD")]
    assert not found.same and not found.consequences
    assert found.other_currency > 0
    said = terminal(document(found))
    assert f"{found.other_currency} results in money are in another currency" in said
    assert "No other result differs." in said


def test_the_same_currency_is_not_told() -> None:
    found = of(PRICED.format("EUR"), PRICED.format("EUR").replace("css 20", "css 21"))
    assert found.other_currency == 0


def test_what_an_edit_does_not_reach_is_not_listed_for_its_last_digits() -> None:
    """The jaw is upstream of the cone. Its load differs only as the size classes do."""
    text = GRAVEL.read_text(encoding="utf-8")
    before, after = side("a", plant_of(text)), side("b", plant_of(text.replace("13 mm", "15 mm")))
    loads = [_load(one, "jaw") for one in (before, after)]
    assert loads[0] != loads[1] == pytest.approx(loads[0], rel=1e-4)
    told = compare(before, after)
    assert {change.text for change in told.requirements} == {"cone.load <= 100 %"}
    assert all(turn.before_text != turn.after_text for turn in told.turns)
    assert "crusher jaw" not in {turn.subject for turn in told.turns}


def _load(one: Side, tag: str) -> float | None:
    assert one.results is not None
    (found,) = (machine.load for machine in one.results.machines if machine.tag == tag)
    return found
