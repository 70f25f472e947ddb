"""Edits are known by what they are about, wherever it stands; aims and choices are told apart."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.revise.why.sides import attributed
from tests.test_order import LIBRARY, PLANT, ROCK, moved

pytestmark = pytest.mark.slow

CHOICE = """\
use std.cones
use std.sieves
material granite { solid_density 2.65 t/m3; bulk_density 1.55 t/m3; work_index 15 kWh/t }
plant "Choice" {
  sieves sieves.iso_r20_3
  feed rock { rock granite; rate 200 t/h; passing { 125 mm: 100 %, 63 mm: 60 %, 20 mm: 20 % } }
  splitter half { out a 50 %; out b rest }
  rock -> half
  half.b -> product fines
  choose kind {
    option small {
      crusher c: cones.high_speed(head: 1300 mm) { duty secondary; css 25 mm; chamber medium }
      half.a -> c -> product out
    }
    option large {
      crusher d: cones.high_speed(head: 1500 mm) { duty secondary; css 30 mm; chamber medium }
      half.a -> d -> product out
    }
  }
  minimize out.p80
}
"""


def test_a_plant_with_aims_and_a_choice(tmp_path: Path) -> None:
    # By hand: out takes half of the feed, 100 t/h, then 60 % of 220 t/h.
    after = CHOICE.replace("rate 200", "rate 220").replace("a 50 %", "a 60 %")
    after = after.replace("minimize out.p80", "maximize out.rate").replace("css 30", "css 28")
    found = attributed(tmp_path, CHOICE, after, "out.rate")
    assert [found.before, found.after] == pytest.approx([100, 132])
    told = {edit.changes[0]: edit.share for edit in found.edits}
    # Shares: feed (10 + 12) / 2, splitter (20 + 22) / 2; the setting moves no rate.
    assert told["rate of feed rock: 220 t/h, was 200 t/h"] == pytest.approx(11)
    assert sorted(told.values()) == pytest.approx([0, 11, 21])
    assert {"removed `minimize out.p80`", "added `maximize out.rate`"} <= set(found.idle)


def test_an_edit_in_the_option_that_stands_counts(tmp_path: Path) -> None:
    found = attributed(tmp_path, CHOICE, CHOICE.replace("css 30", "css 26"), "out.p80")
    (edit,) = found.edits
    assert "css of crusher d in `option large`" in edit.changes[0]
    assert edit.share == pytest.approx(found.change) and found.change < 0


def test_a_library_that_moved_is_no_edit_and_hides_none(tmp_path: Path) -> None:
    before = {"hill.hog": PLANT, "lib/ours.hog": LIBRARY + ROCK}
    after = moved(LIBRARY.replace("let k2_of_css = 2.2", "let k2_of_css = 2.4"), "hill.hog")
    after["hill.hog"] = after["hill.hog"].replace("rate 150 t/h", "rate 160 t/h")
    found = attributed(tmp_path, before, after, "c.p80")
    told = [(edit.changes, edit.places) for edit in found.edits]
    assert len(told) == 2
    assert (("`let k2_of_css`: 2.4, was 2.2",), ("machines/numbers.hog:2",)) in told
    shares = {edit.changes[0]: edit.share for edit in found.edits}
    # A wider product: nearly all of the change; the rate loads the screen and does the rest.
    assert shares["`let k2_of_css`: 2.4, was 2.2"] == pytest.approx(found.change, rel=0.05)
    assert found.adds_up
