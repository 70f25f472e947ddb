"""Tramp metal at crushers behind magnets and detectors, worked by hand.

What magnets and detectors do is common practice, no source; shares multiply as probabilities of
pieces that pass one after the other.
"""

from __future__ import annotations

import pytest

from hoggin.balancing import rated
from hoggin.schema.results import Check, MachineResult, Results
from tests.check.reading import check_text

_TEXT = """
use std.cones
use std.impactors
use std.jaws
use std.magnets
use std.screens
use std.sieves

material rock {{ solid_density 2.7 t/m3; bulk_density 1.6 t/m3; work_index 12 kWh/t }}

class magnet half(share: 0 % to 100 % = 50 %) {{
  tramp_removal share
  model capacity: layer {{ width 800 mm; depth 200 mm; travel_speed 1 m/s }}
}}
class metal_detector sharp(size: 10 mm to 500 mm = 40 mm) {{
  detected_size  size
  detected_share 90 %
  clearing       30 min
  model capacity: layer {{ width 800 mm; depth 200 mm; travel_speed 1 m/s }}
}}

plant "Tramp" {{
  sieves sieves.quarry
  feed pit  {{
    rock rock; rate 60 t/h; passing {{ 150 mm: 100 %, 22.4 mm: 0 % }}
    tramp 200 mm; tramp_every 10 h{pit}
  }}
  feed yard {{
    rock rock; rate 40 t/h; passing {{ 150 mm: 100 %, 22.4 mm: 0 % }}
    tramp 80 mm; tramp_every 40 h
  }}
  {blend}
  crusher cone: cones.low_speed_secondary(head: 1350 mm) {{ css 32 mm }}
  {lines}
}}
"""
_MAGNET = "magnet m: half()"
_DETECTOR = "metal_detector d: sharp()"


def _rated(lines: str, pit: str = "") -> Results:
    blend = "blend meeting" if "meeting" in lines else ""
    checked = check_text(_TEXT.format(lines=lines, pit=pit, blend=blend))
    assert checked.plant is not None, [one.message for one in checked.diagnostics]
    results = rated(checked)
    assert isinstance(results, Results)
    return results


def _machine(results: Results, tag: str) -> MachineResult:
    return next(machine for machine in results.machines if machine.tag == tag)


def _relief(results: Results, name: str = "tramp relief") -> Check | None:
    found = [check for check in _machine(results, "cone").checks if check.name == name]
    return found[0] if found else None


def test_tramp_that_nothing_takes_is_over_the_relief() -> None:
    check = _relief(_rated("pit -> meeting; yard -> meeting -> cone -> product sand"))
    assert check is not None and (check.verdict, check.code) == ("over", "W0505")
    assert check.value == 200.0


def test_a_magnet_takes_its_share_and_what_is_left_is_still_reported() -> None:
    """By hand: half of the pieces arrive, one every 20 h and one every 80 h: one in 16 h."""
    lines = f"{_MAGNET}; pit -> meeting; yard -> meeting -> m -> cone -> product sand"
    results = _rated(lines)
    check = _relief(results)
    assert check is not None and check.verdict == "watch" and "50 %" in check.text
    tramp = _machine(results, "cone").tramp
    assert tramp is not None
    assert (tramp.iron_mm, tramp.iron_share) == (200.0, 0.5)
    assert tramp.piece_every_h == pytest.approx(1 / (1 / 20 + 1 / 80))
    assert tramp.other_mm is None and tramp.other_share is None


def test_two_magnets_multiply() -> None:
    lines = "magnet a: half(); magnet b: half(share: 80 %)"
    results = _rated(f"{lines}; pit -> a -> b -> meeting; yard -> meeting -> cone -> product sand")
    tramp = _machine(results, "cone").tramp
    assert tramp is not None and tramp.piece_every_h == pytest.approx(1 / (0.1 / 10 + 1 / 40))
    assert tramp.iron_share == 1.0  # that of the yard passes nothing


def test_of_several_feeds_the_one_that_is_worst_guarded_is_judged() -> None:
    """200 mm of the pit passes a magnet, 80 mm of the yard nothing: the relief opens to less."""
    lines = f"{_MAGNET}; pit -> m -> meeting; yard -> meeting -> cone -> product sand"
    check = _relief(_rated(lines))
    assert check is not None and check.verdict == "over" and check.value == 80.0


