"""The water balance: conservation of mass, and cases worked by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoggin.balance import balance
from hoggin.check.checker import check_file
from hoggin.schema.plant import Plant

from .random_plants import random_plant

WASHING = """
use std.sieves
use std.screens
use std.washing
material rock {
  solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 15 kWh/t; moisture 4 %
}
plant "wash" {
  sieves sieves.iso_r20_3
  feed f {
    rock rock; rate 100 t/h
    passing { 31.5 mm: 100 %, 4 mm: 45 %, 0.5 mm: 18 %, 0.063 mm: 6 % }
  }
  screen rinse: screens.horizontal(width: 1.8 m, length: 4.8 m) {
    water spray
    deck top 10 mm { spray 40 m3/h }
    deck bottom 4 mm { spray 30 m3/h }
  }
  classifier screw: washing.screw(diameter: 900 mm) { cut 0.1 mm; added_water 20 m3/h }
  screen dry: washing.dewatering(width: 1.2 m, length: 3 m) { deck top 0.5 mm slotted }
  f -> rinse
  rinse.top.over -> product stone
  rinse.bottom.over -> product grit
  rinse.under -> screw
  screw.coarse -> dry
  dry.over -> product sand
  dry.under -> screw
  screw.fine -> product slimes
}
"""


@pytest.fixture
def washing(tmp_path: Path) -> Plant:
    path = tmp_path / "wash.hog"
    path.write_text(WASHING, encoding="utf-8")
    plant = check_file(path).plant
    assert plant is not None
    return plant


def test_what_water_enters_leaves_with_the_products(washing: Plant) -> None:
    """4 % of 100 t/h comes with the feed, 40 + 30 + 20 m3/h of a tonne each are added."""
    found = balance(washing).water
    products = {product.tag for product in washing.products}
    out = sum(
        float(found.streams_t_h[0, i])
        for i, s in enumerate(washing.streams)
        if s.target in products
    )
    assert found.with_feeds_t_h[0] == pytest.approx(4.0)
    assert found.added_t_h[0] == pytest.approx(90.0)
    assert out == pytest.approx(94.0, abs=1e-9)


def test_drained_products_hold_the_moisture_their_class_states(washing: Plant) -> None:
    """5 % on sprayed decks, 22 % in the screw's sand, 15 % in the dewatered cake: the classes'
    own figures (common practice, no source)."""
    solved = balance(washing)
    found = solved.water
    moisture = {
        s.name: found.streams_t_h[0, i] / solved.streams_t_h[0, i].sum()
        for i, s in enumerate(washing.streams)
    }
    assert moisture["rinse.top.over -> stone"] == pytest.approx(0.05)
    assert moisture["rinse.bottom.over -> grit"] == pytest.approx(0.05)
    assert moisture["screw.coarse -> dry"] == pytest.approx(0.22)
    assert moisture["dry.top.over -> sand"] == pytest.approx(0.15)


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.integers(2, 30))
def test_a_dry_plant_of_one_rock_has_one_moisture_everywhere(seed: int, count: int) -> None:
    """Mixing law: where nothing drains, water goes with the solids, so every stream of a plant
    fed with one moisture has that moisture, however it loops."""
    plant = random_plant(seed, count, materials=1)
    (name,) = plant.materials
    wet = plant.materials[name].model_copy(update={"moisture": 0.03})
    plant = plant.model_copy(update={"materials": {name: wet}})
    solved = balance(plant)
    solids = solved.streams_t_h.sum(axis=2)
    found = solved.water.streams_t_h
    np.testing.assert_allclose(found, 0.03 * solids, atol=1e-9 * solids.max(), rtol=1e-6)


def test_spraying_a_deck_of_a_dry_screen_is_an_error(tmp_path: Path) -> None:
    path = tmp_path / "wash.hog"
    path.write_text(WASHING.replace("water spray", "water dry"), encoding="utf-8")
    found = check_file(path)
    assert [d.code for d in found.diagnostics] == ["E0405", "E0405"]
    assert "set to work dry" in found.diagnostics[0].message
