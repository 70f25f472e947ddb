"""Units by rule: base units joined by `/`, a currency among them.

Sizes are held against products and quotients of scipy.constants (CODATA and definitions), codes of
currencies against ISO 4217 (a selection of its list A.1, from memory).
"""

from __future__ import annotations

import math
from dataclasses import astuple

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from hoggin.schema.plant import Limit
from hoggin.schema.units import (
    BASE_UNITS,
    NUMBER,
    SUFFIXES,
    describe,
    is_currency,
    known,
    result_unit,
    suffix_of,
    trade_unit,
    unit_named,
    units_of,
    written_unit,
)
from tests.check.reading import check_text, codes, plant_of, small_plant

_TONNE, _HOUR = constants.metric_ton, constants.hour
CURRENCIES = [
    "AED",
    "ARS",
    "AUD",
    "BGN",
    "BRL",
    "CAD",
    "CHF",
    "CLP",
    "CNY",
    "COP",
    "CZK",
    "DKK",
    "EGP",
    "EUR",
    "GBP",
    "HKD",
    "HUF",
    "IDR",
    "ILS",
    "INR",
    "ISK",
    "JPY",
    "KES",
    "KRW",
    "KWD",
    "MAD",
    "MXN",
    "MYR",
    "NGN",
    "NOK",
    "NZD",
    "OMR",
    "PEN",
    "PHP",
    "PKR",
    "PLN",
    "QAR",
    "RON",
    "RSD",
    "SAR",
    "SEK",
    "SGD",
    "THB",
    "TND",
    "TRY",
    "TWD",
    "TZS",
    "UAH",
    "UGX",
    "USD",
    "UYU",
    "VND",
    "XAF",
    "XOF",
    "ZAR",
    "ZMW",
]
PARTS = st.sampled_from([name for name in BASE_UNITS if name != "%"])


@pytest.mark.parametrize(
    ("unit", "size"),
    [
        ("t/h/m2", _TONNE / _HOUR),
        ("m3/h/m2", 1 / _HOUR),
        ("Mt/y", 1e6 * _TONNE / constants.Julian_year),
        ("kt/y", 1e3 * _TONNE / constants.Julian_year),
        ("t/d", _TONNE / constants.day),
        ("l/s", constants.liter),
        ("MW", constants.mega),
        ("kWh/t", constants.kilo * _HOUR / _TONNE),
        ("lb/h/ft2", constants.pound / _HOUR / constants.foot**2),
        ("tph", _TONNE / _HOUR),
        ("tph/m2", _TONNE / _HOUR),
        ("EUR/kWh", 1 / (constants.kilo * _HOUR)),
        ("EUR/st", 1 / constants.short_ton),
    ],
)
def test_a_compound_unit_has_the_size_of_the_reference(unit: str, size: float) -> None:
    found = written_unit(unit)
    assert found is not None
    assert found.size == pytest.approx(size, rel=1e-12)


@given(first=PARTS | st.sampled_from(CURRENCIES), others=st.lists(PARTS, max_size=4))
def test_any_base_units_join_and_divide(first: str, others: list[str]) -> None:
    found = unit_named("/".join((first, *others)))
    assert found is not None
    size, powers = known(first).size, list(astuple(known(first).dimension))
    for other in others:
        size /= known(other).size
        powers = [a - b for a, b in zip(powers, astuple(known(other).dimension), strict=True)]
    assert math.isclose(found.size, size, rel_tol=1e-12)
    assert list(astuple(found.dimension)) == powers
    assert found.name == "/".join((first, *others))  # as written
    assert unit_named(f"{found.name}/zz") is None


@pytest.mark.parametrize(
    "unit", ["t/", "/h", "t//h", "%/h", "kg/%", "T/h", "number/h", "EUR/USD", "", "zz"]
)
def test_what_is_no_unit_is_none(unit: str) -> None:
    assert written_unit(unit) is None


@pytest.mark.parametrize("unit", ["number", "money", "money/t"])
def test_units_of_results_can_not_be_written(unit: str) -> None:
    assert unit_named(unit) is not None
    assert written_unit(unit) is None


@pytest.mark.parametrize("code", CURRENCIES)
def test_a_code_of_iso_4217_is_a_currency(code: str) -> None:
    assert is_currency(code)
    assert written_unit(f"{code}/t") is not None


@pytest.mark.parametrize("word", ["RPM", "TPH", "MIN", "KWH", "TON", "DEG", "Eur", "EURO", "EU"])
def test_other_words_in_capitals_are_no_currency(word: str) -> None:
    assert not is_currency(word)


def test_a_tph_is_a_tonne_an_hour() -> None:
    body = "rock -> product all\n  require all.rate >= 100 tph"
    limit = plant_of(small_plant(body)).requirements[0]
    assert limit.unit == "t/h"


def test_a_result_can_be_required_in_any_unit_of_its_kind() -> None:
    hours = "operation { hours_per_year 3000 h }"
    body = f"{hours}\n  rock -> product all\n  require all.rate >= 1.5 Mt/y"
    limit = plant_of(small_plant(body)).requirements[0]
    assert isinstance(limit, Limit) and limit.unit == "Mt/y"
    # 1 Mt/y = 1e6 t over the hours that the plant runs
    assert limit.unit_size == pytest.approx(1e6 / 3000)


@pytest.mark.parametrize("unit", list(SUFFIXES.values()))
def test_a_field_says_its_unit(unit: str) -> None:
    assert SUFFIXES[suffix_of(unit)] == unit
    found = trade_unit(known(unit).dimension)
    assert found is not None
    assert known(unit).dimension == NUMBER or result_unit(unit) == unit


@pytest.mark.parametrize("unit", ["t/h/m2", "EUR/t", "EUR/kWh", "EUR/h", "EUR"])
def test_kinds_of_quantities_have_words_and_units(unit: str) -> None:
    dimension = known(unit).dimension
    assert describe(dimension) != "a quantity of mixed units"
    assert unit in units_of(dimension)


def test_blanks_divide_and_give_the_same() -> None:
    text = "let a = 12 t/h/m2\nlet b = 12 t / 1 h / 1 m2\nlet c = a - b\n"
    assert codes(text) == []


@pytest.mark.parametrize(
    ("expression", "message"),
    [
        ("12 EUR/t + 3 t/h", "a price per mass can't be added to a mass flow"),
        ("12 EUR/t + 0.1 EUR/kWh", "a price per mass can't be added to a price per energy"),
    ],
)
def test_money_adds_to_money_of_its_kind_alone(expression: str, message: str) -> None:
    (found,) = check_text(f"let a = {expression}\n").diagnostics
    assert found.message == message
