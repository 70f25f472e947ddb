"""Currency, liner prices and the ratio of elongation: what is read and what is refused."""

from __future__ import annotations

import pytest

from tests.check.reading import MATERIAL, check_text, plant_of

TEXT = """
use std.cones
%MATERIAL%
plant "p" {
  sieves { 63 mm, 20 mm, 5 mm }
  %MONEY%
  feed dug { rock granite; rate 90 t/h; passing { 60 mm: 100 %, 5 mm: 9 % } }
  crusher c: cones.high_speed(head: 900 mm) { duty tertiary; css 12 mm; %PRICE% }
  dug -> c -> product chips
  %MORE%
}
"""


def text(money: str = "currency EUR", price: str = "", more: str = "") -> str:
    words = {"%MATERIAL%": MATERIAL, "%MONEY%": money, "%PRICE%": price, "%MORE%": more}
    found = TEXT
    for mark, word in words.items():
        found = found.replace(mark, word)
    return found


def found_in(money: str = "currency EUR", price: str = "", more: str = "") -> list[str]:
    return [found.code for found in check_text(text(money, price, more)).diagnostics]


@pytest.mark.parametrize(
    ("price", "a_tonne"),
    [
        ("4.2 EUR/kg", 4200.0),
        ("4200 EUR/t", 4200.0),
        # NIST SP 811: a pound is 0.45359237 kg, a short ton 2000 pounds, both exactly.
        ("1 EUR/lb", 1000 / 0.45359237),
        ("907.18474 EUR/st", 1000.0),
    ],
)
def test_a_price_is_a_number_per_mass_in_the_masses_of_the_trade(
    price: str, a_tonne: float
) -> None:
    plant = plant_of(text(price=f"operation {{ liner_price {price} }}"))
    assert plant.currency == "EUR"
    assert plant.machines[0].facts["liner_price_money_t"] == pytest.approx(a_tonne)


@pytest.mark.parametrize(
    ("money", "price", "codes"),
    [
        ("", "operation { liner_price 4 EUR/kg }", ["E0418"]),
        ("currency EUR", "", ["W0520"]),
        ("", "", []),
        ("currency EUR", "operation { liner_price 0 EUR/kg }", []),
        ("currency EUR", "operation { liner_price -1 EUR/kg }", ["E0306"]),
        ("currency EUR", "operation { liner_price 4 }", ["E0303"]),
        ("currency EUR", "operation { liner_price 4 kg }", ["E0302"]),
        ("currency EUR", "operation { liner_price }", ["E0403"]),
        ('currency "EUR"', "operation { liner_price 4 EUR/kg }", ["E0401"]),
        ("currency euro", "operation { liner_price 4 EUR/kg }", ["E0401"]),
        ("currency TPH", "operation { liner_price 4 EUR/kg }", ["E0401"]),
        ("currency 5", "operation { liner_price 4 EUR/kg }", ["E0401"]),
        ("currency", "operation { liner_price 4 EUR/kg }", ["E0401"]),
        ("currency EUR", "operation { liner_price 4 USD/kg }", ["E0418"]),
        ("currency USD", "operation { liner_price 4 USD/kg }", []),
    ],
)
def test_prices_and_currencies_that_do_not_fit_are_reported(
    money: str, price: str, codes: list[str]
) -> None:
    assert sorted(found_in(money, price)) == sorted(codes)


def test_a_cost_can_be_asked_only_where_there_is_a_price() -> None:
    asked = "require c.liner_cost <= 0.08 EUR/t"
    assert found_in(price="operation { liner_price 4.2 EUR/kg }", more=asked) == []
    assert found_in(money="", more=asked) == ["E0402", "E0418"]


def test_a_class_may_state_the_price_and_the_machine_goes_before_it() -> None:
    ours = """
class crusher ours(head: mm) {
  setting css: 8 mm to 40 mm
  liner_price 3 EUR/kg
  model breakage: setting_curve { css css; passing_css 60 % }
  model capacity: rated { rated 180 t/h }
  model power: bond { efficiency 80 % }
}
"""

    def price(own: str) -> float:
        line = "cones.high_speed(head: 900 mm) { duty tertiary; css 12 mm; "
        plain = text(price=own).replace(line, "ours(head: 900 mm) { css 12 mm; ")
        return (
            plant_of(ours + plain.replace("use std.cones", ""))
            .machines[0]
            .facts["liner_price_money_t"]
        )

    assert price("") == pytest.approx(3000.0)
    assert price("operation { liner_price 5 EUR/kg }") == pytest.approx(5000.0)


