"""What may be stated of bins and stockpiles, and what may not."""

from __future__ import annotations

import pytest

from tests.check.reading import FEED, LIBRARIES, MATERIAL, codes, plant_of


def plant(declaration: str) -> str:
    flow = "  rock -> store -> product all\n"
    return f'{LIBRARIES}{MATERIAL}plant "kept" {{\n{FEED}{flow}  {declaration}\n}}\n'


def test_facts_leave_in_the_trades_units() -> None:
    (pile,) = plant_of(plant("stockpile store { height 50 ft; repose_angle 38 deg }")).machines
    assert pile.facts == pytest.approx({"height_mm": 15240, "repose_angle_deg": 38})
    (small,) = plant_of(plant("bin store { volume 100 m3; live_share 80 % }")).machines
    assert small.facts == pytest.approx({"volume_m3": 100, "live_share": 0.8})


@pytest.mark.parametrize(
    ("declaration", "code"),
    [
        ("bin store { height 10 m }", "E0403"),  # a bin is stated by volume
        ("stockpile store { volume 100 m3 }", "E0403"),
        ("stockpile store { repose_angle 80 deg }", "E0306"),
        ("stockpile store { height 10 m; drawdown_angle 0 deg }", "E0306"),
        ("stockpile store { live_share 120 % }", "E0306"),
        ("stockpile store { live 0 t - 5 t }", "E0306"),
        ("stockpile store { height 10 }", "E0303"),
    ],
)
def test_what_cannot_be_is_a_fault(declaration: str, code: str) -> None:
    assert [found for found in codes(plant(declaration)) if found.startswith("E")] == [code]
