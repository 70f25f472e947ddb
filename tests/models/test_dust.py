"""Dust against the emission factors worked by hand.

Factors: US EPA, AP-42, table 11.19.2-2 (8/04), lb per short ton. Those of PM10 were looked up in
reproductions of the table, but for the controlled transfer; those of PM2.5 but for the transfer; of
PM the tertiary crusher's, the controlled screens' and the uncontrolled transfer's. The others are
from memory.
"""

import math

import pytest

from hoggin.models import dust

POUND_KG = 0.45359237  # definition
SHORT_TON_T = 0.90718474  # definition: 2000 lb


@pytest.mark.parametrize(
    ("factors", "pm", "pm_controlled", "pm10", "pm10_controlled", "pm25_controlled"),
    [
        (dust.TERTIARY, 0.0054, 0.0012, 0.0024, 0.00054, 0.00010),
        (dust.FINES_CRUSHING, 0.0390, 0.0030, 0.0150, 0.0012, 0.000070),
        (dust.SCREENING, 0.025, 0.0022, 0.0087, 0.00074, 0.000050),
        (dust.FINES_SCREENING, 0.30, 0.0036, 0.072, 0.0022, math.nan),
        (dust.TRANSFER, 0.0030, 0.00014, 0.00110, 0.000046, 0.000013),
    ],
)
def test_factors_are_those_of_the_table(
    factors: dust.EmissionFactors,
    pm: float,
    pm_controlled: float,
    pm10: float,
    pm10_controlled: float,
    pm25_controlled: float,
) -> None:
    typed = (pm, pm_controlled, pm10, pm10_controlled)
    assert typed == (factors.pm, factors.pm_controlled, factors.pm10, factors.pm10_controlled)
    assert factors.pm25_controlled == pytest.approx(pm25_controlled, nan_ok=True)
    assert pm_controlled < pm and pm10_controlled < pm10 < pm


def test_a_pound_a_short_ton_is_half_a_kilogram_a_tonne() -> None:
    # By the definitions of pound and short ton.
    by_hand = 300.0 / SHORT_TON_T * 0.025 * POUND_KG
    assert dust.emission_kg_h(300.0, 0.025) == pytest.approx(by_hand, rel=1e-12)
    assert dust.emission_kg_h(300.0, 0.025) == pytest.approx(3.75, rel=1e-12)


def test_fines_are_to_three_sixteenths_of_an_inch_and_tertiary_to_an_inch() -> None:
    # AP-42, section 11.19.2.1, from memory: 3/16 in (0.50 cm); 1 in (2.5 cm).
    assert pytest.approx(3 / 16 * 25.4, abs=0.3) == dust.FINES_MM
    assert dust.TERTIARY_MM == 25.4


def test_the_factors_of_fines_fade_out_between_five_and_ten_millimetres() -> None:
    """Own assumption: all of them to 5 mm, half at 5 mm times the root of 2, none from 10."""
    sizes = [0.1, 5.0, 5.0 * math.sqrt(2), 10.0, 50.0]
    assert dust.fines_share(sizes) == pytest.approx([1.0, 1.0, 0.5, 0.0, 0.0])


def test_a_throughput_below_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="must not be negative"):
        dust.emission_kg_h([1.0, -1.0], 0.1)
