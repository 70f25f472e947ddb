"""A feeder with scalping bars is one machine: it feeds as a feeder and parts rock as a screen."""

from __future__ import annotations

import pytest

from tests.rating.conftest import Rate

_TEXT = """
class grizzly_feeder bars(width: 500 mm to 2000 mm) {
  width width
  length 1500 mm
  max_feed_size 600 mm
  installed_power 15 kW
  model capacity: layer { width width; depth 400 mm; travel_speed 0.25 m/s; fill 90 % }
  model partition: fixed { ratio 80 %; sharpness 3.5 }
}
class feeder plain(width: 500 mm to 2000 mm) {
  model capacity: layer { width width; depth 400 mm; travel_speed 0.25 m/s; fill 90 % }
}
class screen grid(width: 500 mm to 2000 mm) {
  width width
  length 1500 mm
  model partition: fixed { ratio 80 %; sharpness 3.5 }
}
plant "scalped" {
  sieves sieves.quarry
  feed f { rock rock; rate RATE; passing { 500 mm: 100 %, 80 mm: 45 %, 10 mm: 5 % } }
  BODY
  OUT.over -> product coarse
  OUT.under -> product fine
}
"""
_ONE = "grizzly_feeder b: bars(width: 1000 mm) { deck top 80 mm }; f -> b"
_TWO = """feeder a: plain(width: 1000 mm)
  screen b: grid(width: 1000 mm) { deck top 80 mm }
  f -> a -> b"""


def _plant(body: str, rate: str = "300 t/h") -> str:
    return _TEXT.replace("BODY", body).replace("OUT", "b").replace("RATE", rate)


def test_it_parts_rock_as_bars_behind_a_feeder_do(rate_plant: Rate) -> None:
    one, two = rate_plant(_plant(_ONE)), rate_plant(_plant(_TWO))
    for product, other in zip(one.products, two.products, strict=True):
        assert product.rate_t_h == pytest.approx(other.rate_t_h, rel=1e-12)
        assert product.passing == pytest.approx(other.passing, abs=1e-12)
    assert one.machines[0].decks[0].cut_size_mm == pytest.approx(64.0)  # 80 % of the gap


def test_it_has_the_load_of_a_feeder(rate_plant: Rate) -> None:
    """By hand: 1 m x 0.4 m x 0.9 x 0.25 m/s x 3600 s/h x 1.6 t/m3 = 518.4 t/h."""
    machine = rate_plant(_plant(_ONE)).machines[0]
    assert machine.capacity_t_h == pytest.approx(518.4)
    assert machine.load == pytest.approx(300 / 518.4)


def test_what_is_over_is_reported_of_feeder_and_bars(rate_plant: Rate) -> None:
    full = rate_plant(_plant(_ONE, "600 t/h"))
    assert "W0501" in {warning.code for warning in full.warnings}
    coarse = rate_plant(_plant(_ONE).replace("500 mm: 100 %", "900 mm: 100 %"))
    assert "W0550" in {warning.code for warning in coarse.warnings}


def test_its_two_outlets_need_not_name_its_one_deck(rate_plant: Rate) -> None:
    named = rate_plant(_plant(_ONE).replace("b.over", "b.top.over"))
    assert [stream.name for stream in named.streams] == [
        stream.name for stream in rate_plant(_plant(_ONE)).streams
    ]
