"""Several cases rated at once: each has the numbers that are worked by hand for it alone."""

from __future__ import annotations

import pytest

from hoggin.api.plant import loads

HEAD = """
use std.sieves
material rock { solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t }
"""
ORDERS = """
plant "orders" {
  sieves sieves.quarry
  feed f { rock rock; rate 200 t/h; passing { 250 mm: 100 %, 10 mm: 5 % } }
  splitter book { out town 120 t/h; out port 180 t/h; out surplus rest }
  f -> book
  book.town -> product base
  book.port -> product ballast
  book.surplus -> product pile
}
"""
DETECTED = """
class magnet half(share: 0 % to 100 %) {
  tramp_removal share
  model capacity: layer { width 800 mm; depth 200 mm; travel_speed 1 m/s }
}
class metal_detector sharp() {
  detected_size  40 mm
  detected_share 90 %
  clearing       30 min
  model capacity: layer { width 800 mm; depth 200 mm; travel_speed 1 m/s }
}
plant "tramp" {
  sieves sieves.quarry
  feed pit { rock rock; rate 60 t/h; passing { 150 mm: 100 %, 10 mm: 5 % }; tramp 200 mm
             tramp_every 10 h }
  magnet m: half(share: TAKEN)
  metal_detector d: sharp()
  pit -> m -> d -> product all
}
"""
THICKENED = """
class thickener clear() {
  surface 300 m2
  max_rise_rate 2 m/h
  retained_moisture 150 %
  water_reused 80 %
  model partition: settling { d50 0.01 mm; sharpness 2; bypass 95 % }
  model capacity: settling {
    surface 300 m2; interface_speed 1 m/h; test_solids 10 %; underflow_solids 40 %
  }
}
plant "wet" {
  sieves sieves.quarry
  feed f { rock rock; rate 54 t/h; passing { 1 mm: 100 %, 0.063 mm: 60 % } }
  sump s { volume 2 m3; added_water 600 m3/h }
  thickener t: clear()
  f -> s -> t
  t.underflow -> product cake
  t.overflow  -> product water
}
"""


def test_orders_fall_short_by_what_is_fed_in_each_case() -> None:
    """300 t/h are asked of 100, 200 and 400 t/h."""
    study = loads(HEAD + ORDERS).study({"f.rate": [100, 200, 400]}, read=["book.shortfall"])
    assert study["book.shortfall"] == pytest.approx([200, 100, 0])


def test_a_detector_stops_for_what_the_magnet_leaves_in_each_case() -> None:
    """One piece in 10 h, of which a magnet takes 20, 50 and 80 %; 9 in 10 of the others are
    found."""
    text = HEAD + "let taken = free(0 % to 100 %)" + DETECTED.replace("TAKEN", "taken")
    study = loads(text).study({"taken": ["20 %", "50 %", "80 %"]}, read=["d.stop_every"])
    assert study["d.stop_every"] == pytest.approx([10 / (0.9 * s) for s in (0.8, 0.5, 0.2)])


def test_a_thickener_s_underflow_keeps_its_water_in_each_case() -> None:
    """1.5 t of water a tonne of underflow: 40 % of solids, whatever is fed. The rest of the water
    overflows, and 80 % of it is used again."""
    read = ["t.water_reused", "cake.rate"]
    study = loads(HEAD + THICKENED).study({"f.rate": [54, 27, 10]}, read=read)
    above = [600 - 1.5 * cake for cake in study["cake.rate"]]
    assert study["t.water_reused"] == pytest.approx([0.8 * rate for rate in above])