def test_a_magnet_that_takes_all_leaves_nothing_to_check() -> None:
    lines = "magnet m: half(share: 100 %)"
    results = _rated(f"{lines}; pit -> meeting; yard -> meeting -> m -> cone -> product sand")
    assert _relief(results) is None and _machine(results, "cone").tramp is None


def test_a_magnet_holds_no_manganese_steel() -> None:
    lines = "magnet m: half(share: 100 %); pit -> m -> cone -> product sand; yard -> product rest"
    results = _rated(lines, pit="; nonmagnetic_tramp 150 mm")
    other = _relief(results, "tramp relief, other metal")
    assert other is not None and (other.verdict, other.value) == ("over", 150.0)
    tramp = _machine(results, "cone").tramp
    assert tramp is not None and tramp.iron_mm is None and tramp.other_share == 1.0


def test_a_detector_that_sees_what_the_relief_can_t_pass_protects_from_both() -> None:
    """The relief of this class opens to 59 mm at 32 mm; pieces from 40 mm on stop the belt."""
    lines = f"{_DETECTOR}; pit -> meeting; yard -> meeting -> d -> cone -> product sand"
    results = _rated(lines, pit="; nonmagnetic_tramp 150 mm")
    for name in ("tramp relief", "tramp relief, other metal"):
        check = _relief(results, name)
        assert check is not None and check.verdict == "ok" and check.value == 40.0
        assert "10 %" in check.text  # what it misses is said


def test_a_detector_that_sees_only_larger_pieces_does_not() -> None:
    lines = "metal_detector d: sharp(size: 100 mm)"
    results = _rated(f"{lines}; pit -> d -> cone -> product sand; yard -> product rest")
    check = _relief(results)
    assert check is not None and (check.verdict, check.value) == ("watch", 100.0)


def test_a_detector_does_not_stop_for_pieces_that_it_does_not_see() -> None:
    """The yard's pieces are of 80 mm, seen from 100 mm on: all go on, one every 40 h."""
    lines = "metal_detector d: sharp(size: 100 mm)"
    results = _rated(f"{lines}; yard -> d -> cone -> product sand; pit -> product rest")
    tramp, stops = _machine(results, "cone").tramp, _machine(results, "d").tramp
    assert tramp is not None and stops is not None
    assert (tramp.iron_mm, tramp.iron_share, tramp.piece_every_h) == (80.0, 1.0, 40.0)
    assert stops.stop_every_h is None


def test_a_detector_on_one_of_two_ways_protects_from_nothing() -> None:
    lines = f"{_DETECTOR}; splitter s {{ out a 50 %; out b rest }}; pit -> s; yard -> product rest"
    check = _relief(_rated(f"{lines}; s.a -> d -> meeting; s.b -> meeting -> cone -> product sand"))
    assert check is not None and check.verdict == "over"


def test_a_detector_stops_for_what_it_sees_and_a_magnet_leaves() -> None:
    """By hand: of a piece in 10 h and one in 40 h a magnet leaves half, of which 9 in 10 are found;
    so many of the 150 mm pieces that no magnet holds, one in 100 h."""
    lines = f"{_MAGNET}; {_DETECTOR}; pit -> meeting; yard -> meeting -> m -> d -> cone"
    pit = "; nonmagnetic_tramp 150 mm; nonmagnetic_tramp_every 100 h"
    tramp = _machine(_rated(f"{lines} -> product sand", pit), "d").tramp
    assert tramp is not None
    assert tramp.stop_every_h == pytest.approx(1 / (0.9 * (0.5 / 10 + 0.5 / 40 + 1 / 100)))


def test_tramp_in_a_loop_with_a_magnet_is_found_once_round() -> None:
    lines = f"{_MAGNET}; splitter s {{ out back 40 %; out on rest }}; pit -> meeting -> m -> cone"
    results = _rated(f"{lines} -> s; s.back -> meeting; s.on -> product sand; yard -> product rest")
    tramp = _machine(results, "cone").tramp
    assert tramp is not None and tramp.iron_share == 0.5


def test_magnets_and_detectors_hand_the_rock_on_as_it_is() -> None:
    lines = f"{_MAGNET}; {_DETECTOR}; pit -> meeting; yard -> meeting -> m -> d -> cone"
    streams = {stream.source: stream for stream in _rated(f"{lines} -> product sand").streams}
    assert streams["d"].passing == streams["meeting"].passing
    assert streams["d"].rate_t_h == pytest.approx(100.0)


