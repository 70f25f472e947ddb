"""Words of an expression are equal where the meaning is."""

from __future__ import annotations

import pytest

from hoggin.diagnostics.diagnostic import Diagnostics
from hoggin.diagnostics.source import Source
from hoggin.revise.why.meaning import meaning
from hoggin.syntax import tree
from hoggin.syntax.parser import parse


def words(text: str) -> str:
    (let,) = parse(Source("x.hog", f"let x = {text}\n"), Diagnostics()).statements
    assert isinstance(let, tree.Let)
    return meaning(let.value)


# An inch is 25.4 mm and a pound 0.45359237 kg exactly: the international yard and pound agreement
# of 1959, from memory. A short ton is 2000 lb.
@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("0.6 in", "15.24 mm"),
        ("15.24 mm", "1.524 cm"),
        ("50 %", "0.5"),
        ("450 t/h", "450000 kg/h"),
        ("4 EUR/kg", "4000 EUR/t"),
        ("1 stph", "907.18474 kg/h"),
        ("2 * 20 mm", "4 cm"),
        ("(3 mm)", "3mm"),
        ("min(3 mm, 1 in)", "3 mm"),
        ("a*( b )", "a * b"),
        ("0.7 * css + 0.001 m", "0.70 * css + 1 mm"),
        ("by chamber { coarse: 1 m, fine: 9 mm }", "by chamber { fine: 0.9 cm\n coarse: 1000 mm }"),
    ],
)
def test_another_spelling_means_the_same(one: str, other: str) -> None:
    assert words(one) == words(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("1 stph", "1 t/h"),
        ("1 mm", "1 t/h"),
        ("1 m", "1"),
        ("15 mm", "15.0001 mm"),
        ("4 EUR/kg", "4 USD/kg"),
        ("2 * 4 EUR/kg", "2 * 4 USD/kg"),
        ("4 EUR/kg", "4 / 1 kg"),
        ("a - b", "b - a"),
        ("(a + b) * 2", "a + b * 2"),
        ("gap", "gap2"),
        ("by chamber { coarse: 1, fine: 2 }", "by chamber { coarse: 2, fine: 1 }"),
        ('"coarse"', "coarse"),
    ],
)
def test_another_meaning_has_other_words(one: str, other: str) -> None:
    assert words(one) != words(other)
