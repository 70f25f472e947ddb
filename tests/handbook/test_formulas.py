"""Formulas as they are typed, and as a page shows them."""

from __future__ import annotations

import pytest

from hoggin.handbook.formulas import typeset


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("p = (I - B C)^-1 f", "p = (I - B C)<-1> f"),
        ("d50 = hT (Gc/K)^0.148.", "d50 = hT (Gc/K)<0.148>."),
        ("K (x/y)^n1 + (1 - K)(x/y)^n2", "K (x/y)<n1> + (1 - K)(x/y)<n2>"),
        ("(1 + (K/2.5)^8)^(-0.852/8)", "(1 + (K/2.5)<8>)<-0.852/8>"),
        ("(Ai / 10)^(2/3) lb/kWh", "(Ai / 10)<2/3> lb/kWh"),
        ("10 Wi (1/sqrt(P80) - 1/sqrt(F80))", "10 Wi (1/√(P80) - 1/√(F80))"),
        ("expressions use + - * / ^, brackets", "expressions use + - * / ^, brackets"),
        ("scipy.sqrt", "scipy.sqrt"),
    ],
)
def test_an_exponent_is_raised_and_a_root_has_its_sign(typed: str, shown: str) -> None:
    assert "".join(f"<{part}>" if raised else part for raised, part in typeset(typed)) == shown