@pytest.mark.parametrize(
    ("line", "codes"),
    [
        ("elongation_ratio 3", []),
        ("elongation_ratio 1", ["E0306"]),
        ("elongation_ratio 3 mm", ["E0302"]),
        ("elongation_ratio", ["E0403"]),
    ],
)
def test_the_ratio_of_elongation_is_a_number_above_one(line: str, codes: list[str]) -> None:
    assert found_in(money=line) == codes


OURS = """
class crusher ours(head: mm) {
  setting css: 8 mm to 40 mm
  liner_price %s USD/kg
  model breakage: setting_curve { css css; passing_css 60 %% }
  model capacity: rated { rated 180 t/h }
  model power: bond { efficiency 80 %% }
}
"""
_LINE = "cones.high_speed(head: 900 mm) { duty tertiary; css 12 mm; "


def of_ours(own: str, price: str = "4", above: str = "") -> list[str]:
    """What is reported of a plant in euros whose crusher's class states a price in dollars."""
    plain = text(price=own).replace(_LINE, "ours(head: 900 mm) { css 12 mm; ")
    plain = OURS % price + above + plain.replace("use std.cones", "")
    return [found.code for found in check_text(plain).diagnostics]


def test_a_class_in_another_currency_needs_a_price_of_the_machines_own() -> None:
    assert of_ours("") == ["E0418"]
    assert of_ours("operation { liner_price 5 EUR/kg }") == []


def test_a_price_by_name_is_held_against_the_currency_wherever_it_stands() -> None:
    """The machine's own price goes before the class's, whose `let` then counts for nothing: but it
    does where another machine takes it."""
    let = "let listed = 4 USD/kg\n"
    own = "operation { liner_price 5 EUR/kg }"
    unused = of_ours(own, "4.5", let)  # but of the plant's own file
    assert unused == ["W0101", "E0418"]
    two = OURS.replace("%s USD/kg", "listed") % () + let + text(price=own)
    two = two.replace("use std.cones", "").replace(_LINE, "ours(head: 900 mm) { css 12 mm; ")
    assert [f.code for f in check_text(two).diagnostics] == []
    two = two.replace(
        "dug -> c ->", "crusher d: ours(head: 900 mm) { css 12 mm }\n  dug -> c -> d ->"
    )
    assert [f.code for f in check_text(two).diagnostics] == ["E0418"]


def test_a_library_states_no_currency_and_may_hold_prices_in_any() -> None:
    lets = "let power = 0.15 EUR/kWh\nlet liners = 4 USD/kg\n"
    assert [f.code for f in check_text(lets + OURS % "4").diagnostics] == []


def test_a_template_takes_prices_in_the_plants_currency() -> None:
    line = "template line(price: %s) {\n  in rock\n  out base\n  rock -> base\n}\n"
    more = "section s: line(price: 3 EUR/t)\n  chips_bin -> s -> product more"
    for unit, codes in (("EUR/t", []), ("USD/t", ["E0418"])):
        plain = line % unit + text(price="operation { liner_price 4 EUR/kg }", more=more)
        plain = plain.replace("dug -> c -> product chips", "dug -> c -> s -> product chips")
        plain = plain.replace("\n  chips_bin -> s -> product more", "")
        assert [f.code for f in check_text(plain).diagnostics] == codes


def test_prices_in_two_currencies_are_never_compared_as_the_same() -> None:
    """A class's price is among its words, so that 4 EUR/kg and 4 USD/kg are told apart."""
    euros = OURS.replace("USD", "EUR") % "4"
    words = [
        plant_of(
            ours
            + text(money=money)
            .replace(_LINE, "ours(head: 900 mm) { css 12 mm; ")
            .replace("use std.cones", "")
        )
        .classes[0]
        .lines["liner_price"]
        for ours, money in ((euros, "currency EUR"), (OURS % "4", "currency USD"))
    ]
    assert words == ["4000 EUR/t", "4000 USD/t"]