def test_a_bed_deeper_than_a_magnet_reaches_is_over_its_load() -> None:
    """By hand: 0.8 m x 0.2 m x 1 m/s x 3600 s/h x 1.6 t/m3 = 921.6 t/h reach it."""
    lines = f"{_MAGNET}; pit -> meeting; yard -> meeting -> m -> cone -> product sand"
    magnet = _machine(_rated(lines), "m")
    assert magnet.capacity_t_h == pytest.approx(921.6)
    assert magnet.load == pytest.approx(100 / 921.6)


def test_the_library_s_magnets_and_detectors_show_their_cautions() -> None:
    lines = "magnet m: magnets.suspended(width: 1 m); metal_detector d: magnets.coil(width: 1 m)"
    results = _rated(f"{lines}; pit -> meeting; yard -> meeting -> m -> d -> cone -> product sand")
    said = " ".join(_machine(results, "m").cautions).lower()
    assert all(word in said for word in ("magnetic field", "pinch", "pacemaker", "lock out"))
    assert "locked out" in " ".join(_machine(results, "d").cautions)


def test_tramp_of_no_size_is_none() -> None:
    text = _TEXT.replace("tramp 200 mm", "tramp 0 mm")
    checked = check_text(
        text.format(lines="pit -> cone -> product sand; yard -> product rest", pit="", blend="")
    )
    results = rated(checked)
    assert isinstance(results, Results) and _relief(results) is None


def test_no_piece_passes_a_deck_that_is_finer_than_it() -> None:
    """By geometry, of pieces as wide as long: 200 mm and 80 mm go over a deck of 60 mm. Nothing
    arrives under it, and all of it over it."""
    screen = "screen s: screens.scalper(width: 2 m, length: 4 m) { deck top 60 mm }"
    ends = "s.{0} -> cone -> product sand; s.{1} -> product rest"
    under, over = (
        _rated(f"{screen}; pit -> meeting; yard -> meeting -> s; {ends.format(*ways)}")
        for ways in (("under", "top.over"), ("top.over", "under"))
    )
    assert _machine(under, "cone").tramp is None and _relief(under) is None
    tramp = _machine(over, "cone").tramp
    assert tramp is not None and (tramp.iron_mm, tramp.iron_share) == (200.0, 1.0)


def test_a_deck_between_two_pieces_passes_the_smaller_and_keeps_the_larger() -> None:
    """100 mm lies between the pit's 200 mm and the yard's 80 mm. The smaller piece may also be
    carried over."""
    screen = "screen s: screens.scalper(width: 2 m, length: 4 m) { deck top 100 mm }"
    routes = "pit -> meeting; yard -> meeting -> s; s.under -> cone -> product sand"
    tramp = _machine(_rated(f"{screen}; {routes}; s.top.over -> product rest"), "cone").tramp
    assert tramp is not None and tramp.iron_mm == 80.0


@pytest.mark.slow
def test_a_jaw_has_no_relief_and_passes_no_more_than_its_open_side() -> None:
    """A toggle plate breaks, and nothing opens: by geometry a piece falls through an opening of
    css + throw. The class's throw is 50.2 mm x 0.8^0.85 = 41.5 mm (see its file)."""
    jaw = "crusher j: jaws.single_toggle(gape: 800 mm, width: 1000 mm) { css 100 mm }"
    routes = "yard -> product rest; pit -> j -> cone -> product sand"
    results = _rated(f"{jaw}; {routes}")
    check = next(one for one in _machine(results, "j").checks if one.name == "tramp relief")
    assert (check.verdict, check.code) == ("over", "W0505")
    assert check.limit == pytest.approx(100 + 50.2 * 0.8**0.85, abs=0.5)
    small = _rated(f"{jaw}; pit -> product rest; yard -> j -> cone -> product sand")
    check = next(one for one in _machine(small, "j").checks if one.name == "tramp relief")
    assert check.verdict == "ok"


def test_a_rotor_without_a_release_passes_no_tramp() -> None:
    rotor = "crusher v: impactors.vertical_shaft(rotor: 900 mm)"
    results = _rated(f"{rotor}; pit -> product rest; yard -> v -> cone -> product sand")
    check = next(one for one in _machine(results, "v").checks if one.name == "tramp relief")
    assert (check.verdict, check.limit) == ("over", 0.0)
