"""What a splitter by tonnages and a drawn store report: worked by hand, 200 t/h fed."""

from __future__ import annotations

import pytest

from hoggin.report.drawing.stream_table import all_streams, stream_table
from hoggin.schema.results import MachineResult, Results
from tests.rating.conftest import Rate

HEAD = """
plant "orders" {
  sieves sieves.quarry
  feed f { rock rock; rate 200 t/h; passing { 250 mm: 100 %, 10 mm: 5 % } }
"""


def ordered(town: str, port: str, more: str = "") -> str:
    return f"""{HEAD}
  splitter book {{ out town {town}; out port {port}; out surplus rest }}
  f -> book
  book.town -> product base
  book.port -> product ballast
  book.surplus -> product pile
  {more}
}}
"""


def drawn(draw: str) -> str:
    return f"""{HEAD}
  bin store {{ live 300 t; draw {draw} }}
  f -> store
  store.draw -> product base
  store.overflow -> product pile
}}
"""


def machine(results: Results) -> MachineResult:
    assert results.machines[0].demand is not None
    return results.machines[0]


def rates(results: Results) -> dict[str, float]:
    return {product.tag: product.rate_t_h for product in results.products}


def test_orders_that_arrive_are_ok_and_read(rate_plant: Rate) -> None:
    more = "require book.delivered >= 150 t/h\n  require book.shortfall <= 0 t/h"
    results = rate_plant(ordered("90 t/h", "60 t/h", more))
    found = machine(results)
    assert rates(results) == pytest.approx({"base": 90.0, "ballast": 60.0, "pile": 50.0})
    assert found.demand is not None
    assert (found.demand.asked_t_h, found.demand.delivered_t_h) == (150.0, 150.0)
    assert found.demand.shortfall_t_h == 0.0
    assert [check.verdict for check in found.checks] == ["ok"]
    assert all(requirement.met for requirement in results.requirements)
    assert not results.warnings


def test_orders_of_more_than_arrives_are_over_and_never_clear(rate_plant: Rate) -> None:
    """By hand: 300 t/h asked of 200 t/h; two thirds of each order arrive."""
    results = rate_plant(ordered("120 t/h", "180 t/h", "require book.shortfall <= 0 t/h"))
    found = machine(results)
    assert rates(results) == pytest.approx({"base": 80.0, "ballast": 120.0, "pile": 0.0})
    assert found.demand is not None
    assert found.demand.shortfall_t_h == pytest.approx(100.0)
    (check,) = found.checks
    assert (check.verdict, check.code) == ("over", "W0530")
    assert (check.value, check.limit) == pytest.approx((300.0, 200.0))
    assert {warning.code for warning in results.warnings} == {"W0530", "W0511"}
    assert not results.requirements[0].met


def test_an_order_of_all_that_arrives_is_met(rate_plant: Rate) -> None:
    results = rate_plant(ordered("150 t/h", "50 t/h"))
    assert not results.warnings
    assert rates(results)["pile"] == 0.0


def test_short_tons_are_asked_in_short_tons(rate_plant: Rate) -> None:
    """A short ton is 2000 lb of 0.45359237 kg (international pound, 1959)."""
    results = rate_plant(ordered("100 stph", "0 t/h"))
    assert rates(results)["base"] == pytest.approx(90.718474)


@pytest.mark.parametrize(
    ("draw", "base", "lasts"), [("120 t/h", 120.0, 2.5), ("400 t/h", 200.0, 1.5)]
)
def test_a_store_gives_at_most_its_draw_and_lasts_at_it(
    rate_plant: Rate, draw: str, base: float, lasts: float
) -> None:
    """By hand: 300 t live over what is drawn. A draw that is not reached is no fault."""
    results = rate_plant(drawn(draw))
    found = machine(results)
    assert rates(results) == pytest.approx({"base": base, "pile": 200.0 - base})
    assert found.storage is not None
    assert found.storage.surge_time_h == pytest.approx(lasts)
    assert not results.warnings


def test_a_store_that_is_not_drawn_lasts_no_time_that_is_known(rate_plant: Rate) -> None:
    found = machine(rate_plant(drawn("0 t/h"))).storage
    assert found is not None and found.surge_time_h is None


def test_the_flowsheet_shows_what_is_asked(rate_plant: Rate) -> None:
    results = rate_plant(ordered("120 t/h", "180 t/h"))
    table = stream_table(results, all_streams(results))
    headings = [column.full_heading for column in table.columns]
    source, asked = headings.index("from"), headings.index("asked (t/h)")
    shown = {row[source]: table.columns[asked].text(row[asked]) for row in table.rows}
    assert (shown["book.town"], shown["book.port"]) == ("120.0", "180.0")
    assert shown["book.surplus"] == "-"


def test_a_gate_sends_all_one_way_and_shows_its_position(rate_plant: Rate) -> None:
    text = f"""{HEAD}
  splitter gate {{ out yard; out mill; position mill }}
  f -> gate
  gate.yard -> product raw
  gate.mill -> product base
}}
"""
    results = rate_plant(text)
    assert rates(results) == pytest.approx({"raw": 0.0, "base": 200.0})
    assert [(s.name, s.text) for s in results.machines[0].settings] == [("position", "mill")]
